"""The wear filter and the nested quadrature against independent computations with general-purpose libraries.

The joint normal of all readings (scipy.stats.multivariate_normal), numerical integration (scipy.integrate.quad), and plain
importance sampling (numpy) of the published model of Lu and Meeker, Technometrics 35 (1993) 161-174.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import log_ndtr, ndtr
from scipy.stats import multivariate_normal, norm, skewnorm

from pitchline.outlook.branches import somewhere
from pitchline.outlook.constants import Constants
from pitchline.outlook.crossing import crossing, first_chance
from pitchline.outlook.filter import NOTHING_HIDDEN, Habits, filter_paths
from pitchline.outlook.normal import normal_cdf
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.outlook.quadrature import FINE, believe, log_marginal_gradient

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
    """Two readings, 1 % chance of an unrecorded change between: likelihood, chance and state by numerical integration.

    The chance falls to none where the second reads what the pace so far makes of the first (0.42 * 1.6), or more, by two
    standard deviations: a part is changed for one less worn.
    """
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
    told = 0.42 * (1 + 1200.0 / 2000.0)
    told_u = np.sqrt(s**2 + (1.6 * s) ** 2 + (0.25 * 0.6 * 0.42) ** 2)
    share *= np.clip(1 - (second - told) / (2 * told_u), 0, 1)
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
        life = part(readings, number % 3, start_known=bool(number % 2), ground=(0, MEDIUM, 4)[number % 3])
        lives.append(replace(life, share=1.0 if number % 4 else 0.5))
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
    """2 % of readings five times as doubtful and showing less wear than there is: a normal and a skew normal, by scipy.stats."""
    rate, noise, tau, s, span = 1 / 5000, 0.006, 0.03, 0.04, 0.1
    grown = rate * 2000.0
    sd = np.sqrt(tau**2 + noise * grown + (span * grown) ** 2 + np.array([s, 5 * s]) ** 2)
    far = skewnorm.pdf(reading, -sd[1] / sd[0], grown, sd[1])
    weight = np.array([0.98 * norm.pdf(reading, grown, sd[0]), 0.02 * far])
    found = filter_paths(
        stack([part([(2000.0, reading, s)])]),
        np.full((1, 1, 1), np.log(rate)),
        constants(noise=noise, span=span),
        replace(NOTHING_HIDDEN, far_off=0.02, far_times=5.0),
    )
    assert found.log_like[0, 0, 0] == pytest.approx(np.log(weight.sum()), abs=1e-9)
    assert 1 - np.exp(found.log_sound[0, 0, 0]) == pytest.approx(weight[1] / weight.sum(), abs=1e-9)


@pytest.mark.parametrize("reading", [0.1, 0.5, 0.9])
def test_a_far_reading_is_only_far_where_it_is_of_the_first_part(reading):
    """Unknown age, 4000 h at a life of 4000 h: the chance of the first part times that of being far off then, by quad."""
    rate, noise, tau, s = 1 / 4000, 0.006, 0.03, 0.04
    sd = np.sqrt(tau**2 + noise + np.array([s, 8 * s]) ** 2)
    far = skewnorm.pdf(reading, -sd[1] / sd[0], 1.0, sd[1])
    parts = np.array([0.995 * norm.pdf(reading, 1.0, sd[0]), 0.005 * far])
    original = 0.8 * norm.cdf(0.0)
    later = quad(lambda x: norm.pdf(reading, x, np.hypot(s, tau)), 0, 1, points=[reading])[0]
    expected = original * parts[1] / (original * parts.sum() + (1 - original) * later)
    found = filter_paths(
        stack([part([(4000.0, reading, s)], start_known=False, start_u=tau)]),
        np.full((1, 1, 1), np.log(rate)),
        constants(noise=noise),
        replace(NOTHING_HIDDEN, original=0.8, far_off=0.005, far_times=8.0),
    )
    assert 1 - np.exp(found.log_sound[0, 0, 0]) == pytest.approx(expected, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize("reading", [0.3, 0.75, 0.9, 1.3])
def test_far_beyond_a_width_is_still_the_integral(reading):
    """A reading many standard deviations beyond where a later part can be: log weight and mean by scipy's truncated normal."""
    width, s, tau = 0.4, 0.03, 0.02
    spread = np.hypot(s, tau)
    found = somewhere(
        np.array([[reading]]),
        np.array([[s**2]]),
        np.array([[spread**2]]),
        np.full((1, 1, 1), width),
        np.zeros((0, 1, 1, 1)),
    )
    low, high = -reading / spread, (width - reading) / spread
    log_share = log_ndtr(high) + np.log1p(-np.exp(log_ndtr(low) - log_ndtr(high)))
    assert found.log[0, 0, 0] == pytest.approx(log_share - np.log(width), rel=2e-6, abs=2e-6)
    density = np.exp(norm.logpdf([low, high]) - log_share)
    mean = reading + spread * (density[0] - density[1])
    weight = s**2 / spread**2
    assert found.belief.mean[0, 0, 0] == pytest.approx(weight * mean + (1 - weight) * reading, abs=2e-5)


