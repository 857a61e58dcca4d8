"""Even points against scipy.stats.qmc, which makes the same from the same direction numbers."""

import numpy as np
import pytest
from scipy.stats import qmc

from pitchline.trade.even_points import even_points


@pytest.mark.parametrize(
    ("inputs", "points", "seed"), [(1, 1, 3), (3, 4, 1), (16, 64, 0), (25, 256, 7), (40, 32, 2), (41, 8, 0)]
)
def test_even_points_are_those_of_a_general_library(inputs, points, seed):
    expected = qmc.Sobol(inputs, rng=np.random.default_rng(seed)).random(points)
    assert np.array_equal(even_points(inputs, points, seed), expected)
