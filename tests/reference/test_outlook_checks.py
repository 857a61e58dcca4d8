"""Check values of the wear model, computed outside this project by fine quadrature (step 0.004) from the published formulas.

Random-coefficient path: Lu and Meeker, Technometrics 35 (1993) 161-174. Gamma process: Lawless and Crowder, Lifetime Data Anal.
10 (2004) 213; van Noortwijk, Reliab. Eng. Syst. Saf. 94 (2009) 2. Fieller: J. R. Stat. Soc. B 16 (1954) 175. Scores: Gneiting and
Raftery, J. Am. Stat. Assoc. 102 (2007) 359. Every expected number was recomputed outside the code ("computed").
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import gamma, norm

from pitchline.outlook.constants import Constants, effective_hours
from pitchline.outlook.crossing import crossing
from pitchline.outlook.fieller import line_crossing
from pitchline.outlook.filter import NOTHING_HIDDEN
from pitchline.outlook.gamma_process import gamma_reached, normal_reached
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.outlook.quadrature import FINE, Beliefs, believe
from pitchline.outlook.scores import crps_lognormal, crps_normal, crps_sample

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


def believed(parts, lives=(6000.0,), spread_u=0.35, spread_v=PART_SPREAD, habits=NOTHING_HIDDEN):
    constants = Constants(
        -np.log(np.array([lives])),
        np.zeros((1, GROUNDS)),
        np.array([spread_u]),
        np.array([spread_v]),
        np.array([0.004]),
        np.zeros(1),
    )
    return believe(stack(parts), constants, habits)


def rate_mean_sd(beliefs: Beliefs):
    mean = (beliefs.weight * beliefs.rate_log).sum(axis=2)[0]
    second = (beliefs.weight * beliefs.rate_log**2).sum(axis=2)[0]
    return mean, np.sqrt(second - mean**2)


def test_p1_one_part_one_reading():
    """P1: prior N(-ln 6000, 0.41^2) split over machine and part; 0.45 (0.05) at 3000 h."""
    beliefs = believed([part([(3000, 0.45, 0.05)])])
    mean, sd = rate_mean_sd(beliefs)
    assert beliefs.log_marginal[0] == pytest.approx(0.674025, abs=1e-4)
    assert (mean[0], sd[0]) == (pytest.approx(-8.812665, abs=1e-4), pytest.approx(0.144293, abs=1e-4))
    hours = crossing(beliefs, MEDIUM).hours(LEVELS)[0]
    assert hours == pytest.approx([2524.2, 3155.2, 3684.7, 4308.0, 5416.5], abs=0.5)


def test_p2_one_part_no_reading():
    """P2: the same part without a reading."""
    hours = crossing(believed([part([])]), MEDIUM).hours(LEVELS)[0]
    assert hours == pytest.approx([3029.5, 4533.2, 5998.8, 7938.3, 11878.2], abs=0.5)


def test_p3_past_the_limit():
    """P3: 1.02 (0.04) at 4000 h."""
    against = crossing(believed([part([(4000, 1.02, 0.04)])]), MEDIUM)
    assert against.chance(np.zeros((1, 1)))[0, 0] == pytest.approx(0.642729, abs=1e-4)
    hours = against.hours(np.array([0.5, 0.75, 0.95]))[0]
    assert hours == pytest.approx([0.0, 52.3, 236.7], abs=0.5)


def test_p4_three_parts_share_a_machine():
    """P4: two read, one not; what is learned of the machine reaches the third."""
    parts = [part([(2000, 0.40, 0.05)]), part([(2000, 0.36, 0.05)]), part([], kind=1)]
    beliefs = believed(parts, (6000.0, 5000.0), 0.35, 0.22)
    assert beliefs.log_marginal[0] == pytest.approx(1.884534, abs=2e-4)
    machine = float(beliefs.machine[0, 0] @ FINE.offsets)
    machine_sd = float(np.sqrt(beliefs.machine[0, 0] @ FINE.offsets**2 - machine**2))
    assert (machine, machine_sd) == (pytest.approx(0.076627, abs=2e-4), pytest.approx(0.175034, abs=2e-4))
    mean, sd = rate_mean_sd(beliefs)
    assert mean == pytest.approx([-8.5747, -8.6408, -8.4406], abs=2e-4)
    assert sd == pytest.approx([0.1548, 0.1602, 0.2811], abs=2e-4)
    hours = crossing(beliefs, MEDIUM).hours(np.array([0.05, 0.50, 0.95]))
    expected = [[2217.8, 3222.6, 4744.9], [2493.8, 3617.2, 5332.3], [2881.5, 4628.1, 7452.2]]
    assert hours == pytest.approx(np.array(expected), abs=1.0)


@pytest.mark.parametrize(("original", "mean", "sd"), [(0.0, -8.60253, 0.30132), (0.8, -8.84452, 0.31699)])
def test_p5_age_unknown(original, mean, sd):
    """P5: 0.5 (0.05) on a meter of 4000 h, hours of fitting unknown."""
    habits = replace(NOTHING_HIDDEN, original=original)
    beliefs = believed([part([(4000, 0.5, 0.05)], start_known=False)], habits=habits)
    found_mean, found_sd = rate_mean_sd(beliefs)
    assert (found_mean[0], found_sd[0]) == (pytest.approx(mean, abs=2e-4), pytest.approx(sd, abs=2e-4))


def test_a4_ground_weighted_hours():
    """A4: 1000 h at gamma 0.4, 500 h at -0.7, 250 h at 0."""
    hours = effective_hours(np.array([1000.0, 500.0, 250.0]), np.array([0.4, -0.7, 0.0]))
    assert float(hours) == pytest.approx(1990.117350, abs=1e-6)


def test_d4_gamma_process_and_its_normal_form():
    """D4: r 1/5000, phi 0.004, 0.6 of life left."""
    hours = np.array([2500.0, 3000.0, 3500.0])
    exact = gamma_reached(hours, 1 / 5000, 0.004, 0.6)
    assert exact == pytest.approx([0.016518, 0.489142, 0.975156], abs=1e-6)
    assert normal_reached(hours, 1 / 5000, 0.004, 0.6) == pytest.approx([0.012674, 0.5, 0.970609], abs=1e-6)


def test_gamma_process_against_scipy_over_its_range():
    """Sweep against scipy.stats.gamma, a general-purpose library."""
    hours = np.linspace(50, 20_000, 40)
    for rate, noise, remaining in ((1 / 2000, 0.002, 0.3), (1 / 9000, 0.02, 1.0), (1 / 500, 0.0005, 0.05)):
        expected = gamma.sf(remaining, a=rate * hours / noise, scale=noise)
        assert gamma_reached(hours, rate, noise, remaining) == pytest.approx(expected, abs=1e-12)


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


def test_s1_scores():
    """S1: normal, lognormal and sample forms."""
    assert crps_normal(0.0, 0.0, 1.0) == pytest.approx(0.2336950, abs=1e-6)
    assert crps_lognormal(1200.0, float(np.log(1000.0)), 0.3) == pytest.approx(119.393953, abs=1e-6)
    assert crps_sample(1200.0, np.array([800.0, 950.0, 1000.0, 1100.0, 1400.0])) == pytest.approx(122.0, abs=1e-9)


def test_scores_against_their_integral():
    """Independent: the score is the integral of (F(x) - 1{x >= truth})^2, by scipy.integrate.quad."""
    for truth, mean, sd in ((3.0, 1.0, 2.0), (-1.0, 0.5, 0.4)):
        below = quad(lambda x, m=mean, s=sd: norm.cdf(x, m, s) ** 2, mean - 12 * sd, truth)[0]
        above = quad(lambda x, m=mean, s=sd: norm.sf(x, m, s) ** 2, truth, mean + 12 * sd)[0]
        assert crps_normal(truth, mean, sd) == pytest.approx(below + above, abs=1e-7)
