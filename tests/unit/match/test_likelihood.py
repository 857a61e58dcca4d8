"""Densities of readings of worn parts, against figures reckoned outside the project and against numerical integration."""

import numpy as np
import pytest
from scipy import integrate, stats

from pitchline.match.likelihood import of_count, of_unworn, of_worn


@pytest.mark.parametrize(
    ("read", "new", "allowance", "doubts", "falls", "density"),
    [
        (57.8, 60, 8, (0.3, 0.1), True, 0.104167),
        (60.3, 60, 8, (0.3, 0.1), True, 0.017853),
        (61.5, 60, 8, (0.3, 0.1), True, 1.09e-7),
        (193.1, 190, 6, (0.3, 0.2), False, 0.138889),
        (189.6, 190, 6, (0.3, 0.2), False, 0.018560),
    ],
)
def test_densities_as_reckoned(read, new, allowance, doubts, falls, density):
    """In millimetres, as the worked values are."""
    found = of_worn(read, np.array([new]), np.array([allowance]), np.array([np.hypot(*doubts)]), falls)[0]
    assert found == pytest.approx(density, rel=6e-3 if density < 1e-3 else 5e-5)


@pytest.mark.parametrize("falls", [True, False])
def test_a_density_is_a_uniform_wear_blurred_by_a_normal_doubt(falls):
    """scipy's quadrature over the wear."""
    way = -1 if falls else 1
    for read in (50.0, 51.5, 54.0, 61.0):
        told = of_worn(read, np.array([55.0]), np.array([5.0]), np.array([0.8]), falls)[0]
        blurred, _ = integrate.quad(lambda worn, y=read: stats.norm.pdf(y, 55 + way * worn, 0.8) / 6, 0, 6)
        assert told == pytest.approx(blurred, abs=1e-9)


def test_what_does_not_wear_is_a_normal_law():
    told = of_unworn(139.4, np.array([139.0, 140.5]), np.array([np.hypot(0.8, 0.5)] * 2))
    assert told == pytest.approx(stats.norm([139.0, 140.5], np.hypot(0.8, 0.5)).pdf(139.4), rel=1e-12)


def test_a_miscount_by_one_is_likelier_than_by_two():
    assert of_count(46, np.array([46.0, 45.0, 40.0])).tolist() == [0.97, 0.01, 0.001]
