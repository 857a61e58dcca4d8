"""The drawing of a running gear by itself, and the small pictures beside its fields."""

from dataclasses import fields, replace
from xml.etree.ElementTree import fromstring

import pytest

from pitchline.picture.asked import ASKED, asked_svg
from pitchline.picture.gear_side import gear_svg
from pitchline.picture.part_words import GAP
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import Layout, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

GEAR = RunningGear(TrackKind.STEEL, 47, 0.187, 0.57, 25, SprocketGaps.EVERY_SECOND, 7, 2, two_flange_rollers=(2,))
SVG = "{http://www.w3.org/2000/svg}"


def parsed(svg):
    return fromstring(svg)  # noqa: S314  our own drawing, made a moment ago


def texts(svg):
    return [one.text.replace(GAP, " ") for one in parsed(svg).iter(f"{SVG}text")]


def test_what_is_counted_stands_on_the_drawing():
    said = texts(gear_svg(GEAR))
    assert "47 joints, pitch 187.0 mm" in said
    assert "25 teeth" in said
    assert [one for one in said if one.strip("\u2016").isdecimal()].count(
        "1"
    ) == 2  # a bottom roller and an upper one
    assert {"2\u2016", "7"} <= set(said)
    assert "8" not in said


@pytest.mark.parametrize(
    "gear",
    [
        replace(GEAR, track=TrackKind.RUBBER, joints_per_side=76, pitch_m=0.0525, sprocket_gaps=SprocketGaps.EACH),
        replace(GEAR, layout=Layout.RAISED_SPROCKET),
        replace(GEAR, bottom_rollers_per_side=0, two_flange_rollers=(), upper_rollers_per_side=0),
        replace(GEAR, track=TrackKind.STEEL_PAD_SHOES),
    ],
)
@pytest.mark.parametrize("width", [340, 720])
def test_every_kind_of_gear_is_drawn_for_desk_and_phone(gear, width):
    drawn = parsed(gear_svg(gear, width))
    assert drawn.get("width") == str(width)
    assert ("links" in " ".join(texts(gear_svg(gear, width)))) is not gear.has_chain


def test_counts_that_cannot_go_together_are_refused():
    with pytest.raises(NotAllowedError):
        gear_svg(replace(GEAR, joints_per_side=20, sprocket_teeth=60, sprocket_gaps=SprocketGaps.EACH))


def test_every_count_and_size_of_a_running_gear_has_its_picture():
    """But the chain's inside and the shoe's class, which nobody sees; what is taken by choice has one for each choice."""
    asked = {one.name.removesuffix("_m") for one in fields(RunningGear)} - {
        "chain_type",
        "shoe_class",
        "pitch_measured",
        "joints_out",  # follows from work that was done
    }
    asked -= {"sprocket_gaps"}  # drawn in the page, as before
    chosen = {"track": TrackKind, "layout": Layout}
    wanted = {name for name in asked if name not in chosen}
    wanted |= {f"{name} {kind.value}" for name, kinds in chosen.items() for kind in kinds}
    assert wanted <= set(ASKED)


@pytest.mark.parametrize("name", ASKED)
def test_a_small_picture_is_sound_and_takes_the_colour_of_the_text(name):
    drawn = asked_svg(name)
    root = parsed(drawn)
    assert root.get("stroke") == "currentColor"
    assert root.get("aria-hidden") == "true"
    assert len(list(root)) >= 2
    assert "#" not in drawn
    assert " id=" not in drawn


def test_a_field_without_a_picture_has_none():
    assert asked_svg("note") == ""


def test_what_is_assumed_is_told_below_and_what_was_typed_is_not_called_so():
    rail = {(Place(PartKind.LINK, Side.LEFT), Measurand.RAIL_HEIGHT): 0.104}
    with_it, without = (" ".join(texts(gear_svg(GEAR, new=new))) for new in (rail, {}))
    assert "link rail height" in without
    assert "link rail height" not in with_it
    assert "grouser height" in with_it
    assert "Assumed" not in " ".join(texts(gear_svg(GEAR)))
