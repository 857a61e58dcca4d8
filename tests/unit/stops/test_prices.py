"""Prices from a coarse grid are good, and climbing never makes them worse."""

import numpy as np
import pytest

from pitchline.stops.priced import network_of, priced_at
from pitchline.stops.prices import climb, coarse_prices
from pitchline.stops.tables import tables_of

NAMES = ["S04", "S06", "S08"]


@pytest.mark.parametrize("name", NAMES)
def test_bound_after_climbing_is_near_the_optimum(shared_stops, name):
    raw, instance = shared_stops[name]
    network, best = network_of(tables_of(instance)), raw["optimum"]["expected_cost"]
    prices, about = coarse_prices(network)
    start = priced_at(network, prices).bound
    better, priced = climb(network, prices, best, 60)
    assert start <= priced.bound <= best * (1 + 1e-6)
    assert priced.bound >= 0.99 * best
    assert priced_at(network, better).bound == priced.bound
    assert about == pytest.approx(best, rel=0.05)


@pytest.mark.parametrize("name", NAMES)
def test_prices_on_sharing_are_never_below_zero(shared_stops, name):
    raw, instance = shared_stops[name]
    network = network_of(tables_of(instance))
    prices, _ = climb(network, coarse_prices(network)[0], raw["optimum"]["expected_cost"], 60)
    assert (prices[~network.free] >= 0).all()


def test_no_time_changes_nothing(shared_stops):
    network = network_of(tables_of(shared_stops["S04"][1]))
    start = np.zeros((len(network.free), network.tables.steps))
    prices, priced = climb(network, start, 1e6, 50, lambda: False)
    assert (prices == start).all()
    assert priced.bound == priced_at(network, start).bound
