"""A reading that is far off: its likelihood and what is foretold of it are of one distribution, scipy's skew normal."""

import numpy as np
import pytest
from scipy.stats import skewnorm

from pitchline.outlook.branches import Belief, far_off, far_off_moments

WEAR, VAR, S2, TIMES = 0.4, 0.03**2, 0.05**2, 8.0


def skewed():
    """Azzalini's: located at the wear, as wide as the doubt so many times over, leaning to less wear."""
    wide = VAR + TIMES**2 * S2
    return skewnorm(-np.sqrt(wide / (VAR + S2)), loc=WEAR, scale=np.sqrt(wide))


def test_what_is_foretold_has_scipys_mean_and_variance():
    less, variance = far_off_moments(np.array([[VAR]]), np.array([[S2]]), TIMES)
    assert WEAR - less.item() == pytest.approx(skewed().mean())
    assert variance.item() == pytest.approx(skewed().var())


@pytest.mark.parametrize("reading", [-0.6, 0.0, 0.35, 0.4, 0.5])
def test_its_likelihood_is_scipys_density(reading):
    flat, none = np.array([[WEAR]]), np.zeros((0, 1, 1))
    before = Belief(flat, np.array([[VAR]]), none, none)
    found = far_off(before, np.array([[reading]]), np.array([[S2]]), TIMES)
    assert found.log.item() == pytest.approx(skewed().logpdf(reading))
