"""Chain, belt and sag geometry against values from outside the code.

Sources
- Roller chain pitch diameters for 25.4 mm: published sprocket tables (p / sin(pi/N), the formula of ISO 606 and ASME B29.1).
- Chain length, 20 and 63 teeth: worked example 114.8 pitches; its centre distance is not printed, 36 pitches gives it back.
- Rope round two circles, 6 and 1 at 13: published puzzle answer 49.9390597721.
- Catenary and parabola, circle segment, chord and sagitta: any handbook.
- "computed": worked out from the stated formula outside this code, to the digits shown. All sizes are invented round numbers.
"""

import pytest

from pitchline.shape.sprocket import pitch_diameter_m
from pitchline.trade.machine import SprocketGaps

EACH, SECOND = SprocketGaps.EACH, SprocketGaps.EVERY_SECOND


def mm(length_m):
    return float(length_m) * 1e3


@pytest.mark.parametrize(("teeth", "diameter"), [(9, 74.26), (17, 138.23), (25, 202.66), (57, 461.08)])
def test_pitch_diameter_of_a_published_table(teeth, diameter):
    """1.1: the table's second decimal."""
    assert mm(pitch_diameter_m(0.0254, teeth, EACH)) == pytest.approx(diameter, abs=0.005)


SETS = [
    ([0, 400, 0], [0, 0, 300], [50, 50, 50], 1514.159),
    ([0, 50, 1000], [0, 0, 0], [300, 100, 200], 3580.805),
    ([0, 3600, 800], [0, -20, -250], [350, 320, 90], 9305.228),
    ([0, 3600, 800, 1200], [0, -20, -250, 430], [350, 320, 90, 100], 9329.135),
]
