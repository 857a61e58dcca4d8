"""When to go round again, and what a reading is worth.

Sources: API 653 as quoted in a filed tank report (from memory), for half the life left; the rest is computed outside this code
from the formulas, by numerical integration.
"""

import math

import numpy as np
import pytest
from scipy.stats import norm

from pitchline.stops.inspection import latest_walk_round_h, worth_of_reading


def test_worth_of_a_reading():
    """Life left 2,000 h give or take 400 h, early 2, late 18 an hour, a reading good to 200 h: by numerical integration."""
    found = worth_of_reading(2000, 400, 2, 18, 200)
    assert found.planned_h == pytest.approx(1487.38, abs=0.005)
    assert found.perfect == pytest.approx(1403.99, abs=0.005)
    assert found.reading == pytest.approx(776.10, abs=0.005)


def test_worth_of_a_reading_by_simulation():
    """The same by drawing lives and readings, to within four standard errors."""
    rng = np.random.default_rng(5)
    life = rng.normal(2000, 400, 400_000)
    said = life + rng.normal(0, 200, life.size)
    share = 400**2 / (400**2 + 200**2)
    z = norm.ppf(0.1)

    def cost(planned):
        return 2 * np.maximum(life - planned, 0) + 18 * np.maximum(planned - life, 0)

    now = cost(2000 + 400 * z)
    after = cost(2000 + share * (said - 2000) + 400 * 200 / math.hypot(400, 200) * z)
    saved = now - after
    assert abs(saved.mean() - 776.10) < 4 * saved.std() / math.sqrt(life.size)


def test_next_walk_round_is_half_the_cautious_life():
    """API 653's shell example: 42 years left gives 21, capped at 15."""
    left = (0.177 - 0.100) / ((0.188 - 0.177) / 6)
    assert left / 2 == pytest.approx(21.0)
    assert latest_walk_round_h(left, 15.0) == 15.0
    assert latest_walk_round_h(10.0, 15.0) == 5.0
    assert latest_walk_round_h(-3.0, 15.0) == 0.0
