import datetime as dt
import math
from dataclasses import replace

import pytest

from pitchline.trade.calls import Call, CallRule
from pitchline.trade.dossier import Event, KindLife, Limit, PartEvent, PermittedRange, Utilisation
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.ground import GroundClass, GroundSpan
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand, Role
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import Tool, WalkRound
from pitchline.words.catalogue import refused
from pitchline.words.names import named

WORN = [(m, words) for m, words in MEASURANDS.items() if words.role is Role.WEAR]


@pytest.mark.parametrize(("measurand", "words"), WORN, ids=[m.value for m, _ in WORN])
def test_a_limit_on_the_wrong_side_of_new_is_refused(measurand, words):
    less, more = (0.050, 0.060) if words.direction is Direction.RISES else (0.060, 0.050)
    assert Limit(words.parts[0], measurand, less, more).limit_m == more
    with pytest.raises(NotAllowedError) as caught:
        Limit(words.parts[0], measurand, more, less)
    assert named(measurand) in refused(caught.value.problem)
    assert "which of the two" in caught.value.problem.next_step


@pytest.mark.parametrize(
    ("new_m", "limit_m"),
    [(0.1, 0.1), (0.0, None), (-0.1, None), (math.nan, None), (math.inf, 0.1), (0.1, math.nan), (0.1, -0.01)],
)
def test_sizes_that_cannot_be_are_refused(new_m, limit_m):
    with pytest.raises(NotAllowedError) as caught:
        Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m, limit_m)
    assert refused(caught.value.problem).startswith("link rail height, ")


def test_a_limit_without_end_is_refused_where_the_reading_rises():
    with pytest.raises(NotAllowedError, match="pitch, limit"):
        Limit(PartKind.CHAIN, Measurand.PITCH, 0.2, math.inf)


def test_rock_may_start_at_nothing():
    assert Limit(PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK, 0.0, 0.002).new_m == 0.0


def test_a_limit_may_be_left_open():
    assert Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.1, None).limit_m is None


@pytest.mark.parametrize(
    ("part", "measurand"), [(PartKind.CHAIN, Measurand.RAIL_HEIGHT), (PartKind.CHAIN, Measurand.SAG)]
)
def test_a_limit_is_for_a_quantity_that_wears_on_that_part(part, measurand):
    with pytest.raises(NotAllowedError, match="wears on this part"):
        Limit(part, measurand, 0.1, 0.09)


@pytest.mark.parametrize("turn_at", [0.0, 1.0, -0.5, math.nan])
def test_the_turn_point_lies_between_new_and_limit(turn_at):
    with pytest.raises(NotAllowedError, match="turn at life used"):
        Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, 0.06, 0.054, turn_at=turn_at)


@pytest.mark.parametrize(("least_m", "most_m"), [(0.04, 0.02), (0.02, 0.02), (-0.01, 0.02), (0.0, math.nan)])
def test_an_empty_band_is_refused(least_m, most_m):
    with pytest.raises(NotAllowedError, match="sag, range"):
        PermittedRange(PartKind.CHAIN, Measurand.SAG, least_m, most_m)


def test_a_band_is_for_what_is_set():
    with pytest.raises(NotAllowedError, match="sag or adjuster extension"):
        PermittedRange(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.01, 0.02)


@pytest.mark.parametrize(("life_h", "spread"), [(9.0, 0.5), (200_000.0, 0.5), (5000.0, 0.0), (5000.0, 2.1)])
def test_a_typical_life_outside_reason_is_refused(life_h, spread):
    with pytest.raises(NotAllowedError, match="typical life"):
        KindLife(PartKind.LINK, Measurand.RAIL_HEIGHT, life_h, spread)


def test_only_bushes_are_turned():
    with pytest.raises(NotAllowedError, match="only bushes"):
        PartEvent(Place(PartKind.SHOE, Side.LEFT), Event.TURNED, 100.0)
    assert PartEvent(Place(PartKind.BUSH, Side.LEFT), Event.TURNED, 100.0).service_h == 100.0


def test_history_before_the_first_hour_is_refused():
    with pytest.raises(NotAllowedError, match="history, hours"):
        PartEvent(Place(PartKind.SHOE, Side.LEFT), Event.FITTED_NEW, -1.0)


