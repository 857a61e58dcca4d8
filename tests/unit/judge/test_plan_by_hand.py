"""Stops put elsewhere by hand."""

from dataclasses import replace

import pytest

from pitchline.exchange.stop_instance import instance_from_json, instance_json
from pitchline.exchange.verdict_in import verdict_from_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.judge.plan_by_hand import cost_of, moved_plan, put_at, spots_for, steps_of
from pitchline.judge.whole import footing_of
from pitchline.papers.stop import planned_stops
from pitchline.stops.settings import PlanSettings
from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError

SETTINGS = PlanSettings(6000.0, stop_cost=500.0)


@pytest.fixture(scope="module")
def planned(dossier, prices):
    return judge(dossier, prices, planning=SETTINGS, what_ifs=False)


@pytest.fixture(scope="module")
def footing(dossier, prices):
    return footing_of(dossier, prices, SETTINGS)


@pytest.fixture(scope="module")
def past(worn, prices):
    """A machine past its limits: its plan begins before it works again."""
    return judge(worn(1.2), prices, planning=SETTINGS, what_ifs=False), footing_of(worn(1.2), prices, SETTINGS)


def test_plan_where_it_is_costs_what_the_planner_said(planned, footing):
    plan = planned.plan
    assert cost_of(footing, plan, steps_of(plan)) == pytest.approx(plan.cost, rel=1e-9)


def test_plan_of_a_machine_that_must_not_work_costs_what_the_planner_said(past):
    verdict, footing = past
    assert footing.forced
    assert cost_of(footing, verdict.plan, steps_of(verdict.plan)) == pytest.approx(verdict.plan.cost, rel=1e-9)


def test_no_place_is_cheaper_than_a_proven_plan(planned, footing):
    plan = planned.plan
    assert plan.proven
    for number in range(1, len(plan.stops) + 1):
        for place in spots_for(footing, plan, number, steps_of(plan)):
            assert place.cost is None or place.cost >= plan.cost - 1e-6 * abs(plan.cost)


def test_hours_within_which_it_hardly_matters_are_those_of_the_planner(planned, footing):
    """The planner reckons them from its tables, this from the definition."""
    plan = planned.plan
    same = moved_plan(footing, planned, steps_of(plan))
    found = [(stop.at_h, stop.earliest_h, stop.latest_h) for stop in same.stops]
    assert found == [(stop.at_h, stop.earliest_h, stop.latest_h) for stop in plan.stops]


def test_jobs_go_along_and_stay_in_number(planned, footing):
    plan = planned.plan
    steps = [*steps_of(plan)]
    steps[0] += 1
    rows = put_at(plan, steps)
    assert sorted((row.component, row.job) for row in rows) == sorted(
        (row.component, row.job) for row in plan.rows
    )
    moved = moved_plan(footing, planned, steps)
    assert moved.stops[0].jobs[0].kind is plan.stops[0].jobs[0].kind
    assert moved.stops[0].at_h == plan.stops[0].at_h + plan.step_h
    assert moved.cost >= plan.cost
    assert moved.beside[1] == plan.beside[0]


def test_later_stop_passes_limits_more_often(planned, footing):
    plan = planned.plan
    steps = [*steps_of(plan)]
    places = [place for place in spots_for(footing, plan, 1, steps) if place.cost is not None]
    late = moved_plan(footing, planned, [places[-1].step, *steps[1:]])
    assert late.beside[0].limits_passed > plan.beside[0].limits_passed


def test_what_must_not_work_on_stays_before_it_works_again(past):
    verdict, footing = past
    steps = [*steps_of(verdict.plan)]
    assert steps[0] == 0
    with pytest.raises(NotAllowedError, match="before the machine works again"):
        cost_of(footing, verdict.plan, [1, *steps[1:]])
    assert verdict.plan.stops[0].jobs[0].call is Call.STOP


def test_jobs_on_one_part_cannot_change_places(past):
    verdict, footing = past
    plan = verdict.plan
    twice = [row.component for row in plan.rows]
    assert any(twice.count(name) > 1 for name in twice)
    refused = [place for place in spots_for(footing, plan, len(plan.stops), steps_of(plan)) if place.cost is None]
    assert refused
    assert all("in their order" in place.refused for place in refused)


@pytest.mark.parametrize("steps", [[], [0] * 40, [-1], [10_000]])
def test_steps_outside_the_plan_are_refused(planned, footing, steps):
    with pytest.raises(NotAllowedError):
        cost_of(footing, planned.plan, steps)


def test_no_such_stop(planned, footing):
    with pytest.raises(NotAllowedError, match="lay-up"):
        spots_for(footing, planned.plan, 99, steps_of(planned.plan))


def test_verdict_without_a_plan_has_nothing_to_move(planned, footing):
    with pytest.raises(NotAllowedError, match="Work the plan out"):
        moved_plan(footing, replace(planned, plan=None), [1])


def test_moved_plan_goes_out_and_comes_back_and_gives_papers(planned, footing, prices):
    moved = replace(planned, plan=moved_plan(footing, planned, steps_of(planned.plan)))
    assert verdict_from_json(verdict_json(moved)) == moved
    assert planned_stops(moved, prices)[0].at_h == moved.plan.stops[0].at_h


def test_instance_reads_back_as_the_same(footing):
    assert instance_from_json(instance_json(footing.instance), "instance") == footing.instance
