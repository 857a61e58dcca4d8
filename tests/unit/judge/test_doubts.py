"""A reading that is not understood, on the bad side, asks for work, and a ruler's hours by proportion: our own rule."""

import datetime as dt
from dataclasses import replace
from types import SimpleNamespace

import pytest

from pitchline.judge import judge
from pitchline.judge.doubts import doubts_of
from pitchline.judge.machine_by_day import known_by
from pitchline.outlook.lives import lives_of
from pitchline.outlook.machine import machine_outlook
from pitchline.trade.calls import Call, Stake
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import WalkRound
from pitchline.words import say

LEFT, RIGHT = Side.LEFT, Side.RIGHT
ROLLER, LINK = Place(PartKind.BOTTOM_ROLLER, LEFT, 3), Place(PartKind.LINK, LEFT)


def part_of(verdict, place):
    return next(part for part in verdict.parts if part.place == place)


@pytest.fixture
def with_reading(dossier, walk_round, reading):
    """A factory: a third walk-round, 40 % worn, on which one roller reads otherwise."""

    def make(mm, **more):
        odd = reading(PartKind.BOTTOM_ROLLER, LEFT, Measurand.TREAD_DIAMETER, mm, position=3, **more)
        plain = walk_round("2026-11-02", 3600.0, 0.40)
        others = tuple(one for one in plain.readings if one.place != ROLLER)
        return replace(dossier, walk_rounds=(*dossier.walk_rounds, replace(plain, readings=(*others, odd))))

    return make


@pytest.mark.parametrize(
    "mm",
    [
        115.6,  # two digits swapped: 151.6 mm is inside
        124.4,  # two digits swapped: 142.4 mm is past the limit of 144 mm too, and a roller is only worn out
        101.0,  # nothing else was likely meant
    ],
)
def test_a_reading_held_back_on_the_bad_side_asks_for_work(with_reading, mm):
    part = part_of(judge(with_reading(mm)), ROLLER)
    assert part.judged[0].status == "held back"
    assert (part.call, part.job, part.stake) == (Call.BOOK, JobKind.MEASURE, Stake.MEASURE)
    either = part.judged[0].either_way
    assert either.if_right_h == 0 < either.if_misread_h
    assert "If that is right, nothing is left; if it was misread, about" in say(part.reason)


@pytest.mark.parametrize(
    ("mm", "call"),
    [
        (45.8, Call.BOOK),  # two digits swapped: 54.8 mm is inside
        (
            35.2,
            Call.STOP,
        ),  # two digits swapped: 53.2 mm is past the limit of 54 mm too, and a bush worn through ruins more
    ],
)
def test_it_stops_where_whatever_was_meant_is_past_a_limit_that_stops(dossier, walk_round, reading, mm, call):
    place = Place(PartKind.BUSH, LEFT)
    plain = walk_round("2026-11-02", 3600.0, 0.40)
    odd = reading(PartKind.BUSH, LEFT, Measurand.BUSH_OD_FORWARD, mm)
    others = tuple(one for one in plain.readings if one.place != place)
    last = replace(plain, readings=(*others, odd))
    part = part_of(judge(replace(dossier, walk_rounds=(*dossier.walk_rounds, last))), place)
    assert part.judged[0].status == "held back"
    assert (part.call, part.job) == (call, JobKind.MEASURE)


def test_a_reading_held_back_on_the_good_side_changes_nothing(with_reading):
    """175 mm on a roller of 160 mm when new, and nothing that was likely meant."""
    good, plain = judge(with_reading(175.0)), judge(with_reading(153.6))
    assert part_of(good, ROLLER).judged[0].status == "held back"
    assert part_of(good, ROLLER).judged[0].either_way is None
    assert part_of(good, ROLLER).call.rank >= part_of(plain, ROLLER).call.rank


def test_a_reading_that_cannot_be_is_taken_for_what_was_probably_meant(with_reading):
    """1,420 mm for 142.0 mm, past the limit of 144 mm: the decimal mark slipped, and the roller is worn out."""
    part = part_of(judge(with_reading(1420.0)), ROLLER)
    assert (part.call, part.job) == (Call.BOOK, JobKind.MEASURE)
    assert "If 142.0 mm was meant, nothing is left" in say(part.reason)


def test_a_measure_again_job_stands_in_list_and_headline(with_reading, prices):
    verdict = judge(with_reading(115.6), prices)
    (job,) = [job for job in verdict.jobs if job.kind is JobKind.MEASURE and ROLLER in job.places]
    assert (job.places, job.call, job.due) == ((ROLLER,), Call.BOOK, None)
    assert job.cautions
    assert "measure again bottom roller 3 left" in say(verdict.headline)


def test_every_reading_of_a_kind_held_back_makes_the_limit_suspect(dossier):
    limits = tuple(
        replace(one, new_m=0.130, limit_m=0.122) if one.part is PartKind.LINK else one for one in dossier.limits
    )
    part = part_of(judge(replace(dossier, limits=limits, walk_rounds=dossier.walk_rounds[1:])), LINK)
    assert part.call.asks
    assert "check the limit too" in say(part.reason)


def outlook_of(known, suspect, **chances):
    """The outlook, with the chances of one part set as a model with odd parts may give them."""
    dossier = known.dossier
    found = machine_outlook(lives_of(dossier, known.now_h, known.held), dossier.mix_to_come)
    parts = []
    for part in found.parts:
        fields = {name: getattr(part, name) for name in part.__dataclass_fields__} | {"chance_odd": 0.0}
        parts.append(SimpleNamespace(**(fields | (chances if part.life.place == suspect else {}))))
    return SimpleNamespace(parts=parts)


