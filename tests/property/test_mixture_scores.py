"""What must hold of any forecast that is a mixture of normals, and of its scores."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.outlook.mixture import Mixture, crps_normals

SOME = settings(max_examples=60, deadline=None)


@st.composite
def mixtures(draw):
    """One forecast of one to five normals."""
    count = draw(st.integers(1, 5))
    share = np.array(draw(st.lists(st.floats(0.05, 1.0), min_size=count, max_size=count)))
    mean = np.array(draw(st.lists(st.floats(-2, 2), min_size=count, max_size=count)))
    deviation = np.array(draw(st.lists(st.floats(0.3, 2), min_size=count, max_size=count)))
    return Mixture((share / share.sum())[None], mean[None], deviation[None])


@SOME
@given(mixtures(), st.floats(-6, 6), st.floats(0, 3))
def test_chances_rise_from_nothing_to_one(mixture, value, more):
    here, there = (float(mixture.chance_below(np.array([x]))[0]) for x in (value, value + more))
    assert 0 <= here <= there <= 1


@SOME
@given(mixtures(), st.floats(-5, 5))
def test_the_score_is_no_more_than_the_mean_distance(mixture, truth):
    """CRPS is the mean distance less half the spread (Gneiting and Raftery 2007, from memory): between 0 and the distance."""
    score = float(mixture.crps(np.array([truth]))[0])
    distance = np.abs(truth - mixture.centre[0]) + mixture.width[0]
    assert 0 <= score <= distance + 1e-6


@SOME
@given(mixtures(), st.floats(-4, 4), st.floats(-3, 3), st.floats(0.2, 5))
def test_another_scale_scales_the_score(mixture, truth, shift, factor):
    moved = Mixture(mixture.weight, mixture.mean * factor + shift, mixture.deviation * factor)
    here, there = mixture.crps(np.array([truth])), moved.crps(np.array([truth * factor + shift]))
    assert there == pytest.approx(here * factor, rel=1e-6, abs=1e-9)


@SOME
@given(st.floats(-4, 4), st.floats(0.2, 3))
def test_one_normal_agrees_with_its_closed_form(miss, deviation):
    """Closed form of the normal score, sheet value 0.2336950 at 0 with deviation 1 (computed)."""
    one = Mixture(np.ones((1, 1)), np.zeros((1, 1)), np.full((1, 1), deviation))
    assert one.crps(np.array([miss])) == pytest.approx(crps_normals(np.array([miss]), deviation), abs=2e-4)


@SOME
@given(mixtures(), st.floats(-4, 4))
def test_splitting_a_normal_in_two_changes_nothing(mixture, truth):
    twice = Mixture(
        np.hstack((mixture.weight, mixture.weight)) / 2,
        np.hstack((mixture.mean, mixture.mean)),
        np.hstack((mixture.deviation, mixture.deviation)),
    )
    assert twice.crps(np.array([truth])) == pytest.approx(mixture.crps(np.array([truth])), abs=1e-9)
