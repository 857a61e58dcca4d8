"""The belt against independent geometry, and chains that close, on many random layouts."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.shape.gear import lay_out
from pitchline.shape.hull import taut_loop
from pitchline.shape.line import closed_line, joints_on_line
from pitchline.shape.span import Wheel, depth_m, hanging_span, scale_for_depth_m
from pitchline.trade.machine import Layout, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

CLOSED_M = 1e-5  # 0.01 mm


def random_layouts(count):
    """Circles strewn at random: some inside others, some equal, some far off."""
    rng = np.random.default_rng(20261125)
    for number in range(count):
        circles = rng.integers(1, 15)
        x, y = rng.uniform(-2, 2, circles), rng.uniform(-0.5, 0.5, circles)
        r = rng.uniform(0.02, 0.6, circles) if number % 3 else np.full(circles, rng.uniform(0.02, 0.6))
        yield x, y, r


def exact_support_m(x, y, r):
    """Cauchy's integral in closed form between the directions at which any two circles reach equally far."""
    dx, dy, less = x - x[:, None], y - y[:, None], r[:, None] - r
    apart = np.hypot(dx, dy)
    share = np.divide(less, apart, out=np.full_like(apart, 2.0), where=apart > 0)
    meet = np.abs(share) <= 1
    middle, off = np.arctan2(dy, dx)[meet], np.arccos(share[meet])
    cuts = np.unique(np.mod(np.concatenate([middle - off, middle + off, [0.0]]), 2 * np.pi))
    ends = np.append(cuts[1:], cuts[0] + 2 * np.pi)
    half = (cuts + ends) / 2
    best = np.argmax(np.outer(np.cos(half), x) + np.outer(np.sin(half), y) + r, axis=1)
    swept = x[best] * (np.sin(ends) - np.sin(cuts)) - y[best] * (np.cos(ends) - np.cos(cuts))
    return float(np.sum(swept + r[best] * (ends - cuts)))


def test_belt_agrees_with_the_support_function_on_1000_layouts():
    for x, y, r in random_layouts(1000):
        assert taut_loop(x, y, r).length_m == pytest.approx(exact_support_m(x, y, r), rel=1e-9, abs=1e-6)


def test_belt_agrees_with_a_hull_of_polygons():
    """Shapely's convex hull round buffered points; a polygon of 4 x 512 sides falls short by about 4e-7 of each arc."""
    for x, y, r in random_layouts(60):
        rounds = [shapely.Point(a, b).buffer(c, quad_segs=512) for a, b, c in zip(x, y, r, strict=True)]
        hull = shapely.MultiPolygon(rounds).convex_hull.length
        length = taut_loop(x, y, r).length_m
        assert length - hull + 1e-9 >= 0
        assert length == pytest.approx(hull, rel=1e-6)


wheels = st.builds(
    lambda apart, up, one, two: (Wheel(apart, up, one), Wheel(0.0, 0.0, two)),
    st.floats(0.8, 4.0),
    st.floats(-0.3, 0.3),
    st.floats(0.05, 0.4),
    st.floats(0.05, 0.4),
)


@given(wheels, st.floats(1e-4, 0.06))
@settings(max_examples=80, deadline=None)
def test_a_span_hangs_as_far_down_as_read_and_meets_both_wheels(pair, share):
    front, rear = pair
    sag = share * front.x_m
    scale = scale_for_depth_m(front, rear, sag)
    span = hanging_span(front, rear, scale)
    assert depth_m(span, front, rear) == pytest.approx(sag, abs=1e-9)
    for wheel, angle, along in ((front, span.front_rad, span.front_s_m), (rear, span.rear_rad, span.rear_s_m)):
        x = span.x_m + scale * np.arcsinh(along / scale)
        y = span.y_m + scale * (np.sqrt(1 + (along / scale) ** 2) - 1)
        assert x == pytest.approx(wheel.x_m + wheel.radius_m * np.cos(angle), abs=1e-9)
        assert y == pytest.approx(wheel.y_m + wheel.radius_m * np.sin(angle), abs=1e-9)
        assert along / scale == pytest.approx(-1 / np.tan(angle), abs=1e-9)


def test_a_slack_span_between_wheels_close_together_still_hangs():
    """A front idler and an upper roller hard by it, with a sag of a fifth of the span: once found no curve."""
    front, rear = Wheel(2.7687, 0.5192, 0.3892), Wheel(2.3012, 0.9395, 0.1575)
    span = hanging_span(front, rear, scale_for_depth_m(front, rear, 0.125))
    assert depth_m(span, front, rear) == pytest.approx(0.125, abs=1e-9)