@pytest.mark.parametrize("hours", [(0, 20, 30), (30, 20, 40), (20, 30, 169), (20, math.nan, 30)])
def test_hours_a_week_are_three_rising_figures(hours):
    with pytest.raises(NotAllowedError, match="hours a week"):
        Utilisation(*hours)


@pytest.mark.parametrize(("from_h", "to_h"), [(-1, 10), (10, 10), (20, 10), (math.nan, 10)])
def test_a_ground_span_ends_after_it_begins(from_h, to_h):
    with pytest.raises(NotAllowedError, match="ground span"):
        GroundSpan(from_h, to_h, GroundClass.SHARP)


def test_ground_spans_may_touch_but_not_overlap(dossier):
    touching = (GroundSpan(0, 1000, GroundClass.SHARP), GroundSpan(1000, 2000, GroundClass.MILD))
    assert replace(dossier, ground_spans=touching).ground_spans == touching
    with pytest.raises(NotAllowedError, match="do not overlap"):
        replace(dossier, ground_spans=(GroundSpan(900, 2000, GroundClass.MILD), touching[0]))


def test_walk_rounds_stand_in_order_of_date(dossier):
    with pytest.raises(NotAllowedError, match="walk-round date"):
        replace(dossier, walk_rounds=dossier.walk_rounds[::-1])
    with pytest.raises(NotAllowedError, match="walk-round date"):
        replace(dossier, walk_rounds=(dossier.walk_rounds[0], dossier.walk_rounds[0]))


def test_service_hours_that_fall_are_refused_with_the_way_out(dossier):
    later = WalkRound(dt.date(2026, 12, 1), 2999.0)
    with pytest.raises(NotAllowedError, match="If the meter was changed"):
        replace(dossier, walk_rounds=(*dossier.walk_rounds, later))


def test_a_machine_may_stand_between_two_walk_rounds(dossier):
    later = WalkRound(dt.date(2026, 12, 1), 3000.0)
    assert replace(dossier, walk_rounds=(*dossier.walk_rounds, later)).last_walk_round is later


def test_the_same_limit_twice_is_refused(dossier):
    with pytest.raises(NotAllowedError, match="twice"):
        replace(dossier, limits=(*dossier.limits, dossier.limits[0]))


def test_a_reading_or_finding_where_there_is_no_part_is_refused(dossier, reading):
    sixth = reading(PartKind.BOTTOM_ROLLER, Side.LEFT, Measurand.TREAD_DIAMETER, 150.0, position=6)
    leak = Finding(Place(PartKind.UPPER_ROLLER, Side.LEFT, 2), FindingKind.LEAK, Severity.SLIGHT)
    day = dt.date(2026, 12, 1)
    for walk_round in (WalkRound(day, 3000.0, (sixth,)), WalkRound(day, 3000.0, (), (leak,))):
        with pytest.raises(NotAllowedError, match="a place this running gear has"):
            replace(dossier, walk_rounds=(*dossier.walk_rounds, walk_round))


def test_limits_are_found_by_part_and_quantity(dossier):
    assert dossier.limit_of(PartKind.LINK, Measurand.RAIL_HEIGHT).limit_m == 0.100
    assert dossier.limit_of(PartKind.IDLER, Measurand.TREAD_DEPTH) is None


def test_a_yards_own_tool_stands_before_the_default(dossier):
    own = Tool("tape", "our tape", 0.001, 0.001, 0.001)
    assert replace(dossier, tools=(own,)).tool("tape") is own
    assert dossier.tool("tape").label == "steel tape"
    assert dossier.tool("yardstick") is None


def test_a_machine_without_walk_rounds_has_no_last_one(dossier):
    assert replace(dossier, walk_rounds=()).last_walk_round is None


@pytest.mark.parametrize(
    "figures",
    [
        {"booking_window_weeks": 0},
        {"booking_window_weeks": 105},
        {"book_chance": 0},
        {"stop_chance": 1},
        {"book_chance": math.nan},
    ],
)
def test_a_call_rule_outside_its_range_is_refused(figures):
    with pytest.raises(NotAllowedError):
        CallRule(**figures)


def test_calls_rank_from_run_to_stop():
    assert [call.rank for call in (Call.RUN, Call.BOOK, Call.STOP)] == [0, 1, 2]
