"""The wear filter and the nested quadrature against independent computations with general-purpose libraries.

The joint normal of all readings (scipy.stats.multivariate_normal), numerical integration (scipy.integrate.quad), and plain
importance sampling (numpy) of the published model of Lu and Meeker, Technometrics 35 (1993) 161-174.
"""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ndtr
from scipy.stats import multivariate_normal, norm

from pitchline.outlook.constants import Constants
from pitchline.outlook.crossing import crossing, first_chance
from pitchline.outlook.filter import NOTHING_HIDDEN, Habits, filter_paths
from pitchline.outlook.normal import normal_cdf
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.outlook.quadrature import believe, log_marginal_gradient

MEDIUM = 2


def constants(lives=(6000.0,), spread_u=0.3, spread_v=0.25, noise=0.006, span=0.0):
    return Constants(
        -np.log(np.array([lives])),
        np.zeros((1, GROUNDS)),
        np.array([spread_u]),
        np.array([spread_v]),
        np.array([noise]),
        np.array([span]),
    )


def part(readings, kind=0, start_known=True, start_u=0.03, meter_known=True, tail_h=0.0, ground=MEDIUM):
    steps = np.zeros((len(readings), GROUNDS))
    steps[:, ground] = [hours for hours, _, _ in readings]
    tail = np.zeros(GROUNDS)
    tail[ground] = tail_h
    wear, u = (np.array([reading[at] for reading in readings], float) for at in (1, 2))
    return PartLife(kind, start_u, start_known, meter_known, steps, wear, u, tail)


def filtered(life, rate, noise=0.006, habits=NOTHING_HIDDEN):
    return filter_paths(stack([life]), np.full((1, 1, 1), np.log(rate)), constants(noise=noise), habits)


@pytest.mark.parametrize("rate", [1 / 3000, 1 / 6000, 1 / 15000])
def test_log_likelihood_is_the_joint_normal(rate):
    """Known start, nothing hidden: readings are jointly normal with covariance tau^2 + phi r min(E, E') + s^2."""
    readings = [(900.0, 0.20, 0.04), (700.0, 0.24, 0.06), (1100.0, 0.41, 0.03)]
    effective = np.cumsum([hours for hours, _, _ in readings])
    covariance = 0.03**2 + 0.006 * rate * np.minimum.outer(effective, effective)
    covariance += np.diag([u**2 for _, _, u in readings])
    expected = multivariate_normal(rate * effective, covariance).logpdf([wear for _, wear, _ in readings])
    assert filtered(part(readings), rate).log_like[0, 0, 0] == pytest.approx(expected, abs=1e-9)


def test_wear_now_is_the_conditional_normal():
    """The state after the last reading, carried on 500 h, is the textbook conditional of that joint normal."""
    rate, readings = 1 / 5000, [(800.0, 0.18, 0.04), (900.0, 0.30, 0.05)]
    effective = np.array([800.0, 1700.0])
    cov = 0.03**2 + 0.006 * rate * np.minimum.outer(effective, effective) + np.diag([0.04**2, 0.05**2])
    cross = 0.03**2 + 0.006 * rate * effective
    gain = np.linalg.solve(cov, cross)
    mean = rate * 2200 + gain @ (np.array([0.18, 0.30]) - rate * effective)
    variance = 0.03**2 + 0.006 * rate * 2200 - gain @ cross
    found = filtered(part(readings, tail_h=500.0), rate)
    assert found.wear[0, 0, 0] == pytest.approx(mean, abs=1e-12)
    assert found.wear_var[0, 0, 0] == pytest.approx(variance, abs=1e-12)


@pytest.mark.parametrize("reading", [0.05, 0.4, 0.9, 1.3])
@pytest.mark.parametrize("life_h", [3000.0, 12_000.0])
def test_unknown_age_is_the_stated_mixture(reading, life_h):
    """Unknown start on a 5000 h meter: original or anywhere in (0, w), by direct numerical integration of the density."""
    meter_h, s, rate, noise, tau = 5000.0, 0.05, 1 / life_h, 0.006, 0.03
    grown = rate * meter_h
    keep = 0.8 * norm.cdf((1 - grown) / np.sqrt(noise * grown + 0.06**2))
    original = norm.pdf(reading, grown, np.sqrt(tau**2 + noise * grown + s**2))

    def anywhere(width):
        return (
            quad(lambda x: norm.pdf(reading, x, np.hypot(s, tau)), 0, width, points=[min(reading, width)])[0]
            / width
        )

    later = 0.9 * anywhere(min(grown, 1.0)) + 0.1 * anywhere(min(grown, 3.0))
    expected = keep * original + (1 - keep) * later
    life = part([(meter_h, reading, s)], start_known=False)
    found = filtered(life, rate, habits=Habits(original=0.8, past_limit=0.1, unrecorded=0.0, far_off=0.0))
    assert np.exp(found.log_like[0, 0, 0]) == pytest.approx(expected, rel=1e-5, abs=1e-7)


