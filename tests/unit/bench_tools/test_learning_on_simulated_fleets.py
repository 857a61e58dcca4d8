"""What is learned from simulated fleets, against the figures they were made with.

Source of the expected values: the recipes of bench/fleet_simulator.py, which uses nothing of the package.
"""

import numpy as np
import pytest

from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import free_scale
from pitchline.outlook.fleet import learn, weak
from pitchline.outlook.late import straightened
from pitchline.outlook.learning import Slope, climb, evenly, late_objective, most_likely, objective


def paths_of(fleet_simulator, machines, variant, seed=3):
    return fleet_simulator.to_paths(fleet_simulator.simulate(machines, seed, variant))[0]


def start(fleet_simulator, times=1.0):
    kinds, lives_h = fleet_simulator.KINDS, fleet_simulator.LIVES_H
    return weak(kinds, {kind: (times * life_h, 0.5) for kind, life_h in zip(kinds, lives_h, strict=True)})


@pytest.fixture(scope="module")
def two_slopes(fleet_simulator):
    """Paths of a fleet whose parts wear 1.6 times as fast once seven tenths of their life are used.

    Forty: learning takes three times as long from 100, and needs no wider bounds from 40.
    """
    return paths_of(fleet_simulator, 40, "two_slope")


def test_a_change_of_pace_is_found_where_there_is_one(fleet_simulator, two_slopes):
    late = learn(two_slopes, start(fleet_simulator)).late
    assert late.begins == pytest.approx(0.7, abs=0.04)
    assert np.exp(np.log(late.times).mean()) == pytest.approx(1.6, abs=0.1)
    np.testing.assert_allclose(late.times, 1.6, atol=0.35)


def test_no_change_of_pace_is_found_where_there_is_none(fleet_simulator):
    late = learn(paths_of(fleet_simulator, 40, "clean"), start(fleet_simulator)).late
    assert late.times.max() < 1.2
    assert np.median(late.times) == 1.0


@pytest.fixture(scope="module", params=["by_wear", "misspecified"])
def fitted(request, fleet_simulator):
    """The same fit for both questions put to it: paths with any change of pace straightened out, scale, and what was found."""
    paths = paths_of(fleet_simulator, 40, request.param)
    scale = free_scale(paths, start(fleet_simulator).priors, 2)
    found = most_likely(paths, scale, Habits())
    return straightened(paths, found.late), scale, found, np.sqrt(np.diag(found.covariance))


def test_wherever_it_starts_it_ends_at_the_same_constants(fitted):
    """From three standard deviations off in every constant, up or down by chance."""
    even, scale, found, sure = fitted
    far = found.mode + 3 * np.random.default_rng(1).choice([-1, 1], sure.size) * sure
    again = climb(far, lambda at: objective(at, even, scale, Habits()), 0.05, found.covariance)
    assert np.abs((again - found.mode) / sure).max() < 0.25


def test_it_ends_where_no_gradient_is_left(fitted):
    even, scale, found, sure = fitted
    steps = found.covariance @ objective(found.mode, even, scale, Habits()).gradient
    assert np.abs(steps / sure).max() < 0.15


@pytest.mark.parametrize("which", [0, 3, -9, -5, -1])
def test_gradients_are_what_differences_say(fleet_simulator, two_slopes, which):
    """Single precision: differences of steps this wide are good to about a hundredth."""
    few, scale = evenly(two_slopes, 30), free_scale(two_slopes, start(fleet_simulator).priors, 2)
    here = np.r_[np.full(scale.mean.size, 0.1), 0.2, np.full(scale.kinds, 1.5)]
    step = np.zeros(here.size)
    step[which] = 0.05
    up, down = (late_objective(here + way * step, few, scale, Habits()).value for way in (1, -1))
    gradient = late_objective(here, few, scale, Habits()).gradient
    assert gradient[which] == pytest.approx((up - down) / 0.1, rel=0.02, abs=0.3)


def test_a_start_without_a_number_is_left_by_shorter_steps():
    """A bowl that has no value far from its middle, with a first step that leaps out of it."""

    def bowl(at):
        outside = bool((np.abs(at) > 5).any())
        value = np.nan if outside else float(0.5 * 40 * at @ at)
        return Slope(value, 40 * at, np.zeros((1, at.size)))

    found = climb(np.array([4.0, -3.0]), bowl, 0.01)
    np.testing.assert_allclose(found, 0.0, atol=0.01)
