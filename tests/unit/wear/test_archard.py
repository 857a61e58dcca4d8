import math

import pytest

from pitchline.trade.errors import NotAllowedError
from pitchline.wear.archard import worn_depth_m, worn_volume_m3


def test_twice_the_load_or_half_the_hardness_wears_twice_as_much():
    once = worn_volume_m3(1e-3, 1000, 100, 2e9)
    assert worn_volume_m3(1e-3, 2000, 100, 2e9) == pytest.approx(2 * once)
    assert worn_volume_m3(1e-3, 1000, 100, 1e9) == pytest.approx(2 * once)


@pytest.mark.parametrize("figures", [(-1e-3, 1, 1, 1), (1e-3, -1, 1, 1), (1e-3, 1, math.inf, 1), (1e-3, 1, 1, 0)])
def test_figures_that_cannot_be_are_refused(figures):
    with pytest.raises(NotAllowedError):
        worn_volume_m3(*figures)


def test_depth_needs_a_face():
    with pytest.raises(NotAllowedError, match="area"):
        worn_depth_m(1e-6, 0)
