"""What things are called. Expected texts are our own wording, after the words of design and glossary."""

from dataclasses import replace

import pytest

from pitchline.papers import names, words
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Layout, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.units import UnitSystem

L, R, ROLLER = Side.LEFT, Side.RIGHT, PartKind.BOTTOM_ROLLER
GEAR = RunningGear(TrackKind.STEEL, 47, 0.187, 0.570, 25, SprocketGaps.EVERY_SECOND, 8, 1)


def plain(text):
    return text.replace(words.GAP, " ")


def rollers(*found):
    return tuple(Place(ROLLER, side, number) for side, number in found)


@pytest.mark.parametrize(
    ("places", "said"),
    [
        ((Place(PartKind.BUSH, L),), "bushes, left"),
        ((Place(PartKind.BUSH, L), Place(PartKind.BUSH, R)), "bushes, both sides"),
        ((Place(PartKind.SLEW_RING, Side.NONE),), "slew ring"),
        ((Place(PartKind.IDLER, L, 1), Place(PartKind.IDLER, R, 1)), "idlers, both sides"),
        (rollers((L, 6)), "bottom roller 6, left"),
        (rollers((R, 2), (L, 6), (L, 3)), "bottom rollers 3 and 6, left; 2, right"),
        (rollers((L, 1), (L, 2), (L, 3), (R, 1), (R, 2), (R, 3)), "bottom rollers 1 to 3, both sides"),
    ],
)
def test_places_are_said_in_few_words(places, said):
    assert plain(names.places_said(places, GEAR)) == said


def test_a_number_is_left_out_where_a_side_has_one_only():
    assert names.place_said(Place(PartKind.UPPER_ROLLER, L, 1), GEAR) == "upper roller, left"
    assert plain(names.place_said(Place(ROLLER, R, 4), GEAR)) == "bottom roller 4, right"


@pytest.mark.parametrize(
    ("job", "what", "said"),
    [
        (JobKind.TURN, "bushes, left", "turn bushes, left"),
        (JobKind.RESHOE, "shoes, both sides", "re-shoe track, both sides"),
        (JobKind.REFIT_BOLTS, "shoes, right", "refit bolts of shoes, right"),
        (JobKind.REMOVE_JOINT, "chain, left", "remove a joint of chain, left"),
    ],
)
def test_jobs_are_said_as_orders(job, what, said):
    assert names.job_said(job, what) == said


def test_the_running_gear_is_said_in_one_line():
    said = [plain(piece) for piece in names.gear_said(GEAR, UnitSystem.METRIC)]
    assert said == [
        "steel chain with bolted shoes",
        "47 joints, new pitch 187.0 mm",
        "shoes 570 mm",
        "8 bottom and 1 upper rollers a side",
        "sprocket 25 teeth",
    ]


def test_joints_taken_out_are_said_beside_the_count():
    for out, said in (
        ((1, 0), ["1 joint taken out of the left chain"]),
        ((0, 2), ["2 joints taken out of the right chain"]),
        ((0, 0), []),
    ):
        pieces = names.gear_said(replace(GEAR, joints_out=out), UnitSystem.METRIC)
        assert [piece for piece in pieces if "taken out" in piece] == said


def test_a_raised_sprocket_and_rubber_are_told():
    gear = RunningGear(
        TrackKind.RUBBER, 80, 0.0525, 0.3, 19, SprocketGaps.EACH, 4, 1, layout=Layout.RAISED_SPROCKET
    )
    said = " ".join(names.gear_said(gear, UnitSystem.IMPERIAL))
    assert "80 links" in said
    assert "two idlers a side" in said
    assert "11.8" in said  # 300 / 25.4


def test_a_long_name_is_cut_at_the_foot():
    assert names.shortened("x" * 60) == "x" * 47 + "…"
    assert names.shortened("short") == "short"
