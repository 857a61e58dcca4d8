"""Chain, belt and sag geometry against values from outside the code.

Sources
- Roller chain pitch diameters for 25.4 mm: published sprocket tables (p / sin(pi/N), the formula of ISO 606 and ASME B29.1).
- Chain length, 20 and 63 teeth: worked example 114.8 pitches; its centre distance is not printed, 36 pitches gives it back.
- Rope round two circles, 6 and 1 at 13: published puzzle answer 49.9390597721.
- Catenary and parabola, circle segment, chord and sagitta: any handbook.
- "computed": worked out from the stated formula outside this code, to the digits shown. All sizes are invented round numbers.
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from pitchline.shape.hanging import (
    end_pull_n,
    parabola_sag_m,
    pull_from_sag_n,
    sag_from_slack_m,
    sag_m,
    scale_from_sag_m,
    slack_m,
)
from pitchline.shape.hull import support_length_m, taut_loop
from pitchline.shape.joint_wear import elongation_from_take_up, joint_wear, out_of_step_m
from pitchline.shape.length import (
    belt_length_m,
    centres_for_length_m,
    centres_near,
    chain_pitches,
    chain_pitches_near,
    links_round_idler,
    take_up_rate,
)
from pitchline.shape.outlines import area_m2, bush_outline
from pitchline.shape.rounds import bolt_circle_m, diameter_from_girth_m, radius_from_sagitta_m, rock_at_raceway_m
from pitchline.shape.sprocket import (
    climb_m,
    laps_to_same_gap,
    pitch_diameter_m,
    plausible_elongation,
    rise_and_fall_m,
    root_across_teeth_m,
    root_diameter_m,
    speed_spread,
    travel_per_turn_m,
)
from pitchline.trade.machine import SprocketGaps

EACH, SECOND = SprocketGaps.EACH, SprocketGaps.EVERY_SECOND


def mm(length_m):
    return float(length_m) * 1e3


@pytest.mark.parametrize(("teeth", "diameter"), [(9, 74.26), (17, 138.23), (25, 202.66), (57, 461.08)])
def test_pitch_diameter_of_a_published_table(teeth, diameter):
    """1.1: the table's second decimal."""
    assert mm(pitch_diameter_m(0.0254, teeth, EACH)) == pytest.approx(diameter, abs=0.005)


def test_half_pitch_sprocket():
    """1.2, 1.3: p 200, N 25, b 60 (computed): circle, root, travel, calliper; and the circle if every gap took a joint."""
    assert mm(pitch_diameter_m(0.2, 25, SECOND)) == pytest.approx(804.214, abs=5e-4)
    assert mm(root_diameter_m(0.2, 25, SECOND, 0.06)) == pytest.approx(744.214, abs=5e-4)
    assert mm(travel_per_turn_m(0.2, 25, SECOND)) == pytest.approx(2500.0, abs=0.05)
    assert mm(root_across_teeth_m(0.2, 25, SECOND, 0.06)) == pytest.approx(742.628, abs=5e-4)
    assert mm(pitch_diameter_m(0.2, 25, EACH)) == pytest.approx(1595.7, abs=0.05)


def test_calliper_across_an_odd_count():
    """1.3: unit pitch, N 13: d cos(90 deg / N) = 4.1481 (computed); even counts lose nothing."""
    bush = 0.3
    assert float(root_across_teeth_m(1.0, 13, EACH, bush)) + bush == pytest.approx(4.1481, abs=5e-5)
    assert float(root_across_teeth_m(1.0, 12, EACH, bush)) == float(root_diameter_m(1.0, 12, EACH, bush))


@pytest.mark.parametrize(("teeth", "joints", "laps"), [(25, 49, 25), (24, 48, 1), (25, 50, 1)])
def test_hunting_teeth(teeth, joints, laps):
    """1.4 (computed), and by walking the chain round."""
    assert laps_to_same_gap(joints, teeth, SECOND) == laps
    gap = next(lap for lap in range(1, 200) if (2 * joints * lap) % teeth == 0)
    assert laps == gap


