"""Whole arrays against plain loops over parts, ways and steps."""

import numpy as np
import pytest

from pitchline.stops.moves import Moves
from pitchline.stops.options import options_of
from pitchline.stops.priced import network_of
from pitchline.stops.tables import NEVER, tables_of


@pytest.fixture(params=range(6))
def moves(request, random_stops):
    tables = tables_of(random_stops(request.param))
    network = network_of(tables)
    return Moves(network, options_of(tables)), network, np.random.default_rng(request.param)


def test_least_of_each_variant(moves):
    found, network, rng = moves
    steps, options = network.tables.steps, found.options
    arrive = rng.uniform(0, 9, (2, len(network.place), steps))
    stays = rng.uniform(0, 9, (2, len(network.start), steps))
    onward = rng.uniform(0, 9, (len(network.tables.ways), steps))
    each = found.each(arrive, stays, onward)
    for node in range(2):
        for variant, ways in enumerate(options.ways):
            for step in range(steps):
                costs = [arrive[node, found.origin[way], step] + onward[way, step] for way in ways]
                if not options.forced[variant]:
                    costs.append(stays[node, options.part[variant], step])
                assert each[node, variant, step] == min(costs)


def test_what_each_part_has_paid_on_entering(moves):
    found, network, rng = moves
    options = found.options
    count = len(options.variant)
    arrive, step = rng.uniform(0, 9, (count, len(network.place))), rng.integers(0, network.tables.steps, count)
    fresh = found.fresh(arrive, np.arange(count), step)
    for option in range(count):
        expected = np.full(len(network.place), NEVER)
        for variant in options.variant[option]:
            for way in options.ways[variant]:
                cost = arrive[option, found.origin[way]] + network.cost[way, step[option]]
                expected[found.to[way]] = min(expected[found.to[way]], cost)
        assert fresh[option] == pytest.approx(expected)


def test_a_part_that_has_to_do_a_job_cannot_stay_as_it_is(moves):
    found, network, _ = moves
    for option, row in enumerate(found.options.variant):
        for place, (part, _) in enumerate(network.place):
            assert found.dropped[option, place] == found.options.forced[row[part]]
