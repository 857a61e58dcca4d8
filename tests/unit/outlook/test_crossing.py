"""The search for hours against scipy's brentq, on curves of chance that are easy, bent, and broken by a plateau."""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import ndtr

from pitchline.outlook.crossing import invert

CHANCES = np.array([0.1, 0.5, 0.9])
CURVES = {
    "wear well known": lambda h: ndtr((h - 2000) / 150),
    "rate doubtful": lambda h: ndtr(np.log(np.maximum(h, 1e-9) / 900) / 0.6),
    "near the limit": lambda h: ndtr((h - 5) / 40),
    "two stories, one far off": lambda h: 0.3 * ndtr((h - 50) / 20) + 0.7 * ndtr((h - 60_000) / 2000),
    "hardly wears": lambda h: ndtr((h - 2e6) / 3e5),
}


@pytest.mark.parametrize("name", CURVES)
@pytest.mark.parametrize("guess_h", [20.0, 1500.0, 1e5])
def test_hours_are_where_a_general_root_finder_has_them(name, guess_h):
    curve = CURVES[name]
    hours, now = invert(curve, (np.log([guess_h]), np.array([0.5])), CHANCES)
    assert now[0] == curve(0.0)
    for chance, found in zip(CHANCES, hours[0], strict=True):
        exact = 0.0 if curve(0.0) >= chance else brentq(lambda h, c=chance: curve(h) - c, 0.0, 1e7, xtol=1e-9)
        assert found == pytest.approx(exact, abs=0.001, rel=1e-6)


def test_each_row_has_its_own_curve():
    middle_h = np.array([[10.0], [1000.0], [50_000.0]])
    roughly = np.full(3, np.log(1000.0)), np.full(3, 0.3)
    hours, _ = invert(lambda h: ndtr(np.log(np.maximum(h, 1e-9) / middle_h) / 0.2), roughly, np.array([0.5]))
    assert hours == pytest.approx(middle_h, abs=0.001)


def test_what_is_not_reached_in_ten_million_hours_is_told_as_that():
    hours, _ = invert(lambda h: ndtr((h - 1e9) / 1e7), (np.array([7.0]), np.array([0.3])), CHANCES)
    assert hours == pytest.approx(1e7)
