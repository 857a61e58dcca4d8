"""Small changes to a set of stops: exact prices, never dearer."""

import math

import pytest

from pitchline.stops.plan import plan_of
from pitchline.stops.polish import polished
from pitchline.stops.priced import priced_at
from pitchline.stops.search import Search
from pitchline.stops.solver import Solver, jobs_at


@pytest.fixture(params=["S01", "S04", "S08"])
def solver(request, shared_stops):
    return Solver(shared_stops[request.param][1])


def exact(solver, chosen):
    """Cost by shortest paths, stops that nobody uses paid for too."""
    taken = jobs_at(solver.network, solver.options, chosen)
    plan = plan_of(solver.tables, taken, -math.inf, "test")
    return plan.expected_cost


def test_sets_priced_together_cost_what_each_costs_alone(solver):
    search = Search(solver.network, solver.options, priced_at(solver.network, solver.prices))
    last = len(solver.options.variant) - 1
    sets = [(), ((0, last),), ((1, last), (3, last)), ((2, 0), (4, last), (5, last))]
    together = search.costs_of(sets)
    for chosen, cost in zip(sets, together, strict=True):
        assert cost >= exact(solver, chosen) - 1e-6
        assert cost == pytest.approx(float(search.costs_of([chosen])[0]), abs=1e-9)


def test_a_polished_set_is_no_dearer_and_costs_what_it_says(solver):
    search = Search(solver.network, solver.options, priced_at(solver.network, solver.prices))
    steps, options = solver.tables.steps, len(solver.options.variant)
    start = ((0, options - 1), (steps // 2, options - 1), (steps - 2, options - 1))
    before = float(search.costs_of([start])[0])
    chosen, cost = polished(search, start, before, steps, options)
    assert cost <= before
    assert cost == pytest.approx(float(search.costs_of([chosen])[0]), abs=1e-9)