@pytest.mark.parametrize("second", [0.10, 0.45, 0.75])
def test_unrecorded_change_is_the_stated_mixture(second):
    """Two readings, 1 % chance of an unrecorded change between: likelihood, chance and state by numerical integration."""
    rate, noise, tau, s, share = 1 / 5000, 0.006, 0.03, 0.04, 0.01
    habits = Habits(0.0, 0.0, share, 0.0)
    state = filtered(part([(2000.0, 0.42, s)]), rate, habits=habits)
    grown = rate * 1200.0
    mean, var = state.wear[0, 0, 0] + grown, state.wear_var[0, 0, 0] + noise * grown
    kept = norm.pdf(second, mean, np.sqrt(var + s**2))
    prior = lambda x: (norm.cdf(x / tau) - norm.cdf((x - grown) / tau)) / grown  # noqa: E731 - true size of a changed part
    weigh = lambda x: prior(x) * norm.pdf(second, x, s)  # noqa: E731
    changed = quad(weigh, -0.5, 1.5, points=[0.0, grown, second], limit=400)[0]
    found = filtered(part([(2000.0, 0.42, s), (1200.0, second, s)]), rate, habits=habits)
    both = (1 - share) * kept + share * changed
    assert found.log_like[0, 0, 0] - state.log_like[0, 0, 0] == pytest.approx(np.log(both), abs=1e-5)
    chance = share * changed / both
    assert 1 - np.exp(found.log_kept[0, 0, 0] - state.log_kept[0, 0, 0]) == pytest.approx(chance, abs=1e-6)
    plain_mean = mean + var / (var + s**2) * (second - mean)
    changed_mean = quad(lambda x: x * weigh(x), -0.5, 1.5, points=[0.0, grown, second], limit=400)[0] / changed
    assert found.wear[0, 0, 0] == pytest.approx((1 - chance) * plain_mean + chance * changed_mean, abs=1e-5)


def test_three_parts_against_importance_sampling():
    """Posterior wear rates, and the first of three to reach its limit, against 400,000 weighted draws of the model itself."""
    rng = np.random.default_rng(7)
    draws, s, tau, noise = 400_000, 0.05, 0.03, 0.006
    seen = [(2000.0, 0.40), (2000.0, 0.36), None]
    machine = rng.normal(0, 0.35, draws)
    rates = np.exp(-np.log(6000.0) + machine[:, None] + rng.normal(0, 0.22, (draws, 3)))
    log_weight, worn = np.zeros(draws), np.zeros((draws, 3))
    for at, reading in enumerate(seen):
        start = rng.normal(0, tau, draws)
        if reading is None:
            worn[:, at] = start
            continue
        hours, wear = reading
        true = start + rng.normal(rates[:, at] * hours, np.sqrt(noise * rates[:, at] * hours))
        log_weight += norm.logpdf(wear, true, s)
        worn[:, at] = true
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    parts = [part([(2000.0, 0.40, s)]), part([(2000.0, 0.36, s)]), part([])]
    beliefs = believe(stack(parts), constants(spread_u=0.35, spread_v=0.22), NOTHING_HIDDEN)
    mean = (beliefs.weight * beliefs.rate_log).sum(axis=2)[0]
    assert mean == pytest.approx(weight @ np.log(rates), abs=0.005)
    for hours in (2000.0, 2800.0, 3600.0):
        grown = rates * hours
        alive = norm.cdf((1 - worn - grown) / np.sqrt(noise * grown)).prod(axis=1)
        found = first_chance(beliefs, crossing(beliefs, MEDIUM), [0, 1, 2], np.array([[hours]]))[0, 0]
        assert found == pytest.approx(1 - weight @ alive, abs=0.01)


def test_gradient_against_central_differences():
    """Every constant's gradient, mixtures and unknown ages included, against differences of the log marginal itself."""
    rng = np.random.default_rng(3)
    lives = []
    for number in range(9):
        readings = [(900.0, 0.15 * (at + 1) + 0.05 * rng.normal(), 0.05) for at in range(number % 4)]
        lives.append(part(readings, number % 3, start_known=bool(number % 2), ground=(0, MEDIUM, 4)[number % 3]))
    paths = stack(lives, [0, 0, 0, 0, 1, 1, 1, 1, 1])

    def at(vector):
        ground = np.zeros((1, GROUNDS))
        ground[0, [0, 4]] = vector[3:5]
        spread = np.exp(vector[5:])
        return Constants(vector[None, :3], ground, spread[:1], spread[1:2], spread[2:3], spread[3:4])

    here = np.array([-8.5, -8.6, -8.8, -0.5, 0.3, np.log(0.3), np.log(0.25), np.log(0.005), np.log(0.1)])
    exact = log_marginal_gradient(believe(paths, at(here), Habits(), (0, 4)), 3, (0, 4))[0]
    for number in range(here.size):
        step = np.zeros(here.size)
        step[number] = 1e-5
        up, down = (believe(paths, at(here + way * step), Habits()).log_marginal[0] for way in (1, -1))
        assert exact[number] == pytest.approx((up - down) / 2e-5, abs=1e-6)


@pytest.mark.parametrize("reading", [0.2, 0.5, 0.8])
def test_a_reading_far_off_is_the_stated_mixture(reading):
    """2 % of readings five times as far off: two normals, by scipy.stats.norm."""
    rate, noise, tau, s, span = 1 / 5000, 0.006, 0.03, 0.04, 0.1
    grown = rate * 2000.0
    sd = np.sqrt(tau**2 + noise * grown + (span * grown) ** 2 + np.array([s, 5 * s]) ** 2)
    weight = np.array([0.98, 0.02]) * norm.pdf(reading, grown, sd)
    found = filter_paths(
        stack([part([(2000.0, reading, s)])]),
        np.full((1, 1, 1), np.log(rate)),
        constants(noise=noise, span=span),
        Habits(0.0, 0.0, 0.0, 0.02, 5.0),
    )
    assert found.log_like[0, 0, 0] == pytest.approx(np.log(weight.sum()), abs=1e-9)
    assert 1 - np.exp(found.log_sound[0, 0, 0]) == pytest.approx(weight[1] / weight.sum(), abs=1e-9)


def test_fast_normal_against_scipy():
    """The whole range, in double and single precision, against scipy.special.ndtr."""
    z = np.linspace(-40, 40, 400_001)
    assert np.abs(normal_cdf(z) - ndtr(z)).max() < 1e-7
    assert np.abs(normal_cdf(z.astype(np.float32)) - ndtr(z)).max() < 3e-7