def test_chain_length_round_two_wheels():
    """1.5: published 114.8; exact form 114.805 (computed); and back."""
    assert float(chain_pitches_near(36, 20, 63)) == pytest.approx(114.801, abs=5e-4)
    assert float(chain_pitches(36, 20, 63)) == pytest.approx(114.805, abs=5e-4)
    assert float(centres_near(114.801, 20, 63)) == pytest.approx(36.0, abs=5e-4)


def test_links_round_an_idler():
    """1.6: p 200, R 300: 9.2444 (computed)."""
    assert float(links_round_idler(0.2, 0.3)) == pytest.approx(9.2444, abs=5e-5)


def test_elongation():
    """1.7: p 200, Ne 12.5, 3 %: climb 12.063 mm; at 200/N % the climb is p/pi; the ceiling turns at N 66.7 (computed)."""
    assert mm(climb_m(0.2, 25, SECOND, 0.03)) == pytest.approx(12.063, abs=5e-4)
    assert float(plausible_elongation(80)) == pytest.approx(0.025)
    assert plausible_elongation([66.6, 66.8]).tolist() == pytest.approx([0.03, 2 / 66.8])
    assert float(climb_m(0.2, 200, EACH, 2 / 200)) == pytest.approx(0.2 / math.pi, rel=1e-4)


def test_polygon_effect():
    """1.8: Ne 12.5, p 200: 3.175 %, 12.633 mm; N 17: 1.712 % (computed); and from the speeds themselves."""
    assert float(speed_spread(25, SECOND)) * 100 == pytest.approx(3.175, abs=5e-4)
    assert mm(rise_and_fall_m(0.2, 25, SECOND)) == pytest.approx(12.633, abs=5e-4)
    assert float(speed_spread(17, EACH)) * 100 == pytest.approx(1.712, abs=5e-4)
    mean = quad(math.cos, -math.pi / 17, math.pi / 17)[0] / (2 * math.pi / 17)
    assert float(speed_spread(17, EACH)) == pytest.approx((1 - math.cos(math.pi / 17)) / mean, rel=1e-12)


def test_rounds():
    """1.9: bolt circle 414.811; radius 390.0; girth 628.3 is 199.994 across (computed). 7: rock 1.393 mm (computed)."""
    assert mm(bolt_circle_m(0.050, 1, 26)) == pytest.approx(414.811, abs=5e-4)
    assert mm(radius_from_sagitta_m(0.3, 0.03)) == pytest.approx(390.0, abs=0.05)
    assert mm(diameter_from_girth_m(0.6283)) == pytest.approx(199.994, abs=5e-4)
    assert mm(rock_at_raceway_m(1.65e-3, 0.9, 0.76)) == pytest.approx(1.393, abs=5e-4)


def test_a_drawn_bush_loses_what_the_segment_says():
    """1.9: a flat 3 mm deep takes 52.853 mm2 off a round of R 30 mm, 1.869 % of it (computed); here off the drawn outline."""
    round_m2 = area_m2(bush_outline(0.060, 0.060, 0.060))
    lost_m2 = round_m2 - area_m2(bush_outline(0.060, 0.057, 0.060))
    assert lost_m2 * 1e6 == pytest.approx(52.853, rel=0.02)
    assert lost_m2 / round_m2 == pytest.approx(0.01869, rel=0.02)


def test_belt_round_two_circles():
    """2.1: published 49.9390597721; R 350, r 320, C 3600: 9305.117 (computed)."""
    assert float(belt_length_m(6, 1, 13)) == pytest.approx(49.9390597721, abs=5e-11)
    assert mm(belt_length_m(0.35, 0.32, 3.6)) == pytest.approx(9305.117, abs=5e-4)


SETS = [
    ([0, 400, 0], [0, 0, 300], [50, 50, 50], 1514.159),
    ([0, 50, 1000], [0, 0, 0], [300, 100, 200], 3580.805),
    ([0, 3600, 800], [0, -20, -250], [350, 320, 90], 9305.228),
    ([0, 3600, 800, 1200], [0, -20, -250, 430], [350, 320, 90, 100], 9329.135),
]


@pytest.mark.parametrize(("x", "y", "r", "length"), SETS)
def test_belt_round_many_circles(x, y, r, length):
    """2.2 (computed), by walking the hull and by the support function."""
    assert taut_loop(x, y, r).length_m == pytest.approx(length, abs=5e-4)
    assert support_length_m(x, y, r) == pytest.approx(length, abs=5e-4)


