"""The arc model: its relaxation is a bound, and rows and columns are what the problem has."""

import numpy as np
import pytest
from scipy.optimize import linprog

from pitchline.stops.arcs import RULE, arc_model
from pitchline.stops.planner import plan_stops
from pitchline.stops.tables import tables_of


def relaxed(model):
    zero = np.zeros(model.below.shape[0])
    solved = linprog(model.cost, model.below, zero, model.equal, model.right_equal, method="highs")
    assert solved.success
    return solved.fun


@pytest.mark.parametrize("seed", range(8))
def test_relaxation_is_a_bound(random_stops, seed):
    instance = random_stops(seed)
    best = plan_stops(instance).expected_cost
    assert relaxed(arc_model(tables_of(instance))) <= best + 1e-6


@pytest.mark.parametrize("seed", range(4))
def test_fewer_steps_never_cost_less(random_stops, seed):
    tables = tables_of(random_stops(seed, steps=6))
    assert relaxed(arc_model(tables, np.array([1, 4]))) >= relaxed(arc_model(tables)) - 1e-6


def test_relaxation_of_the_tiny_example_is_its_optimum(tiny_stops):
    """Without groups and rules it is tight here; 26 by full enumeration."""
    assert relaxed(arc_model(tables_of(tiny_stops()))) == pytest.approx(26.0)


def test_every_variable_that_chooses_is_whole(random_stops):
    instance = next(random_stops(seed) for seed in range(50) if len(random_stops(seed).rules) == 2)
    tables = tables_of(instance)
    model = arc_model(tables)
    chosen = 5 * (1 + len(instance.groups) + len(tables.ways))
    assert model.whole.sum() == chosen
    assert model.whole[:chosen].all()
    assert (model.owner[:, 0] == RULE).sum() == 5
