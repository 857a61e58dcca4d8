"""Chain pitch against what a worn sprocket offers, held to coordinates worked out here."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitchline.shape.pitch_match import pitch_match
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import SprocketGaps

HALF = SprocketGaps.EVERY_SECOND


def seated(pitch_m, joints, sunk_m):
    """Distance of neighbouring joints by coordinates, sunk below the circle on which a new pitch closes; and the radius."""
    radius = pitch_m / 2 / math.sin(math.pi / joints) - sunk_m
    turn = 2 * math.pi / joints
    one, two = np.array([radius, 0.0]), radius * np.array([math.cos(turn), math.sin(turn)])
    return float(np.linalg.norm(one - two)), radius


@pytest.mark.parametrize(
    ("grown", "root_mm", "bush_mm"), [(0, 0, 0), (0.01, 0, 0), (0.02, 0, 3), (0, 6, 0), (0.02, 6, 3)]
)
def test_the_pitch_offered_is_the_distance_of_seated_joints(grown, root_mm, bush_mm):
    """25 teeth half a pitch apart take 12.5 joints a turn."""
    match = pitch_match(0.2, 0.2 * (1 + grown), 25, HALF, root_mm / 1e3, bush_mm / 1e3)
    offered, radius = seated(0.2, 12.5, (root_mm + bush_mm) / 1e3)
    assert float(match.offered_m) == pytest.approx(offered, rel=1e-12)
    assert float(match.apart) == pytest.approx(0.2 * (1 + grown) / offered - 1, abs=1e-12)
    assert float(match.ride_m) == pytest.approx(radius * float(match.apart), abs=1e-12)


@given(st.floats(0, 0.03), st.floats(0, 0.008), st.floats(0, 0.004), st.integers(15, 40))
def test_riding_that_much_higher_they_fit(grown, root_m, bush_m, teeth):
    """Joints at the height told stand exactly one worn pitch apart."""
    match = pitch_match(0.2, 0.2 * (1 + grown), teeth, HALF, root_m, bush_m)
    fits, _ = seated(0.2, teeth / 2, root_m + bush_m - float(match.ride_m))
    assert fits == pytest.approx(0.2 * (1 + grown), rel=1e-9)


def test_a_root_worn_to_nothing_is_refused():
    with pytest.raises(NotAllowedError, match="Measure again"):
        pitch_match(0.2, 0.2, 25, HALF, root_worn_m=0.5)
