"""One part alone, against handbook values.

Sources: Jardine and Tsang, Maintenance, Replacement and Reliability, 2nd ed., solutions to chapter 2 (uniform life); the
documentation of the package `reliability` prints 493.19 and 0.0035 for the Weibull case, within its grid; Beichelt, Applied
Probability and Stochastic Processes, 2nd ed., block exercise; Karlin and Taylor, A First Course in Stochastic Processes, ch. 5
problem 7; Apostolakis, Engineering Risk Benefit Analysis, DA 2; API 653 as quoted in a filed tank report. The others are
computed independently from the formulas by numerical integration.
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.stats import lognorm, norm

from pitchline.stops.inspection import (
    check_interval_h,
    latest_walk_round_h,
    worth_of_certainty,
    worth_of_reading,
)
from pitchline.stops.replacement import (
    age_replacement_cost,
    best_age,
    best_block,
    best_discounted_age,
    renewals,
    residual,
)
from pitchline.trade.errors import NotAllowedError


def weibull(shape, scale):
    return lambda age: 1 - np.exp(-((np.asarray(age) / scale) ** shape))


def uniform(age):
    return np.minimum(np.asarray(age) / 40_000, 1.0)


def test_uniform_life_by_hand():
    cost = age_replacement_cost(np.linspace(0, 40_000, 5), uniform, 100, 200)
    assert cost[1:] == pytest.approx([0.0142857, 0.0100, 0.0093333, 0.0100], rel=1e-5)


def test_uniform_life_optimum():
    found = best_age(uniform, 40_000, 100, 200)
    assert found.age_h == pytest.approx(29_282.03, abs=0.5)
    assert found.cost_per_h == pytest.approx(0.00933013, rel=1e-6)


@pytest.mark.parametrize(
    ("shape", "scale", "failed", "age", "cost"),
    [(2.5, 1000, 5, 493.047, 0.00346204), (2.0, 100, 5, 51.0655, 0.0408524)],
)
def test_weibull_optimum(shape, scale, failed, age, cost):
    found = best_age(weibull(shape, scale), 6 * scale, 1, failed)
    assert found.age_h == pytest.approx(age, rel=1e-5)
    assert found.cost_per_h == pytest.approx(cost, rel=1e-5)
    assert found.earliest_h < found.age_h < found.latest_h


def test_run_to_limit_beside_it():
    assert best_age(weibull(2.5, 1000), 6000, 1, 5).run_to_limit == pytest.approx(0.00563530, rel=1e-5)


def test_constant_hazard_is_never_replaced_early():
    found = best_age(weibull(1.0, 4000), 120_000, 1, 3)
    assert found.never_early
    assert found.cost_per_h == pytest.approx(0.00075, rel=1e-6)


def test_optimum_keeps_barlow_and_proschans_condition():
    """h(T) times the integral of R, less F(T), is c_p / (c_f - c_p)."""
    life, found = weibull(2.5, 1000), best_age(weibull(2.5, 1000), 6000, 1, 5)
    hazard = 2.5 / 1000 * (found.age_h / 1000) ** 1.5
    hours = quad(lambda age: 1 - life(age), 0, found.age_h)[0]
    assert hazard * hours - life(found.age_h) == pytest.approx(1 / 4, rel=1e-4)


def test_discounted_optimum():
    found = best_discounted_age(weibull(2.5, 1000), 6000, 1, 5, 1e-4)
    assert found.age_h == pytest.approx(496.557, rel=1e-4)
    assert found.cost_per_h == pytest.approx(33.99073, rel=1e-5)


def test_hardly_any_discount_is_none():
    found = best_discounted_age(weibull(2.5, 1000), 6000, 1, 5, 1e-6)
    assert 1e-6 * found.cost_per_h == pytest.approx(0.00346141, rel=1e-5)


@pytest.mark.parametrize(
    ("life", "exact"),
    [
        (lambda t: 1 - (1 + t) * np.exp(-t), lambda t: t / 2 - 1 / 4 + np.exp(-2 * t) / 4),
        (lambda t: (1 - np.exp(-t)) ** 2, lambda t: 2 * t / 3 - 2 / 9 * (1 - np.exp(-3 * t))),
    ],
    ids=["erlang", "squared"],
)
def test_renewal_function_in_closed_form(life, exact):
    ages = np.linspace(0, 5, 2001)
    assert renewals(ages, life) == pytest.approx(exact(ages), abs=1e-5)


def test_renewal_function_of_a_weibull_life():
    ages = np.linspace(0, 1000, 2001)
    found = renewals(ages, weibull(2.5, 1000))
    assert found[[1000, 2000]] == pytest.approx([0.164771, 0.702507], abs=2e-5)


def test_block_optimum():
    found = best_block(weibull(2.5, 1000), 2000, 1, 5)
    assert found.age_h == pytest.approx(478.413, rel=1e-3)
    assert found.cost_per_h == pytest.approx(0.00364352, rel=1e-5)


def test_block_cost_that_falls_for_ever():
    """F = (1 - e^-0.1t)^2, 100 and 180: K(20), K(50), K(100), and the answer never."""

    def life(age):
        return (1 - np.exp(-0.1 * np.asarray(age))) ** 2

    ages = np.linspace(0, 100, 2001)
    cost = (100 + 180 * renewals(ages, life)[[400, 1000, 2000]]) / np.array([20, 50, 100])
    assert cost == pytest.approx([15.00496, 13.20000, 12.60000], rel=1e-4)
    found = best_block(life, 2000, 100, 180)
    assert found.never_early
    assert found.cost_per_h == pytest.approx(12.0, rel=1e-4)


def test_block_optimum_exists_only_above_four_times_the_planned_cost():
    """Erlang life: e^-2x (1 + 2x) = 1 - 4 c_p / c_f."""

    def life(age):
        return 1 - (1 + np.asarray(age)) * np.exp(-np.asarray(age))

    at = brentq(lambda x: math.exp(-2 * x) * (1 + 2 * x) - (1 - 4 / 6), 0.01, 20)
    assert best_block(life, 20, 1, 6).age_h == pytest.approx(at, rel=1e-3)
    assert best_block(life, 20, 1, 3.9).never_early


def test_life_left_of_an_aged_part():
    left = residual(weibull(4, 3600), 1800)
    assert left(np.array([1000.0]))[0] == pytest.approx(0.261733, abs=1e-6)


def test_mean_life_left_of_a_lognormal():
    spread = math.sqrt(math.log(1 + 0.25**2))
    life = lognorm(spread, scale=5000 * math.exp(-(spread**2) / 2))
    left = residual(life.cdf, 2500)
    hours = np.linspace(0, 40_000, 400_001)
    assert np.trapezoid(1 - left(hours), hours) == pytest.approx(2509.537, abs=0.01)


def test_no_part_that_old():
    with pytest.raises(NotAllowedError, match="age"):
        residual(uniform, 50_000)


def test_worth_of_a_reading():
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


def test_three_scenarios():
    """Worth 79,063, 11,042 and -63,781 against nothing: 20,225 now, 29,792 with certainty, 9,567 between."""
    gains = (79_063, 11_042, -63_781)
    found = worth_of_certainty((0.30, 0.55, 0.15), ([-gain for gain in gains], (0, 0, 0)))
    assert found == pytest.approx(9_567, abs=1)


def test_replace_now_or_wait():
    assert worth_of_certainty((0.7, 0.3), ((100, 100), (40, 300))) == pytest.approx(42)


@pytest.mark.parametrize("chances", [(0.7, 0.2), (1.2, -0.2)])
def test_chances_have_to_sum_to_one(chances):
    with pytest.raises(NotAllowedError, match="chances"):
        worth_of_certainty(chances, ((1, 2),))


def test_interval_of_checks():
    """For small rates sqrt(2 c / (l d)), and the equation itself holds."""
    assert check_interval_h(1e-8, 10, 1) == pytest.approx(math.sqrt(2 * 10 / 1e-8), rel=1e-3)
    interval = check_interval_h(1e-3, 50, 2)
    assert math.exp(1e-3 * interval) - 1 - 1e-3 * interval == pytest.approx(1e-3 * 50 / 2, rel=1e-9)


def test_next_walk_round_is_half_the_cautious_life():
    """API 653's shell example: 42 years left gives 21, capped at 15."""
    left = (0.177 - 0.100) / ((0.188 - 0.177) / 6)
    assert left / 2 == pytest.approx(21.0)
    assert latest_walk_round_h(left, 15.0) == 15.0
    assert latest_walk_round_h(10.0, 15.0) == 5.0
    assert latest_walk_round_h(-3.0, 15.0) == 0.0
