"""The pace of each kind weighed on one machine, and the fit of what is left, against independent computations.

The log rates of the parts of one machine are jointly normal (Lu and Meeker, Technometrics 35 (1993) 161-174): parts of one kind
share that kind's spread, all share the machine's. The references sum over a grid of all the rates at once (numpy), with
scipy.stats for the normals, minimise with scipy.optimize and sample by importance (numpy).
"""

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import multivariate_normal, norm

from pitchline.outlook.constants import Constants, weak_priors
from pitchline.outlook.crossing import crossing, first_of
from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import fit
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.outlook.quadrature import believe, log_marginal_gradient

MEDIUM = 2
NOTHING_HIDDEN = Habits(
    original=0.0, past_limit=0.0, unrecorded=0.0, far_off=0.0, odd_part=0.0, odd_faster=0.0, least_spread=0.0
)
LIVES_H, KIND_U, MACHINE_U, PART_U, NOISE, SPAN, START_U = (
    (5000.0, 3500.0),
    (0.6, 0.45),
    0.3,
    0.25,
    0.006,
    0.05,
    0.03,
)
READ = ((0, 2400.0, 0.62, 0.04), (0, 2400.0, 0.48, 0.05), (1, 2400.0, 0.70, 0.04))
"""Kind, hours, life used and its doubt of three parts."""
CHANCES = np.array([0.1, 0.5, 0.9])


def on_medium(hours):
    spread = np.zeros(GROUNDS)
    spread[MEDIUM] = hours
    return spread


def part(kind, hours, wear, u, start_known=True):
    steps = np.array([on_medium(hour) for hour in np.atleast_1d(hours)])
    wear, u = np.atleast_1d(wear).astype(float), np.full(steps.shape[0], float(u))
    return PartLife(kind, START_U, start_known, True, steps, wear, u, np.zeros(GROUNDS))


def three_parts():
    one = np.ones(1)
    constants = Constants(
        -np.log([LIVES_H]),
        np.zeros((1, GROUNDS)),
        *(MACHINE_U * one, PART_U * one, NOISE * one, SPAN * one),
        np.array(KIND_U),
    )
    return believe(stack([part(*read) for read in READ]), constants, NOTHING_HIDDEN)


@pytest.fixture(scope="module")
def by_all_rates():
    """Log rates of the three parts on one grid of 61 each, and the posterior weight of every three of them."""
    kind = np.array([0, 0, 1])
    mean = -np.log(np.array(LIVES_H))[kind]
    same = kind[:, None] == kind[None, :]
    covariance = np.array(KIND_U)[kind, None] ** 2 * same + MACHINE_U**2 + PART_U**2 * np.eye(3)
    axes = [np.linspace(-9.6, -6.9, 61)] * 3
    rates = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1)
    log = multivariate_normal(mean, covariance).logpdf(rates)
    states = []
    for at, (_, hours, wear, u) in enumerate(READ):
        growth = np.exp(axes[at]) * hours
        before2 = START_U**2 + NOISE * growth + (SPAN * growth) ** 2
        shape = [1, 1, 1]
        shape[at] = -1
        log = log + norm.logpdf(wear, growth, np.sqrt(before2 + u**2)).reshape(shape)
        gain = before2 / (before2 + u**2)
        states.append((growth + gain * (wear - growth), before2 * (1 - gain)))
    weight = np.exp(log - log.max())
    return axes, weight / weight.sum(), states


def test_rates_are_those_of_the_joint_normal(by_all_rates):
    axes, weight, _ = by_all_rates
    found = three_parts()
    for at in range(3):
        alone = weight.sum(axis=tuple(other for other in range(3) if other != at))
        mean = (alone * axes[at]).sum()
        deviation = np.sqrt((alone * axes[at] ** 2).sum() - mean**2)
        ours = (found.weight[0, at] * found.rate_log[0, at]).sum()
        spread = np.sqrt((found.weight[0, at] * found.rate_log[0, at] ** 2).sum() - ours**2)
        assert (ours, spread) == (pytest.approx(mean, abs=2e-3), pytest.approx(deviation, rel=0.01))


