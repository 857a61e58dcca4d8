"""One part alone: what goes in is checked; the figures stand in tests/reference."""

import math

import numpy as np
import pytest

from pitchline.stops.replacement import age_replacement_cost, best_age, best_block, residual
from pitchline.trade.errors import NotAllowedError


def uniform(age):
    return np.clip(np.asarray(age) / 1000.0, 0.0, 1.0)


@pytest.mark.parametrize(("planned", "failed"), [(-1.0, 2.0), (1.0, 0.0), (1.0, math.nan)])
@pytest.mark.parametrize("method", [best_age, best_block])
def test_costs_are_above_zero(method, planned, failed):
    with pytest.raises(NotAllowedError, match="cost"):
        method(uniform, 1000.0, planned, failed)


def test_a_limit_no_dearer_than_planned_work_is_run_to():
    found = best_age(uniform, 1000.0, 100.0, 100.0)
    assert found.never_early
    assert found.cost_per_h == pytest.approx(100.0 / 500.0, rel=1e-4)


def test_best_age_lies_within_its_flat_range_and_costs_least():
    found = best_age(uniform, 1000.0, 100.0, 300.0)
    assert found.earliest_h < found.age_h < found.latest_h
    cost = age_replacement_cost(np.linspace(0, 1000.0, 1001), uniform, 100.0, 300.0)
    assert found.cost_per_h == pytest.approx(cost[1:].min(), rel=1e-4)
    assert found.cost_per_h < found.run_to_limit


def test_an_age_no_part_reaches_is_refused():
    with pytest.raises(NotAllowedError, match="an age some parts reach"):
        residual(uniform, 1000.0)