@pytest.fixture
def one_round(dossier, walk_round, reading):
    """A machine read once, one link worse than all the rest."""
    day = walk_round("2026-09-07", 3000.0, 0.33)
    odd = reading(PartKind.LINK, LEFT, Measurand.RAIL_HEIGHT, 101.0)
    others = tuple(one for one in day.readings if one.place != LINK)
    return replace(dossier, walk_rounds=(replace(day, readings=(*others, odd)),))


def found_at(machine, **chances):
    known = known_by(machine, None)

    def without(readings):
        dossier = known.dossier
        return machine_outlook(lives_of(dossier, known.now_h, known.held | readings), dossier.mix_to_come)

    return doubts_of(known, outlook_of(known, LINK, **chances), without).get((LINK, Measurand.RAIL_HEIGHT))


@pytest.mark.parametrize(
    "chances", [{"chance_odd": 0.6}, {"chance_misread": 0.6}, {"chance_odd": 0.3, "chance_misread": 0.3}]
)
def test_a_part_unlike_its_fellows_is_told_both_ways(one_round, chances):
    """9 of 10 mm worn in the 2,000 h since it was fitted leaves 222 h by proportion."""
    doubted = found_at(one_round, **({"chance_misread": 0.0} | chances))
    assert doubted.if_right_h == pytest.approx(2000 / 9, rel=1e-6)
    assert doubted.if_misread_h > 2500
    assert not doubted.held


def test_a_reading_that_is_understood_is_not_measured_again(one_round):
    assert found_at(one_round, chance_odd=0.3, chance_misread=0.1) is None
    kept = replace(
        one_round,
        walk_rounds=tuple(
            replace(day, readings=tuple(replace(one, kept_because="measured twice") for one in day.readings))
            for day in one_round.walk_rounds
        ),
    )
    assert found_at(kept, chance_odd=0.9, chance_misread=0.0) is None
    assert found_at(kept, chance_odd=0.0, chance_misread=0.9) is not None


@pytest.mark.parametrize(("fitted_h", "asked"), [(2990.0, True), (2900.0, True), (1500.0, False)])
def test_a_new_part_worn_as_none_can_be_by_then_is_measured_again(dossier, walk_round, fitted_h, asked):
    """Half worn 10 or 100 h after it was fitted new: not 10 h are left at that pace, the record or the reading is wrong."""
    shoe = Place(PartKind.SHOE, LEFT)
    events = (PartEvent(shoe, Event.FITTED_NEW, fitted_h),)
    part = part_of(
        judge(replace(dossier, events=events, walk_rounds=(walk_round("2026-09-07", 3000.0, 0.50),))), shoe
    )
    assert (part.job is JobKind.MEASURE) == asked
    assert ("Look up when it was fitted, too" in say(part.reason)) == asked
    if asked:
        assert (part.call, part.stake) == (Call.BOOK, Stake.MEASURE)
        either = part.judged[0].either_way
        assert 1000 < either.if_right_h < either.if_misread_h


@pytest.mark.parametrize(
    ("events", "ruler_h"),
    [
        ((PartEvent(Place(PartKind.SHOE, LEFT), Event.FITTED_NEW, 1000.0),), 2000 / 0.5 - 2000),
        ((), 3000 / 0.5 - 3000),
        ((PartEvent(Place(PartKind.SHOE, LEFT), Event.FITTED_PART_WORN, 1000.0),), None),
        ((PartEvent(Place(PartKind.SHOE, LEFT), Event.REBUILT, 2000.0),), 1000 / 0.5 - 1000),
    ],
)
def test_a_rulers_hours_are_by_proportion(dossier, walk_round, events, ruler_h):
    day = walk_round("2026-09-07", 3000.0, 0.50)
    verdict = judge(replace(dossier, events=events, walk_rounds=(day,)))
    (shoes,) = part_of(verdict, Place(PartKind.SHOE, LEFT)).judged
    assert shoes.life_used_read == pytest.approx(0.50)
    assert shoes.ruler_h == (None if ruler_h is None else pytest.approx(ruler_h, rel=1e-6))


def test_a_ruler_through_two_readings_where_the_start_is_not_known(dossier, walk_round):
    """0.3 at 2,200 h and 0.5 at 3,000 h: 0.5 more takes 2,000 h."""
    worn = PartEvent(Place(PartKind.SHOE, LEFT), Event.FITTED_PART_WORN, 1000.0)
    rounds = (walk_round("2026-03-02", 2200.0, 0.30), walk_round("2026-09-07", 3000.0, 0.50))
    (shoes,) = part_of(judge(replace(dossier, events=(worn,), walk_rounds=rounds)), worn.place).judged
    assert shoes.ruler_h == pytest.approx(2000.0, rel=1e-6)


def test_hours_worked_since_are_named_where_judged_parts_from_read(dossier):
    verdict = judge(dossier, as_of=dt.date(2027, 9, 6))
    (shoes,) = part_of(verdict, Place(PartKind.SHOE, LEFT)).judged
    assert shoes.life_used - shoes.life_used_read > 0.03
    assert "worked since are carried on" in say(shoes.parted)
    assert f"{100 * shoes.life_used_read:.0f} % used as read" in say(shoes.parted)


def test_nothing_is_told_where_read_and_judged_agree(dossier):
    (shoes,) = part_of(judge(dossier), Place(PartKind.SHOE, LEFT)).judged
    assert abs(shoes.life_used - shoes.life_used_read) <= 0.03
    assert "as read" not in say(shoes.parted)


def test_a_walk_round_knows_who_was_where():
    ring = Place(PartKind.SLEW_RING, Side.NONE)
    assert WalkRound(dt.date(2026, 9, 7), 3000.0, looked_over=(ring,)).looked_at == {ring}