def test_an_odd_part_is_the_stated_mixture():
    """One part and its fellow: log marginal and chance of being odd by a fine double sum over both effects (numpy)."""
    habits = replace(NOTHING_HIDDEN, odd_part=0.05, odd_faster=0.4, odd_spread=0.7, least_spread=0.06)
    life_h, s, tau, noise, spread_u, spread_v = 6000.0, 0.04, 0.03, 0.006, 0.3, 0.2
    hours, seen = 2400.0, (0.40, 0.85)
    step = 0.01
    u = np.arange(-3, 3, step)
    theta = np.arange(-4, 4, step)
    grown = np.exp(theta) / life_h * hours
    apart = theta[:, None] - u
    usual = 0.95 * norm.pdf(apart, 0, np.hypot(spread_v, 0.06))
    odd = 0.05 * norm.pdf(apart, 0.4, 0.7)
    like = [norm.pdf(y, grown, np.sqrt(tau**2 + noise * grown + s**2)) for y in seen]
    each = [(one @ (usual + odd)) * step for one in like]
    prior = norm.pdf(u, 0, np.hypot(spread_u, 0.06))
    whole = (prior * each[0] * each[1]).sum() * step
    alike = (prior * each[0] * (like[1] @ usual) * step).sum() * step
    parts = [part([(hours, y, s)], start_u=tau) for y in seen]
    beliefs = believe(stack(parts), constants((life_h,), spread_u, spread_v, noise), habits)
    assert beliefs.log_marginal[0] == pytest.approx(np.log(whole), abs=2e-4)
    assert beliefs.chance_odd()[1] == pytest.approx(1 - alike / whole, abs=2e-4)
    assert beliefs.chance_odd()[0] < 0.1


def test_copies_say_as_much_of_the_machine_as_one_reading():
    """Four places of one figure, each counting a quarter: what they leave of the machine's effect is what one leaves (numpy)."""
    s, hours = 0.04, 2400.0
    u = FINE.offsets
    seen = [replace(part([(hours, 0.55, s)]), share=0.25)] * 4
    alone, together = (believe(stack(parts), constants(), NOTHING_HIDDEN) for parts in (seen[:1], seen))
    full = believe(stack([replace(seen[0], share=1.0)]), constants(), NOTHING_HIDDEN)
    assert together.machine == pytest.approx(full.machine, abs=1e-12)
    mean = (alone.machine[0, 0] * u).sum()
    assert 0 < mean < (full.machine[0, 0] * u).sum()


def test_fast_normal_against_scipy():
    """The whole range, in double and single precision, against scipy.special.ndtr."""
    z = np.linspace(-40, 40, 400_001)
    assert np.abs(normal_cdf(z) - ndtr(z)).max() < 1e-7
    assert np.abs(normal_cdf(z.astype(np.float32)) - ndtr(z)).max() < 3e-7
