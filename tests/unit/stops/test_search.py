"""The search finds the optimum at any prices, and its bound holds however early it is cut off."""

import numpy as np
import pytest

from pitchline.stops.milp import plan_by_milp
from pitchline.stops.options import options_of
from pitchline.stops.plan import plan_of
from pitchline.stops.planner import no_limit
from pitchline.stops.priced import network_of, priced_at
from pitchline.stops.search import Search, onward_from
from pitchline.stops.solver import jobs_at
from pitchline.stops.tables import NEVER, tables_of

NEAR = 1e-6


@pytest.fixture(params=range(8))
def case(request, random_stops):
    """A search at prices drawn at random, and the optimum by the general solver."""
    tables = tables_of(random_stops(request.param, steps=6))
    network, rng = network_of(tables), np.random.default_rng(request.param)
    prices = rng.uniform(0, 10, (len(network.free), tables.steps))
    search = Search(network, options_of(tables), priced_at(network, prices))
    return search, plan_by_milp(tables, no_limit).expected_cost


def test_optimum_is_found_whatever_the_prices(case):
    search, best = case
    found = search.run(NEVER, lambda _: True)
    assert (found.cost, found.bound) == pytest.approx((best, best), abs=NEAR)
    assert found.chosen is not None


def test_a_narrow_search_keeps_an_honest_bound(case):
    search, best = case
    found = search.run(NEVER, lambda _: True, width=2)
    assert found.bound <= best + NEAR
    assert found.cost >= best - NEAR


def test_a_search_cut_off_at_once_keeps_an_honest_bound(case):
    search, best = case
    found = search.run(NEVER, lambda _: False)
    assert found.bound <= best + NEAR
    assert found.cost >= best - NEAR


def test_nothing_cheaper_than_the_optimum_is_found(case):
    search, best = case
    found = search.run(best - 1e-3, lambda _: True)
    assert found.chosen is None
    assert found.bound == found.cost == best - 1e-3


def test_onward_costs_agree_with_the_relaxed_problem(random_stops):
    """With nothing done at step 0 and on, the rest from the start is the relaxed problem after step 0."""
    network = network_of(tables_of(random_stops(3)))
    priced = priced_at(network, np.full((len(network.free), network.tables.steps), 20.0))
    onward = onward_from(network, priced)
    assert priced.relief[0] < 0
    last = network.tables.steps - 1
    assert onward.stay[:, :, last] == pytest.approx(network.end)
    from_now = np.minimum(
        onward.stay[0, network.start, 0], network.wear[0][0, network.start] + priced.leave[0, network.start]
    )
    assert from_now.sum() + priced.relief.sum() == pytest.approx(priced.bound)
    assert onward.relief[0] == pytest.approx(priced.relief[1:].sum())


def test_a_sweep_costs_what_it_says_and_reaches_the_optimum_when_wide(random_stops):
    """HiGHS's optimum from below; a sweep wide enough to keep everything reaches it."""
    for seed in range(8):
        tables = tables_of(random_stops(seed, steps=6))
        network, options = network_of(tables), options_of(tables)
        priced = priced_at(network, np.zeros((len(network.free), tables.steps)))
        best = plan_by_milp(tables, no_limit).expected_cost
        narrow = Search(network, options, priced).sweep(NEVER, 2)
        taken = jobs_at(network, options, narrow.chosen)
        assert plan_of(tables, taken, -NEVER, "search").expected_cost == pytest.approx(narrow.cost, abs=NEAR)
        assert narrow.cost >= best - NEAR
        assert Search(network, options, priced).sweep(NEVER, 100_000).cost == pytest.approx(best, abs=NEAR)
        assert Search(network, options, priced).sweep(best - NEAR, 100_000).chosen is None
