"""Whatever the prices, the relaxed problem is a bound; and its slope is one."""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.stops.planner import plan_stops
from pitchline.stops.priced import jobs_done, network_of, priced_at, slope
from pitchline.stops.tables import tables_of

SEEDS = range(12)


def drawn(network, rng, scale=20.0):
    prices = rng.uniform(0, scale, (len(network.free), network.tables.steps))
    prices[network.free] -= scale / 2
    return prices


@pytest.mark.parametrize("seed", SEEDS)
def test_no_prices_give_more_than_the_optimum(random_stops, seed):
    instance, rng = random_stops(seed), np.random.default_rng(seed)
    network, best = network_of(tables_of(instance)), plan_stops(instance).expected_cost
    bounds = [priced_at(network, drawn(network, rng)).bound for _ in range(20)]
    assert max(bounds) <= best + 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_slope_lies_above_the_bound_everywhere(random_stops, seed):
    """The bound is concave in the prices, and the slope supports it from above."""
    network, rng = network_of(tables_of(random_stops(seed))), np.random.default_rng(seed)
    here, there = drawn(network, rng), drawn(network, rng)
    priced = priced_at(network, here)
    rise = slope(network, priced, jobs_done(network, priced))
    assert priced_at(network, there).bound <= priced.bound + (rise * (there - here)).sum() + 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_bound_is_what_its_own_paths_cost(random_stops, seed):
    """A bound that differed from the cost of its paths would be no bound of anything."""
    instance, rng = random_stops(seed, rules=False), np.random.default_rng(seed)
    parts = tuple(
        replace(part, jobs=tuple(replace(job, groups=()) for job in part.jobs)) for part in instance.components
    )
    free = replace(instance, stop_cost=(0.0,) * instance.steps, groups=(), components=parts)
    network = network_of(tables_of(free))
    zero = np.zeros((len(network.free), free.steps))
    assert priced_at(network, zero).bound == pytest.approx(plan_stops(free).expected_cost)
    prices = drawn(network, rng)
    priced = priced_at(network, prices)
    done, tables = jobs_done(network, priced), network.tables
    total = priced.relief.sum() + float((done * priced.way_cost[:-1]).sum())
    for part in range(tables.parts):
        entry = stage = 0
        steps = [
            (step, way)
            for step in range(tables.steps)
            for way, one in enumerate(tables.ways)
            if one.part == part and done[way, step]
        ]
        for step, way in steps:
            total += tables.wear[entry, part, stage, step]
            entry, stage = step + 1, tables.ways[way].to_stage
        total += tables.end[entry, part, stage]
    assert total == pytest.approx(priced.bound)


def test_a_free_price_belongs_to_a_same_time_rule(shared_stops):
    _, instance = shared_stops["S08"]
    network = network_of(tables_of(instance))
    assert network.free.sum() == sum(rule.kind == "same_time" for rule in instance.rules)
