"""What a plan says of itself: bound, hours, what is opened, and how far a stop can be moved."""

from dataclasses import replace

import pytest

from pitchline.stops.plan import NEAR_BEST, plan_of
from pitchline.stops.planner import plan_stops
from pitchline.stops.recost import recost
from pitchline.stops.tables import tables_of


def moved(plan, step, to):
    return {part: [(job, to if at == step else at) for job, at in jobs] for part, jobs in plan.done().items()}


@pytest.mark.parametrize("name", ["S04", "S06", "S08"])
def test_range_of_a_stop_is_what_recosting_says(shared_stops, name):
    """Moved with all its jobs to the ends of its range, a stop costs at most 1 % more; a step further, more or never."""
    _, instance = shared_stops[name]
    plan = plan_stops(instance)
    most, width = plan.expected_cost * (1 + NEAR_BEST), 0
    for stop in plan.stops:
        first, last = (round(hours / instance.step_h) for hours in (stop.earliest_h, stop.latest_h))
        assert first <= stop.step <= last
        width += last - first
        for to in range(first, last + 1):
            assert recost(instance, moved(plan, stop.step, to)) <= most + 1e-6
        for to in (first - 1, last + 1):
            if 0 <= to < instance.steps and to not in plan.stop_steps:
                assert recost(instance, moved(plan, stop.step, to)) > most - 1e-6
    assert width > 0


def test_what_is_opened_is_named(shared_stops):
    _, instance = shared_stops["S08"]
    groups = {(part.name, job.name): set(job.groups) for part in instance.components for job in part.jobs}
    plan = plan_stops(instance)
    for stop in plan.stops:
        needed = set().union(*(groups[row.component, row.job] for row in plan.plan if row.step == stop.step))
        assert set(stop.opened) == needed
        assert stop.hour == stop.step * instance.step_h


def test_a_bound_below_the_cost_is_told(tiny_stops):
    tables = tables_of(tiny_stops())
    plan = plan_of(tables, [[(0, 1)], [(2, 1)]], 20.8, "search")
    assert (plan.expected_cost, plan.lower_bound, plan.proven) == (26.0, 20.8, False)
    assert plan.gap == pytest.approx(0.2)
    assert plan_of(tables, [[(0, 1)], [(2, 1)]], 30.0, "search").lower_bound == 26.0


def test_nothing_to_do_is_a_plan(tiny_stops):
    plan = plan_stops(tiny_stops(40.0))
    assert (plan.stops, plan.plan) == ((), ())
    assert plan.done() == {"A": (), "B": ()}
    assert replace(plan, lower_bound=plan.expected_cost).proven
