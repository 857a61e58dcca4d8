"""What must hold for every wear line, whatever the yard enters."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.trade.dossier import Limit, LineShape
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.wear.line import wear_line

NEW_M = st.floats(0.02, 0.4)


@st.composite
def between_points(draw, new_m, limit_m):
    """Up to three points strictly inside, in order, not on top of one another."""
    count = draw(st.integers(0, 3))
    steps = st.lists(st.floats(0.05, 1.0), min_size=count + 1, max_size=count + 1)
    size_steps, life_steps = np.cumsum(draw(steps)), np.cumsum(draw(steps))
    shares, lives = size_steps[:-1] / size_steps[-1], life_steps[:-1] / life_steps[-1]
    return tuple(
        (float(new_m + share * (limit_m - new_m)), float(life)) for share, life in zip(shares, lives, strict=True)
    )


@st.composite
def pointed(draw):
    """A straight or shape-preserving line, falling or rising."""
    new_m = draw(NEW_M)
    falls = draw(st.booleans())
    limit_m = new_m * draw(st.floats(0.2, 0.97) if falls else st.floats(1.01, 1.5))
    shape = draw(st.sampled_from([LineShape.STRAIGHT, LineShape.SHAPE_PRESERVING]))
    part, measurand = (PartKind.LINK, Measurand.RAIL_HEIGHT) if falls else (PartKind.IDLER, Measurand.TREAD_DEPTH)
    return Limit(part, measurand, new_m, limit_m, between=draw(between_points(new_m, limit_m)), shape=shape)


@st.composite
def tapered(draw):
    new_m, tip_m = draw(NEW_M), draw(st.floats(0.002, 0.05))
    return Limit(
        PartKind.SHOE,
        Measurand.GROUSER_HEIGHT,
        new_m,
        new_m * draw(st.floats(0.05, 0.95)),
        shape=LineShape.TAPERED_BAR,
        tip_width_m=tip_m,
        root_width_m=tip_m * draw(st.floats(1.0, 5.0)),
    )


@st.composite
def flat(draw):
    new_m = draw(NEW_M)
    limit_m = new_m * draw(st.floats(0.5, 0.97))
    return Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, new_m, limit_m, shape=LineShape.FLAT_ON_ROUND)


LINES = st.one_of(pointed(), tapered(), flat()).map(wear_line)


def sizes(line, low=-0.3, high=1.5, count=61):
    """Sizes from better than new to past the limit, above zero."""
    found = line.limit.new_m + np.linspace(low, high, count) * (line.limit_m - line.limit.new_m)
    return found[found > 0.01 * line.limit.new_m]


@given(LINES)
def test_more_wear_is_always_more_life_used(line):
    lives = line.life_used(sizes(line))
    assert np.all(np.diff(lives) > 0)


@given(LINES)
def test_new_and_limit_are_exact(line):
    assert line.life_used(line.limit.new_m) == 0
    assert line.life_used(line.limit_m) == pytest.approx(1, abs=1e-12)
    assert (line.size_m(0.0), line.size_m(1.0)) == (line.limit.new_m, line.limit_m)


@given(LINES)
def test_size_to_life_and_back(line):
    """To a billionth of the allowance, or to the digits a size can carry at all."""
    there = sizes(line)
    assert line.size_m(line.life_used(there)) == pytest.approx(
        there, abs=1e-9 * abs(line.limit.new_m - line.limit_m) + 1e-14
    )


@given(LINES, st.floats(-0.5, 4.0))
def test_life_to_size_and_back(line, life):
    size_m = float(line.size_m(life))
    if size_m > 1e-3 * line.limit.new_m:
        assert line.life_used(size_m) == pytest.approx(life, abs=1e-7)


@given(LINES)
def test_beyond_is_outside_new_to_limit(line):
    there = sizes(line)
    lives = line.life_used(there)
    clear = (np.abs(lives) > 1e-9) & (np.abs(lives - 1) > 1e-9)
    assert np.array_equal(line.is_beyond(there)[clear], ((lives < 0) | (lives > 1))[clear])


@given(st.floats(0.02, 0.1), st.floats(0.005, 0.015), st.data())
def test_rising_and_falling_mirror_each_other(new_m, allowance_m, data):
    """The same depths and lives make the same line, whichever way the reading goes."""
    down_points = data.draw(between_points(new_m, new_m - allowance_m))
    up_points = tuple((2 * new_m - size_m, life) for size_m, life in down_points)
    shape = data.draw(st.sampled_from([LineShape.STRAIGHT, LineShape.SHAPE_PRESERVING]))
    down = wear_line(
        Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m, new_m - allowance_m, between=down_points, shape=shape)
    )
    up = wear_line(
        Limit(PartKind.IDLER, Measurand.TREAD_DEPTH, new_m, new_m + allowance_m, between=up_points, shape=shape)
    )
    depths = np.linspace(-0.2, 1.3, 31) * allowance_m
    assert down.life_used(new_m - depths) == pytest.approx(up.life_used(new_m + depths), abs=1e-9)


@given(LINES, st.lists(st.one_of(st.just(math.nan), st.floats(0.02, 0.4)), min_size=1, max_size=8))
def test_gaps_stay_gaps_and_touch_nothing_else(line, readings):
    together = line.life_used(readings)
    alone = [float(line.life_used(reading)) for reading in readings]
    assert together == pytest.approx(alone, nan_ok=True, rel=1e-12, abs=1e-12)
    assert np.array_equal(np.isnan(together), np.isnan(readings))


@given(tapered(), st.floats(0.1, 10))
def test_only_the_bars_shape_counts_not_its_size(limit, factor):
    """Scaled up in every direction, the same share of height is the same life used."""
    scaled = Limit(
        limit.part,
        limit.measurand,
        limit.new_m * factor,
        limit.limit_m * factor,
        shape=limit.shape,
        tip_width_m=limit.tip_width_m * factor,
        root_width_m=limit.root_width_m * factor,
    )
    there = sizes(wear_line(limit))
    assert wear_line(scaled).life_used(there * factor) == pytest.approx(
        wear_line(limit).life_used(there), rel=1e-9
    )
