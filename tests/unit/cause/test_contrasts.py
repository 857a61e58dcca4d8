"""Readings beside each other as evidence: ratios reckoned outside the project, and against scipy's normal law."""

import math
from itertools import pairwise

import pytest
from scipy import stats

from pitchline.cause import contrasts
from pitchline.trade.errors import NotAllowedError


@pytest.mark.parametrize(
    ("x", "s", "ratio"), [(0.6008, 0.1677, 23.122), (0.20, 0.10, 0.497344), (0.6008, 1.0, 1.155424)]
)
def test_reverse_face_as_reckoned(x, s, ratio):
    assert contrasts.one_way(x, s, 0.0, 0.15, 1.8, 0.30) == pytest.approx(ratio, rel=2e-5)


def test_a_large_ratio_counts_for_twenty():
    assert contrasts.reverse_face(0.6008, 0.1677, turns_often=False) == 20
    assert contrasts.reverse_face(-1.5, 0.05, turns_often=False) < 1 / 3


@pytest.mark.parametrize("s", [0.02, 0.1, 0.3, 0.8])
def test_more_uneven_wear_never_speaks_less_for_its_sign(s):
    """A wider law wins in both tails: without a hold a reverse face hardly worn would speak for much reverse."""
    far = [step / 20 for step in range(-80, 81)]
    for ratio in (
        lambda x: contrasts.reverse_face(x, s, turns_often=False),
        lambda x: contrasts.ahead(x, s, 1.8),
        lambda x: contrasts.side_against_side(abs(x), s, 0.22 * 2**0.5) if x > 0 else 0.0,
        lambda x: contrasts.side_against_side(-abs(x), s, 0.22 * (2 / 7) ** 0.5) if x > 0 else 0.0,
        lambda x: contrasts.front_against_rear(abs(x), s, 2, 2) if x > 0 else 0.0,
    ):
        told = [ratio(x) for x in far]
        assert all(after >= before * (1 - 2e-4) for before, after in pairwise(told))
        assert told[0] < 1 < told[-1] or s == 0.8


def test_a_dozers_reverse_faces_wear_a_little_more_in_any_work():
    often = contrasts.reverse_face(math.log(1.15), 0.1, turns_often=True)
    assert often == contrasts.reverse_face(0.0, 0.1, turns_often=False) < 1


@pytest.mark.parametrize(
    ("x", "s", "parts", "ratio"), [(0.15, 0.06, 7, 0.444539), (-0.40, 0.06, 7, 29.795), (-0.40, 0.06, 1, 1.610456)]
)
def test_side_against_side_as_reckoned(x, s, parts, ratio):
    spread = contrasts.PART_SPREAD * math.sqrt(2 / parts)
    assert contrasts.either_way(x, s, spread, 1.4, 0.2) == pytest.approx(ratio, rel=2e-5)
    assert contrasts.side_against_side(x, s, spread) == pytest.approx(min(ratio, 20), rel=2e-5)


def test_ratios_are_those_of_the_normal_law():
    """scipy, for a pair of quantities: usual spread 0.35, 0.3 where one is ahead 1.8 times."""
    x, s = 0.4, 0.12
    there = stats.norm(math.log(1.8), math.hypot(s, 0.3)).pdf(x)
    assert contrasts.ahead(x, s, 1.8) == pytest.approx(
        there / stats.norm(0, math.hypot(s, 0.35)).pdf(x), rel=1e-12
    )


def test_a_reading_that_tells_nothing_counts_for_nothing():
    assert contrasts.ahead(0.5, 50.0, 1.8) == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize(("y", "ratio"), [(28, 8.8815), (33, 0.565720)])
def test_sag_near_the_edge_of_its_window_as_reckoned(y, ratio):
    """Window from 30 mm, doubt 3 mm; the chance by scipy's normal law."""
    assert contrasts.beyond_window(stats.norm.cdf((30 - y) / 3)) == pytest.approx(ratio, rel=2e-5)


def test_sag_well_out_is_seen_and_well_in_is_not():
    assert contrasts.beyond_window(0.96) == math.inf
    assert contrasts.beyond_window(0.04) == 0


def test_one_roller_among_many_is_not_odd_by_chance():
    even = [math.log(0.4)] * 8
    odd = [*even[:-1], math.log(0.4) + math.log(1.9)]
    doubts = [0.05] * 8
    assert contrasts.one_unlike(even, doubts) < 1 < contrasts.one_unlike(odd, doubts)
    alone = contrasts.either_way(math.log(1.9), 0.05, contrasts.PART_SPREAD * math.sqrt(1 + 1.57 / 7), 1.7, 0.3)
    assert contrasts.one_unlike(odd, doubts) < alone


def test_two_rollers_have_no_neighbours():
    with pytest.raises(NotAllowedError):
        contrasts.one_unlike([0.0, 0.1], [0.1, 0.1])
