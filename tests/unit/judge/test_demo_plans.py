"""Plans of every demo machine read as the trade would expect: properties, common practice, no source; no pinned figures."""

from functools import cache
from itertools import pairwise

import pytest

from one_story import one_story
from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.judge.called import next_hours, next_job
from pitchline.judge.machine_by_day import known_by
from pitchline.judge.teller import CALLS_ASIDE
from pitchline.judge.why import CLOSE_H, MANY_PASSED
from pitchline.money.cost import job_cost
from pitchline.outlook.expected import life_left
from pitchline.outlook.lives import lives_of
from pitchline.outlook.machine import machine_outlook
from pitchline.picture.yard import due_first
from pitchline.stops.jobs import job_at_limit, pieces_at, target_of
from pitchline.stops.settings import PlanSettings
from pitchline.stops.thumb import RUN_ON
from pitchline.trade.calls import Call
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.past_limit import past_limit
from pitchline.words import say

YARD = build_yard()
WEEKS_H = 500.0
LATE_H = 1200.0
"""A turn may wait so long past the turn point for another job [h]."""


@pytest.fixture(scope="module", params=[machine.number for machine in YARD.machines])
def plan(request):
    machine = YARD.machine(request.param)
    return verdict_of(machine.number).plan


@cache
def verdict_of(number):
    return judge(YARD.machine(number).with_sheet, YARD.prices, planning=PlanSettings(9_000.0), what_ifs=False)


@pytest.fixture(scope="module", params=[machine.number for machine in YARD.machines])
def verdict(request):
    return verdict_of(request.param)


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
        assert any("close" in said or "before the machine works again" in said for said in map(say, plan.why))


def test_limits_passed_without_a_stop_are_explained(plan):
    if not plan.stops and plan.beside[0].limits_passed >= MANY_PASSED:
        assert any("No lay-up pays" in said for said in map(say, plan.why))


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
    assert not alone or any("Sprockets" in said for said in map(say, plan.why))


def test_the_plan_is_the_cheapest_of_what_it_is_set_beside(plan):
    assert all(way.cost >= plan.beside[0].cost - 1e-6 for way in plan.beside if way.name != CALLS_ASIDE)


def first_done(plan):
    """For each kind of job at each place, the first lay-up that does it, and its job."""
    return {
        (job.kind, place): (stop.at_h, job)
        for stop in reversed(plan.stops)
        for job in stop.jobs
        for place in job.places
    }


def test_every_call_of_the_verdict_is_kept_by_the_plan(verdict):
    """Stop: before it works again. Book: inside the booking window, the same job under the same call. Or told why not."""
    found = first_done(verdict.plan)
    also = {(job.kind, place) for job in verdict.plan.also for place in job.places}
    for job in verdict.jobs:
        for place in job.places if job.call.asks else ():
            at_h, planned = found.get((job.kind, place), (0.0, None))
            if planned is None:
                told = any("Not done by itself" in said for said in map(say, verdict.plan.why))
                assert (job.kind, place) in also or told
            else:
                assert planned.call is job.call
                assert at_h <= (verdict.window_h if job.call is Call.BOOK else 0.0)


def test_no_part_has_two_calls_and_no_job_two_ranges(verdict):
    """A job of the plan on the part now fitted is the verdict's own, or is run there too; where its places are the same, so are
    its hours."""
    calls = {(job.kind, place): job.call for job in verdict.jobs for place in job.places}
    ranges = {(job.kind, job.places): job.due for job in verdict.jobs}
    for at_h, job in [(stop.at_h, job) for stop in verdict.plan.stops for job in stop.jobs]:
        if "anew" in say(job.because):
            assert job.call is Call.RUN
            continue
        assert all(calls.get((job.kind, place), Call.RUN) is job.call for place in job.places)
        assert ranges.get((job.kind, job.places), job.due) == job.due
        assert at_h == 0 or job.call is not Call.STOP


