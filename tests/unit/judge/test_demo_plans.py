"""Plans of every demo machine read as the trade would expect: properties, common practice, no source; no pinned figures."""

from itertools import pairwise

import pytest

from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.judge.teller import CALLS_ASIDE
from pitchline.judge.why import CLOSE_H, MANY_PASSED
from pitchline.stops.settings import PlanSettings
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

YARD = build_yard()
WEEKS_H = 500.0
LATE_H = 1200.0
"""A turn may wait so long past the turn point for another job [h]."""


@pytest.fixture(scope="module", params=[machine.number for machine in YARD.machines])
def plan(request):
    machine = YARD.machine(request.param)
    return judge(machine.with_sheet, YARD.prices, planning=PlanSettings(9_000.0), what_ifs=False).plan


def done(plan):
    """Every job with its hours and place."""
    return [(stop.at_h, job, place) for stop in plan.stops for job in stop.jobs for place in job.places]


def test_no_job_is_done_twice_within_weeks(plan):
    hours = {}
    for at_h, job, place in done(plan):
        hours.setdefault((job.kind, place), []).append(at_h)
    assert all(later - sooner > WEEKS_H for some in hours.values() for sooner, later in pairwise(some))


def test_bushes_are_turned_once_and_near_their_turn_point(plan):
    turned = {}
    for at_h, job, place in done(plan):
        if job.kind is JobKind.TURN:
            assert not turned.get(place.side)
            turned[place.side] = True
            assert job.due is None or at_h <= job.due.middle + LATE_H
        elif job.kind is JobKind.REPLACE and place.part is PartKind.CHAIN:
            turned[place.side] = False


def test_a_new_chain_has_new_sprockets(plan):
    chains = {(at_h, place.side) for at_h, job, place in done(plan) if place.part is PartKind.CHAIN}
    chains = {one for one in chains if _renewed(plan, PartKind.CHAIN, *one)}
    assert all(_renewed(plan, PartKind.SPROCKET, *one) for one in chains)


def _renewed(plan, part, hours, side):
    return any(
        at_h == hours and place.side is side and place.part is part and job.kind is JobKind.REPLACE
        for at_h, job, place in done(plan)
    )


def test_stops_that_lie_close_are_explained(plan):
    gaps = [later.at_h - sooner.at_h for sooner, later in pairwise(plan.stops)]
    if gaps and min(gaps) < CLOSE_H:
        assert any("close" in said or "before the machine works again" in said for said in plan.why)


def test_limits_passed_without_a_stop_are_explained(plan):
    if not plan.stops and plan.beside[0].limits_passed >= MANY_PASSED:
        assert any("No lay-up pays" in said for said in plan.why)


def test_sprockets_renewed_twice_are_explained(plan):
    hours = {}
    for at_h, job, place in done(plan):
        if place.part is PartKind.SPROCKET and job.kind is JobKind.REPLACE:
            hours.setdefault(place.side, []).append(at_h)
    chains = {
        at_h for at_h, job, place in done(plan) if place.part is PartKind.CHAIN and job.kind is JobKind.REPLACE
    }
    alone = [
        at_h for some in hours.values() for at_h in some if at_h not in chains and any(c > at_h for c in chains)
    ]
    assert not alone or any("Sprockets" in said for said in plan.why)


def test_the_plan_is_the_cheapest_of_what_it_is_set_beside(plan):
    assert all(way.cost >= plan.beside[0].cost - 1e-6 for way in plan.beside if way.name != CALLS_ASIDE)