@st.composite
def gears(draw):
    """Running gears of every kind, tiny to huge."""
    track = draw(st.sampled_from(TrackKind))
    rubber = track is TrackKind.RUBBER
    joints = draw(st.integers(60, 90) if rubber else st.integers(34, 64))
    pitch = draw(st.floats(0.045, 0.1) if rubber else st.floats(0.1, 0.3))
    gaps = draw(st.sampled_from(SprocketGaps)) if not rubber else SprocketGaps.EACH
    teeth = draw(st.integers(21, 27) if gaps is SprocketGaps.EVERY_SECOND else st.integers(10, 13))
    if rubber:
        teeth = draw(st.integers(11, 19))
    layout = draw(st.sampled_from(Layout))
    return RunningGear(
        track, joints, pitch, 0.5, teeth, gaps, draw(st.integers(3, 12)), draw(st.integers(0, 3)), layout=layout
    )


@given(gears(), st.floats(0, 0.04), st.floats(0, 0.5))
@settings(max_examples=120, deadline=None)
def test_every_chain_closes_and_every_pitch_is_whole(gear, elongation, sag_share):
    """Joints laid on the line close the loop to 0.01 mm, and each lies a pitch from the next, measured straight."""
    part, what = (
        (PartKind.CHAIN, Measurand.PITCH) if gear.has_chain else (PartKind.RUBBER_TRACK, Measurand.RUBBER_PITCH)
    )
    scale = gear.pitch_m if gear.has_chain else gear.pitch_m * gear.joints_per_side / 40
    now = {
        (Place(part, Side.LEFT), what): gear.pitch_m * (1 + elongation),
        (Place(part, Side.LEFT), Measurand.SAG): sag_share * scale,
    }
    laid = lay_out(gear, Side.LEFT, now, {})
    assert abs(laid.closure_m) < CLOSED_M
    x, y = laid.joints
    assert x.size == gear.joints_per_side
    if gear.has_chain:
        apart = np.hypot(np.diff(np.append(x, x[0])), np.diff(np.append(y, y[0])))
        assert apart == pytest.approx(np.full(x.size, gear.pitch_m * (1 + elongation)), abs=CLOSED_M)
    else:
        assert laid.line.length_m == pytest.approx(gear.pitch_m * (1 + elongation) * x.size, abs=CLOSED_M)
    assert y.min() > 0


@given(gears(), st.floats(0.001, 0.04))
@settings(max_examples=40, deadline=None)
def test_a_longer_chain_pushes_the_idler_out(gear, elongation):
    """By its growth over the rate, as in the two-wheel formula, but for what climbing the sprocket takes up."""
    part, what = (
        (PartKind.CHAIN, Measurand.PITCH) if gear.has_chain else (PartKind.RUBBER_TRACK, Measurand.RUBBER_PITCH)
    )
    laid = lay_out(gear, Side.LEFT, {(Place(part, Side.LEFT), what): gear.pitch_m * (1 + elongation)}, {})
    growth = gear.pitch_m * gear.joints_per_side * elongation
    assert 0.5 * growth / laid.take_up_rate < laid.take_up_m < 1.02 * growth / laid.take_up_rate


def test_line_is_smooth_and_as_long_as_it_says():
    """Its length by adding up small steps; its direction never jumps."""
    round_wheels = [
        Wheel(0, 0, 0.45),
        Wheel(3.6, -0.02, 0.42),
        *(Wheel(0.6 + 0.4 * k, -0.33, 0.12) for k in range(7)),
    ]
    round_wheels += [Wheel(2.4, 0.32, 0.11), Wheel(1.2, 0.32, 0.11)]
    for scale in (None, 30.0, 12.0):
        line = closed_line(round_wheels, 1, 0, (9, 10), scale)
        x, y, way = line.at(np.linspace(0, line.length_m, 200_001))
        assert np.hypot(np.diff(x), np.diff(y)).sum() == pytest.approx(line.length_m, rel=1e-8)
        assert np.abs(np.diff(np.unwrap(way))).max() < 1e-3
    taut = closed_line(round_wheels, 1, 0, (9, 10), None)
    assert taut.length_m == pytest.approx(
        taut_loop(*np.array([(w.x_m, w.y_m, w.radius_m) for w in round_wheels]).T).length_m
    )


def test_a_roller_the_chain_hangs_clear_of_is_passed_over():
    line = closed_line([Wheel(0, 0, 0.4), Wheel(3, 0, 0.4), Wheel(1.5, 0.0, 0.1)], 1, 0, (2,), 30.0)
    assert 2 not in line.wheel


def test_joints_that_do_not_fit_tell_by_how_much():
    line = closed_line([Wheel(0, 0, 0.4), Wheel(3, 0, 0.4)], 1, 0, (), None)
    _, over = joints_on_line(line, line.length_m / 40, 41, 0.0)
    assert line.length_m / 40 < over < 1.3 * line.length_m / 40
