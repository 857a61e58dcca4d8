"""Like parts of one side that all read far more worn than those of the other bear each other out: our own rule."""

from dataclasses import replace

import pytest

from pitchline.judge import judge
from pitchline.trade.calls import Call
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.words import say

CAUSE = "look for the cause (alignment, working across a slope) before new parts go on"


@pytest.fixture
def one_side(dossier, walk_round, reading):
    """A factory: read once, 10 % worn, but for the left bottom rollers from the front, read at these tread diameters [mm]."""

    def make(*sizes_mm):
        day = walk_round("2026-09-07", 3000.0, 0.10)
        odd = {
            number: reading(PartKind.BOTTOM_ROLLER, Side.LEFT, Measurand.TREAD_DIAMETER, mm, position=number)
            for number, mm in enumerate(sizes_mm, 1)
        }
        places = {one.place for one in odd.values()}
        readings = (*(one for one in day.readings if one.place not in places), *odd.values())
        return judge(replace(dossier, walk_rounds=(replace(day, readings=readings),)))

    return make


def left_rollers(verdict, many):
    return [
        part
        for part in verdict.parts
        if part.place.part is PartKind.BOTTOM_ROLLER and part.place.side is Side.LEFT
    ][:many]


def test_two_odd_rollers_are_measured_again(one_side):
    verdict = one_side(147.9, 147.6)
    assert {part.job for part in left_rollers(verdict, 2)} == {JobKind.MEASURE}
    assert not any(CAUSE in said for said in map(say, verdict.remarks))


@pytest.mark.parametrize("sizes_mm", [(147.9, 147.6, 148.1), (147.9, 147.6, 148.1, 147.7, 148.0)])
def test_three_and_more_were_not_all_misread(one_side, sizes_mm):
    """About 75 % of 16 mm worn on the left, 10 % on the right: the cause is looked for, and no call is milder than with two."""
    verdict = one_side(*sizes_mm)
    assert (
        f"On the left {len(sizes_mm)} bottom rollers read alike worn (tread diameter), on the right none does"
        in " ".join(map(say, verdict.remarks))
    )
    for part in left_rollers(verdict, len(sizes_mm)):
        assert part.call is Call.BOOK
        assert part.job is not JobKind.MEASURE
        assert part.judged[0].either_way is None
        assert CAUSE in say(part.reason)
    assert not any(job.kind is JobKind.MEASURE for job in verdict.jobs)


def test_what_falls_due_is_booked_with_the_cause_told(one_side):
    """144.1 to 144.4 mm at a limit of 144 mm: due, and nobody asks whether all five were misread."""
    verdict = one_side(144.3, 144.1, 144.4, 144.2, 144.35)
    for part in left_rollers(verdict, 5):
        assert (part.call, part.job) == (Call.BOOK, JobKind.REPLACE)
        assert CAUSE in say(part.reason)


def test_figures_that_look_copied_bear_nothing_out(one_side):
    verdict = one_side(147.9, 147.9, 147.9, 147.9, 147.9)
    assert not any(CAUSE in said for said in map(say, verdict.remarks))
