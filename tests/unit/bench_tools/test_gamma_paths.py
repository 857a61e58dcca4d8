"""The gamma draws against theory: van Noortwijk, Reliab. Eng. Syst. Saf. 94 (2009) 2, and scipy.special.gammaincc.

A gamma process that has grown by Gamma(shape s / noise, scale noise) after expected wear s has reached a distance d by then with
chance Q(s / noise, d / noise), Q the regularised upper incomplete gamma function.
"""

import numpy as np
import pytest
from scipy.special import gammaincc
from scipy.stats import kstest

COUNT = 20_000
NOISE = 0.005
KS_1_IN_10000 = 2.23 / np.sqrt(COUNT)
"""Distance a sample of this size exceeds once in 10,000: Kolmogorov's limit law (textbook)."""


def reached(expected, distance):
    return gammaincc(expected / NOISE, distance / NOISE)


def test_growth_has_the_mean_and_variance_of_a_gamma_process(gamma_paths, rng):
    """Mean s and variance noise * s, within five standard errors."""
    grown = gamma_paths.grow(rng, np.zeros(COUNT), np.full(COUNT, 0.4), NOISE, 0.7, 1.0)
    assert grown.mean() == pytest.approx(0.4, abs=5 * np.sqrt(NOISE * 0.4 / COUNT))
    assert grown.var() == pytest.approx(NOISE * 0.4, rel=5 * np.sqrt(2.2 / COUNT))


@pytest.mark.parametrize("distance", [0.01, 0.6, 2.0])
def test_first_passage_follows_the_incomplete_gamma_function(gamma_paths, rng, distance):
    at, _ = gamma_paths.first_passage(rng, np.full(COUNT, distance), NOISE)
    assert kstest(at, lambda x: reached(x, distance)).statistic < KS_1_IN_10000


def test_nothing_to_go_is_reached_at_once(gamma_paths, rng):
    at, beyond = gamma_paths.first_passage(rng, np.array([-0.2, 0.0]), NOISE)
    assert at.tolist() == [0.0, 0.0]
    assert beyond.tolist() == [0.2, 0.0]


def test_a_jump_beyond_is_never_negative_and_small(gamma_paths, rng):
    """The mean jump beyond a far level is noise * (1 + 1) / 2 by renewal theory's mean excess of a gamma process with density
    exp(-x / noise) / x: second over twice the first moment of its Levy measure, noise^2 / (2 noise) = noise / 2."""
    _, beyond = gamma_paths.first_passage(rng, np.full(COUNT, 1.0), NOISE)
    assert beyond.min() >= 0
    assert beyond.mean() == pytest.approx(NOISE / 2, rel=0.05)


def test_passing_inside_a_known_span_agrees_with_passing_at_all(gamma_paths, rng):
    """Growing first and finding the crossing afterwards gives the same law as walking until the crossing."""
    span, distance = np.full(COUNT, 1.0), 0.5
    growth = NOISE * rng.gamma(span / NOISE)
    over = growth >= distance
    at, _ = gamma_paths.bridge_passage(rng, np.full(over.sum(), distance), span[over], growth[over], NOISE)
    whole = reached(1.0, distance)
    assert kstest(at, lambda x: reached(np.minimum(x, 1.0), distance) / whole).statistic < KS_1_IN_10000 * 1.01


def test_beyond_the_knee_wear_is_so_many_times_faster(gamma_paths, rng):
    """From 0.9, beyond a knee at 0.7, expected wear 0.1 grows as 0.16 would."""
    grown = gamma_paths.grow(rng, np.full(COUNT, 0.9), np.full(COUNT, 0.1), NOISE, 0.7, 1.6) - 0.9
    assert grown.mean() == pytest.approx(0.16, abs=5 * np.sqrt(NOISE * 0.16 / COUNT))
    assert grown.var() == pytest.approx(NOISE * 0.16, rel=0.06)


def test_a_path_with_a_knee_reaches_the_limit_as_its_two_legs_say(gamma_paths, rng):
    """0.7 at one rate and 0.3 at 1.6 times that: 0.7 + 0.3 / 1.6, plus half a jump for each level reached (as above)."""
    at = gamma_paths.until_limit(rng, np.zeros(COUNT), NOISE, 0.7, 1.6)
    legs = 0.7 + NOISE / 2 + (0.3 - NOISE / 2 + NOISE / 2) / 1.6
    assert at.mean() == pytest.approx(legs, abs=5 * at.std() / np.sqrt(COUNT))


def test_growing_and_then_waiting_is_waiting_from_the_start(gamma_paths, rng):
    """With a knee too: the share past the limit after expected wear 0.9 is the share that waits less than 0.9."""
    start = np.zeros(COUNT)
    grown = gamma_paths.grow(rng, start, np.full(COUNT, 0.9), NOISE, 0.7, 1.6)
    waits = gamma_paths.until_limit(rng, start, NOISE, 0.7, 1.6)
    by_growth, by_wait = (grown >= 1).mean(), (waits <= 0.9).mean()
    assert by_growth == pytest.approx(by_wait, abs=5 * np.sqrt(0.5 / COUNT))