@pytest.mark.parametrize("members", [(0, 1), (0, 2), (0, 1, 2)])
def test_the_first_of_several_by_all_rates_at_once(by_all_rates, members):
    """Two of one kind, two of two kinds, and all three: the chance that none is at its limit yet."""
    axes, weight, states = by_all_rates
    found = three_parts()
    hours, _ = first_of(found, crossing(found, MEDIUM), list(members), CHANCES)
    for chance, hour in zip(CHANCES, hours, strict=True):
        alive = weight
        for at in members:
            growth, (wear, var) = np.exp(axes[at]) * hour, states[at]
            shape = [1, 1, 1]
            shape[at] = -1
            spread = np.sqrt(var + NOISE * growth + (SPAN * growth) ** 2)
            alive = alive * norm.cdf((1.0 - wear - growth) / spread).reshape(shape)
        assert 1.0 - alive.sum() == pytest.approx(chance, abs=4e-3)


def a_machine(seed=4):
    """Eleven parts of three kinds, read once to three times, some of unknown age."""
    rng = np.random.default_rng(seed)
    lives = []
    for number in range(11):
        hours = np.full(1 + number % 3, 900.0)
        wear = np.cumsum(hours) / 5000.0 * np.exp(0.25 * rng.normal()) + 0.03 * rng.normal(size=hours.size)
        lives.append(part(number % 3, hours, wear, 0.04, start_known=bool(number % 4)))
    return stack(lives), weak_priors(np.array([5000.0, 6000.0, 4000.0]), np.array([0.6, 0.6, 0.6]))


def test_gradient_of_what_is_left_against_central_differences():
    paths, priors = a_machine()
    scale = fit(paths, priors, Habits(), (0, MEDIUM)).scale
    here = np.array([[0.3, -0.4, 0.5, -0.6, 0.2]])

    def at(standard):
        return believe(paths, scale.constants(standard), Habits(), scale.grounds)

    exact = log_marginal_gradient(at(here), 0, scale.grounds)[0] * scale.deviation
    for number in range(here.size):
        step = np.zeros(here.shape)
        step[0, number] = 1e-4
        up, down = (at(here + way * step).log_marginal[0] for way in (1, -1))
        assert exact[number] == pytest.approx((up - down) / 2e-4, abs=2e-6)


@pytest.mark.parametrize("seed", [4, 5, 6])
def test_the_fit_is_where_a_general_minimiser_ends(seed):
    paths, priors = a_machine(seed)
    found = fit(paths, priors, Habits(), MEDIUM)

    def minus_log(standard):
        value = believe(paths, found.scale.constants(standard[None]), Habits()).log_marginal[0]
        return 0.5 * standard @ standard - value

    mode = minimize(minus_log, np.zeros(found.mode.size), method="Nelder-Mead", options={"fatol": 1e-7}).x
    assert np.linalg.norm(np.linalg.solve(found.covariance_root, found.mode - mode)) < 0.05


def test_sixteen_sets_say_what_thousands_would():
    """Hours of every part by the sets, and by 2,048 sets weighed by how likely they make the readings (importance sampling)."""
    paths, priors = a_machine()
    found = fit(paths, priors, Habits(), MEDIUM)
    rng = np.random.default_rng(1)
    standard = found.mode + 1.2 * rng.normal(size=(2048, found.mode.size)) @ found.covariance_root.T
    drawn = np.linalg.solve(1.2 * found.covariance_root, (standard - found.mode).T).T
    every = believe(paths, found.scale.constants(standard), Habits())
    log = every.log_marginal - 0.5 * (standard**2).sum(axis=1) + 0.5 * (drawn**2).sum(axis=1)
    share = np.exp(log - log.max())
    hours = crossing(believe(paths, found.draws(16), Habits()), MEDIUM).hours(CHANCES)
    chance = (crossing(every, MEDIUM).by_rate(hours) @ every.weight[..., None])[..., 0]
    off = (share / share.sum() @ chance.reshape(2048, -1)).reshape(hours.shape) - CHANCES
    assert np.sqrt((off**2).mean(axis=0)).max() < 0.015
    assert np.abs(off).max() < 0.035
