import math

import numpy as np
import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.wear.section import ring_area_m2, segment_area_m2, segment_depth_m, tapered_bar_area_m2


def test_gaps_stay_gaps():
    sizes = [math.nan, 0.001]
    for area in (
        segment_area_m2(0.03, sizes),
        tapered_bar_area_m2(sizes, 0.01, 0.02, 0.05),
        ring_area_m2(0.06, sizes),
        segment_depth_m(0.03, [math.nan, 1e-6]),
    ):
        assert np.isnan(area).tolist() == [True, False]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: segment_area_m2(0.03, 0.061),
        lambda: segment_area_m2(0.03, -0.001),
        lambda: segment_area_m2(0.0, 0.0),
        lambda: segment_depth_m(0.03, 0.0015),
        lambda: tapered_bar_area_m2(0.051, 0.01, 0.02, 0.05),
        lambda: tapered_bar_area_m2(0.01, 0.0, 0.02, 0.05),
        lambda: ring_area_m2(0.06, 0.061),
    ],
)
def test_sizes_outside_the_section_are_refused(wrong):
    with pytest.raises(NotAllowedError):
        wrong()