def test_whatever_is_done_at_another_time_than_its_own_says_what_that_saves(verdict):
    step_h = verdict.plan.step_h
    for number, stop in enumerate(verdict.plan.stops, 1):
        for job in stop.jobs:
            if job.call.asks:
                assert job.joins is None
            elif job.due is not None and abs(job.due.middle - stop.at_h) >= step_h:
                assert job.joins is not None
                assert job.joins.layup == number
                assert job.joins.saves is not None or job.joins.with_job is not None


def test_running_on_loses_no_more_than_can_be_ruined_and_the_stops_it_causes(verdict):
    """Each place once at its list price, a chain's rails and bushes together; an unplanned stop whenever a part breaks,
    first at its limit and then once in its life as new."""
    known = known_by(YARD.machine(int(verdict.machine.machine_id.split("-")[0])).with_sheet, None)
    outlook = machine_outlook(lives_of(known.dossier, known.now_h, known.held), known.dossier.mix_to_come)
    costs, settings = YARD.prices.stop, PlanSettings(9_000.0)
    most_h = max(costs.standing_per_h, costs.busy_standing_per_h)
    one_stop = costs.lorry + costs.call_out + costs.fitter_day + settings.unplanned_h * most_h
    limits = {part.life.place: part.life.line.limit for part in outlook.parts}
    renewed = {
        target_of(job := job_at_limit(limit, turnable=False), place): job for place, limit in limits.items()
    }
    priced = [
        job_cost(YARD.prices, job, at.part, 1, pieces_at(job, at.part, verdict.gear))
        for at, job in renewed.items()
        if job in RENEWS
    ]
    price = sum(cost.price.usual for cost in priced if cost.price is not None)
    stops = sum(1 + 9_000.0 / life.as_new_h for life in life_left(outlook))
    told = [way.money for way in verdict.plan.beside if way.name == RUN_ON]
    # Where nobody read much, running on may cost less by expectation; it is not told then, because it works on past a stop.
    assert bool(told) is (verdict.machine.machine_id != "11-linden")
    assert all(0 < money.losses <= price + one_stop * stops for money in told)


def test_nothing_that_stops_the_machine_at_its_limit_is_planned_to_work_on_past_it(verdict):
    """Bushes and rubber tracks are done by the hour at which they are as likely past their limit as not; a ring is seen to."""
    done = first_done(verdict.plan)
    known = known_by(YARD.machine(int(verdict.machine.machine_id.split("-")[0])).with_sheet, None)
    outlook = machine_outlook(lives_of(known.dossier, known.now_h, known.held), known.dossier.mix_to_come)
    for part in outlook.parts:
        at, which = part.life.place, part.life.measurand
        stops = past_limit(at.part, which).call is Call.STOP and at.part is not PartKind.SLEW_RING
        if not stops or part.to_limit.middle >= 9_000.0 or not part.life.traces:
            continue
        places = {at, Place(PartKind.CHAIN, at.side)} if at.part is PartKind.BUSH else {at}
        hours = [at_h for (_, place), (at_h, _) in done.items() if place in places]
        window_h = verdict.window_h if any(job.call.asks and {*job.places} & places for job in verdict.jobs) else 0
        assert min(hours) <= max(part.to_limit.middle, window_h)


def test_chart_of_a_yard_is_in_the_order_of_its_list_by_the_same_hours():
    """By call, then by the hours of the most pressing job: what a machine's row keeps for the list."""
    verdicts = [verdict_of(machine.number) for machine in YARD.machines]
    hours = [next_hours(verdict) or (float("inf"),) * 3 for verdict in due_first(verdicts)]
    keys = [(-verdict.call.rank, of[1]) for verdict, of in zip(due_first(verdicts), hours, strict=True)]
    assert keys == sorted(keys)
    for verdict in verdicts:
        job = next_job(verdict)
        if job is not None and job.due is not None and job.call is not Call.STOP:
            assert next_hours(verdict)[1] == job.due.middle
        elif job is not None:
            assert next_hours(verdict) == (0.0, 0.0, 0.0)


def test_everything_told_of_a_demo_machine_is_one_story(verdict):
    one_story(verdict, YARD.prices)