def test_take_up():
    """2.3: 49 x 200 mm, 2 %: 196, 98 and 100 mm; exact on R 350, r 320, C 3600: 93.054 mm (computed)."""
    worn = joint_wear(0.2, 0.204, 49)
    assert (mm(worn.growth_m), mm(worn.take_up_m), mm(worn.joint_out_m)) == pytest.approx((196.0, 98.0, 102.0))
    assert mm(joint_wear(0.2, 0.2, 49).joint_out_m) == pytest.approx(100.0)
    length = belt_length_m(0.35, 0.32, 3.6)
    assert mm(centres_for_length_m(0.35, 0.32, 1.02 * length) - 3.6) == pytest.approx(93.054, abs=5e-4)
    near = 0.02 * length / take_up_rate(0.35, 0.32, 3.6)
    assert mm(near) == pytest.approx(93.054, abs=0.01)
    assert float(elongation_from_take_up(near, length, take_up_rate(0.35, 0.32, 3.6))) == pytest.approx(0.02)


def test_out_of_step():
    """1.7: k e p, six joints at 2 % of 200 mm: 24 mm."""
    assert mm(out_of_step_m(0.2, 0.204, 6)) == pytest.approx(24.0)


def test_sag_and_tension():
    """3 (computed): w 800, l 1.6, H 8000: 0.032000, 0.032017 m; m 80, s 30 mm: 8368.3, 8372.3 N, slack 1.500, 1.499 mm."""
    assert float(parabola_sag_m(1.6, 800, 8000)) == pytest.approx(0.032000, abs=5e-7)
    assert float(sag_m(1.6, 800, 8000)) == pytest.approx(0.032017, abs=5e-7)
    weight = 80 * 9.80665
    assert weight == pytest.approx(784.532, abs=5e-4)
    assert weight * 1.6**2 / (8 * 0.030) == pytest.approx(8368.3, abs=0.05)
    assert mm(parabola_sag_m(1.6, weight, 8368.3)) == pytest.approx(30.0, abs=5e-4)
    assert float(pull_from_sag_n(1.6, weight, 0.030)) == pytest.approx(8372.3, abs=0.05)
    assert mm(8 * 0.030**2 / (3 * 1.6)) == pytest.approx(1.500, abs=5e-4)
    assert mm(slack_m(1.6, 0.030)) == pytest.approx(1.499, abs=5e-4)
    assert mm(slack_m(1.6, 0.030)) == pytest.approx(8 * 30**2 / 3 / 1600, rel=2e-3)


@pytest.mark.parametrize("share", [1e-6, 1e-3, 0.01, 0.04, 0.1, 0.3, 0.9])
def test_sag_over_its_whole_range(share):
    """The scale by root finding (scipy), the length by integrating along the curve, the end's pull by its slope, and back."""
    span, sag = 1.6, 1.6 * share
    scale = brentq(lambda a: 2 * a * math.sinh(span / (4 * a)) ** 2 - sag, span / 12, 1e7, xtol=1e-14, rtol=1e-14)
    assert float(scale_from_sag_m(span, sag)) == pytest.approx(scale, rel=1e-8)
    length = quad(lambda x: 2 * math.sinh(x / scale / 2) ** 2, -span / 2, span / 2, epsabs=0)[0]
    assert float(slack_m(span, sag)) == pytest.approx(length, rel=1e-6)
    assert float(sag_from_slack_m(span, slack_m(span, sag))) == pytest.approx(sag, rel=1e-9)
    pull = 800 * scale
    steep = pull * math.cosh(span / 2 / scale)
    assert float(end_pull_n(800, pull, sag)) == pytest.approx(steep, rel=1e-9)


def test_half_the_sag_is_twice_the_pull():
    """3: halving the sag doubles the tension; the parabola is within 0.22 % up to 4 % sag (computed)."""
    pulls = pull_from_sag_n(1.6, 800, [0.02, 0.01])
    assert pulls[1] / pulls[0] == pytest.approx(2, rel=1e-3)
    sags = np.linspace(0.001, 0.04, 20) * 1.6
    parabola = 800 * 1.6**2 / (8 * sags)
    assert np.max(np.abs(parabola / pull_from_sag_n(1.6, 800, sags) - 1)) < 0.0022
