"""Wear law and worn sections against formulas and numbers from outside the code.

Sources
- Archard, J. Appl. Phys. 24 (1953) 981 (page from memory): V = K F s / H.
- Circular segment, trapezium, ring: any geometry handbook; values computed from the closed form, and by polygons and
  numerical integration here.
- Equivalent quartz factors by Mohs number: laboratory note; value computed.
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from pitchline.wear.section import segment_area_m2, segment_depth_m, tapered_bar_area_m2


def test_segment_of_a_round():
    """A2: R 20 mm, h 2 mm: 23.490363 mm2; R 30 mm, h 3 mm: 52.853 mm2 (computed)."""
    assert segment_area_m2(0.020, 0.002) * 1e6 == pytest.approx(23.490363, abs=1e-6)
    assert segment_area_m2(0.030, 0.003) * 1e6 == pytest.approx(52.853, abs=5e-4)


def polygon_area(x, y):
    """Shoelace formula."""
    return 0.5 * abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))


@pytest.mark.parametrize("share", [0.05, 0.2, 0.5, 1.0, 1.5, 1.95])
def test_segment_against_a_polygon(share):
    """A fine polygon round the segment encloses the same area, from shallow to nearly the whole round."""
    radius, depth = 0.03, 0.03 * share
    half_angle = math.acos(1 - depth / radius)
    angle = np.linspace(-half_angle, half_angle, 20_001)
    area = polygon_area(radius * np.cos(angle), radius * np.sin(angle))
    assert segment_area_m2(radius, depth) == pytest.approx(area, rel=1e-6)


@pytest.mark.parametrize("share", [1e-9, 1e-6, 1e-3, 0.01, 0.1, 0.7, 1.0])
def test_segment_against_integration(share):
    """Summing the flat's width over its depth, in a variable that keeps shallow flats exact."""
    radius = 0.03
    depth = radius * share

    def width_over_root(root):
        return 2 * math.sqrt(2 * radius - root**2) * root * 2 * root

    area = quad(width_over_root, 0, math.sqrt(depth), epsabs=0, epsrel=1e-12)[0]
    assert segment_area_m2(radius, depth) == pytest.approx(area, rel=1e-9)
    assert segment_depth_m(radius, area) == pytest.approx(depth, rel=1e-9)


def test_half_and_whole_round():
    """The flat through the middle takes half the round; the whole diameter takes all of it."""
    assert segment_area_m2(1.0, [1.0, 2.0]) == pytest.approx([math.pi / 2, math.pi], rel=1e-12)


@pytest.mark.parametrize("loss", [0.0, 0.004, 0.03, 0.06])
def test_tapered_bar_against_a_polygon(loss):
    """The trapezium from tip to the worn height, by its corners."""
    tip, root, height = 0.010, 0.028, 0.060
    width = tip + (root - tip) * loss / height
    x = np.array([-tip / 2, tip / 2, width / 2, -width / 2])
    y = np.array([height, height, height - loss, height - loss])
    assert tapered_bar_area_m2(loss, tip, root, height) == pytest.approx(polygon_area(x, y), abs=1e-12)
