"""Chain, belt and sag geometry against values from outside the code.

Sources
- Pitch circle: joints are the corners of a regular polygon (p / sin(pi / N), the formula of ISO 606 and ASME B29.1; standards not
  seen). Computed from the formula outside this code, to the digits shown, for 25.4 mm, a pitch of ISO 606.
"""

import pytest

from pitchline.shape.sprocket import pitch_diameter_m
from pitchline.trade.machine import SprocketGaps

EACH, SECOND = SprocketGaps.EACH, SprocketGaps.EVERY_SECOND


def mm(length_m):
    return float(length_m) * 1e3


@pytest.mark.parametrize(("teeth", "diameter"), [(9, 74.26), (17, 138.23), (25, 202.66), (57, 461.08)])
def test_pitch_diameter_is_that_of_a_regular_polygon(teeth, diameter):
    """Computed from the formula."""
    assert mm(pitch_diameter_m(0.0254, teeth, EACH)) == pytest.approx(diameter, abs=0.005)
