"""Check values of the wear model, computed outside this project by fine quadrature (step 0.004) from the published formulas.

Random-coefficient path: Lu and Meeker, Technometrics 35 (1993) 161-174. Gamma process: Lawless and Crowder, Lifetime Data Anal.
10 (2004) 213; van Noortwijk, Reliab. Eng. Syst. Saf. 94 (2009) 2. Fieller: J. R. Stat. Soc. B 16 (1954) 175. Scores: Gneiting and
Raftery, J. Am. Stat. Assoc. 102 (2007) 359. Every expected number was recomputed outside the code ("computed").
"""

import numpy as np
import pytest

from pitchline.outlook.constants import effective_hours
from pitchline.outlook.fieller import line_crossing
from pitchline.outlook.paths import GROUNDS, PartLife
from pitchline.outlook.quadrature import Beliefs

MEDIUM = 2
PART_SPREAD = float(np.sqrt(0.41**2 - 0.35**2))
LEVELS = np.array([0.05, 0.25, 0.50, 0.75, 0.95])


def on_medium(hours):
    spread = np.zeros(GROUNDS)
    spread[MEDIUM] = hours
    return spread


def part(readings, kind=0, start_known=True):
    steps = np.array([on_medium(hours) for hours, _, _ in readings]).reshape(-1, GROUNDS)
    wear = np.array([wear for _, wear, _ in readings], float)
    doubt = np.array([u for _, _, u in readings], float)
    return PartLife(kind, 0.02, start_known, True, steps, wear, doubt, on_medium(0.0))


def rate_mean_sd(beliefs: Beliefs):
    mean = (beliefs.weight * beliefs.rate_log).sum(axis=2)[0]
    second = (beliefs.weight * beliefs.rate_log**2).sum(axis=2)[0]
    return mean, np.sqrt(second - mean**2)


def test_a4_ground_weighted_hours():
    """A4: 1000 h at gamma 0.4, 500 h at -0.7, 250 h at 0."""
    hours = effective_hours(np.array([1000.0, 500.0, 250.0]), np.array([0.4, -0.7, 0.0]))
    assert float(hours) == pytest.approx(1990.117350, abs=1e-6)


def test_f1_line_reaches_limit():
    """F1: five points, limit 12, 90 %."""
    y = np.array([0.1, 1.9, 4.3, 5.8, 8.2])
    line = line_crossing(np.arange(5) * 1000.0, y, 12.0, 0.90)
    assert line.g == pytest.approx(0.0078138, abs=1e-6)
    assert (line.at, line.low, line.high) == (
        pytest.approx(5950.249, abs=1e-3),
        pytest.approx(5607.716, abs=1e-3),
        pytest.approx(6355.000, abs=1e-3),
    )


def test_f2_line_that_cannot_say():
    """F2: three scattered points give g far above 1, so no limits."""
    line = line_crossing(np.array([1000.0, 1200.0, 1400.0]), np.array([2.0, 2.6, 2.2]), 10.0, 0.90)
    assert line.g == pytest.approx(332.2, abs=0.1)
    assert line.low is None
    assert line.high is None


def test_fieller_limits_solve_their_own_quadratic():
    """Independent form of Fieller's theorem: the limits are where (a + b q - level)^2 = t^2 var, slope and mean by numpy."""
    x, y = np.array([200.0, 900.0, 1500.0, 2600.0]), np.array([0.05, 0.22, 0.31, 0.60])
    slope, intercept = np.polyfit(x, y, 1)
    residual = y - slope * x - intercept
    s2 = residual @ residual / 2
    t = 4.302652729911275  # Student's t, 2 degrees of freedom, 0.975: any table
    line = line_crossing(x, y, 1.0, 0.95)
    for q in (line.low, line.high):
        variance = s2 * (1 / 4 + (q - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum())
        assert (intercept + slope * q - 1.0) ** 2 == pytest.approx(t**2 * variance, rel=1e-9)
