"""Readings straightened where wear changes its pace, and back."""

import numpy as np
import pytest

from pitchline.outlook.late import Late, bent, log_stretch, none_late, slope, straight, straightened
from pitchline.outlook.learned import late_for, weak
from pitchline.outlook.paths import GROUNDS, PartLife, stack
from pitchline.trade.errors import NotAllowedError

WEAR = np.linspace(-0.3, 2.0, 231)
SHAPES = [(0.7, 1.6), (0.3, 3.0), (0.9, 1.1), (0.6, 0.5)]


@pytest.mark.parametrize(("begins", "times"), SHAPES)
def test_new_stays_new_and_the_limit_stays_the_limit(begins, times):
    found = straight(np.array([0.0, 1.0]), begins, np.array(times))
    np.testing.assert_allclose(found, [0.0, 1.0], atol=1e-12)


@pytest.mark.parametrize(("begins", "times"), SHAPES)
def test_the_slope_is_what_differences_say(begins, times):
    rise = (straight(WEAR + 1e-6, begins, np.array(times)) - straight(WEAR - 1e-6, begins, np.array(times))) / 2e-6
    np.testing.assert_allclose(slope(WEAR, begins, np.array(times)), rise, rtol=1e-6)


@pytest.mark.parametrize(("begins", "times"), SHAPES)
def test_there_and_back(begins, times):
    even = straight(WEAR, begins, np.array(times))
    np.testing.assert_allclose(bent(even, begins, np.array(times)), WEAR, atol=1e-9)


@pytest.mark.parametrize(("begins", "times"), SHAPES)
def test_far_from_the_knee_it_is_two_straight_lines(begins, times):
    """Hours to the limit of a part that wears one share of life an hour, then so many times that: simple arithmetic."""
    whole = begins + (1 - begins) / times
    low, high = begins / 4, begins + (1 - begins) * 2
    expected = np.array([low, begins + (high - begins) / times]) / whole
    np.testing.assert_allclose(straight(np.array([low, high]), begins, np.array(times)), expected, rtol=0.02)


def path(wear):
    count = len(wear)
    return PartLife(
        0, 0.02, True, True, np.ones((count, GROUNDS)), np.array(wear), np.full(count, 0.05), np.ones(GROUNDS)
    )


def test_no_change_of_pace_changes_nothing():
    paths = stack([path([0.3, 0.8])])
    assert straightened(paths, none_late(1)) is paths


def test_doubts_follow_the_slope_and_padding_stays_empty():
    paths = stack([path([0.3]), path([0.3, 0.9])])
    found = straightened(paths, Late(0.7, np.array([2.0])))
    assert (found.wear[0, 1], found.wear_u[0, 1]) == (0.0, 1.0)
    assert found.wear_u[1, 0] / found.wear_u[1, 1] == pytest.approx(2.0, rel=0.01)
    assert found.start_u[0] == pytest.approx(0.02 / (0.7 + 0.3 / 2), rel=1e-4)


def test_the_stretch_is_the_sum_of_logs_of_what_doubts_were_multiplied_by():
    paths, late = stack([path([0.3]), path([0.3, 0.9])]), Late(0.7, np.array([2.0]))
    found = straightened(paths, late)
    expected = [np.log(found.wear_u[0, 0] / 0.05), np.log(found.wear_u[1] / 0.05).sum()]
    np.testing.assert_allclose(log_stretch(paths, late), expected, rtol=1e-12)


@pytest.mark.parametrize(("begins", "times"), [(0.0, 1.5), (1.0, 1.5), (0.7, 0.0), (0.7, np.nan)])
def test_figures_outside_their_range_are_refused(begins, times):
    with pytest.raises(NotAllowedError):
        Late(begins, np.array([times]))


def test_kinds_nobody_knows_keep_their_pace():
    learned = weak(("bush_od", "idler"), {})
    learned = type(learned)(learned.kinds, learned.priors, Late(0.6, np.array([1.5, 1.2])))
    found = late_for(["idler", "cleat"], learned)
    assert (found.begins, found.times.tolist()) == (0.6, [1.2, 1.0])
    assert late_for(["idler"], None).even
