"""The wear filter and the nested quadrature against independent computations with general-purpose libraries.

The joint normal of all readings (scipy.stats.multivariate_normal), numerical integration (scipy.integrate.quad), and plain
importance sampling (numpy) of the published model of Lu and Meeker, Technometrics 35 (1993) 161-174.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import log_ndtr, ndtr
from scipy.stats import norm

from pitchline.outlook.branches import somewhere
from pitchline.outlook.constants import Constants
from pitchline.outlook.filter import Habits
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


def test_fast_normal_against_scipy():
    """The whole range, in double and single precision, against scipy.special.ndtr."""
    z = np.linspace(-40, 40, 400_001)
    assert np.abs(normal_cdf(z) - ndtr(z)).max() < 1e-7
    assert np.abs(normal_cdf(z.astype(np.float32)) - ndtr(z)).max() < 3e-7
