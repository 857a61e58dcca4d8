"""Outlines have the sizes that are read on them; what they lose agrees with exact areas."""

import numpy as np
import pytest

from pitchline.shape.outlines import (
    bar_outline,
    bush_outline,
    enlarged_m,
    idler_outline,
    rail_outline,
    tread_outline,
)
from pitchline.shape.tooth import ToothSizes, sprocket_outline, tooth_gap
from pitchline.trade.errors import NotAllowedError


def test_a_cone_is_deepest_at_the_outer_edge():
    coned = tread_outline(0.16, 0.15, 0.06, 0.02, 0.02, False, coned=True)
    treads = coned[(coned[:, 0] > 0) & (coned[:, 1] < 0.0801) & (coned[:, 1] > 0.0749)]
    assert np.all(np.diff(treads[:, 1]) <= 0)
    assert treads[:, 1].min() == pytest.approx(0.075)


def test_outlines_are_alike_left_and_right():
    for outline in (
        tread_outline(0.16, 0.15, 0.06, 0.02, 0.02, True),
        idler_outline(0.3, 0.02, 0.06, 0.05, 0.2),
        rail_outline(0.1, 0.05, 0.03, 0.03, 0.11),
        bar_outline(0.03, 0.01, 0.03, 0.06, 0.005),
    ):
        assert outline[::-1] * (-1, 1) == pytest.approx(outline)


def test_losses_are_drawn_larger_by_what_is_said():
    assert enlarged_m(0.06, 0.058, 1) == pytest.approx(0.058)
    assert 0.06 - enlarged_m(0.06, 0.058, 4) == pytest.approx(4 * (0.06 - 0.058))
    assert enlarged_m(0.020, 0.023, 2) == pytest.approx(0.026)  # a depth grows


@pytest.mark.parametrize(("teeth", "circle", "bush"), [(25, 0.4021, 0.06), (12, 0.309, 0.05), (19, 0.151, 0.016)])
def test_sprocket_has_its_root_and_closes_evenly(teeth, circle, bush):
    """Root radius: circle less half a bush (1.2 of any roller chain handbook); every tooth alike."""
    outline = sprocket_outline(ToothSizes(teeth, circle, bush), 0.3)
    reach = np.hypot(*outline.T)
    assert reach.min() == pytest.approx(circle - bush / 2, abs=1e-4)
    turned = np.exp(2j * np.pi / teeth) * (outline[:, 0] + 1j * outline[:, 1])
    again = np.roll(outline[:, 0] + 1j * outline[:, 1], -len(outline) // teeth)
    assert turned == pytest.approx(again)


def test_a_worn_tooth_loses_on_one_flank_and_at_the_root():
    new = tooth_gap(ToothSizes(21, 0.32, 0.06))
    worn = tooth_gap(ToothSizes(21, 0.32, 0.06, root_lost_m=0.006, thickness_lost_m=0.004))
    assert np.hypot(*new.T).min() - np.hypot(*worn.T).min() == pytest.approx(0.003, abs=1e-5)
    assert new[-1] == pytest.approx(worn[-1])
    bears = np.interp(0.3135, *_right_flank(worn).T[::-1]) - np.interp(0.3135, *_right_flank(new).T[::-1])
    assert bears == pytest.approx(0.004, rel=0.1)


def _right_flank(gap):
    side = gap[gap[:, 0] > 0]
    return side[np.argsort(side[:, 1])]


@pytest.mark.parametrize(
    "make",
    [
        lambda: bush_outline(0.0, 0.05, 0.05),
        lambda: bush_outline(0.06, -0.05, 0.05),
        lambda: bar_outline(-0.01, 0.01, 0.02, 0.03),
        lambda: bar_outline(0.01, 0.0, 0.02, 0.03),
        lambda: tread_outline(0.1, 0.09, 0.0, 0.01, 0.01, False),
        lambda: idler_outline(0.3, 0.2, 0.05, 0.05, 0.2),
        lambda: rail_outline(0.0, 0.05, 0.03, 0.03, 0.11),
        lambda: ToothSizes(4, 0.3, 0.05),
        lambda: ToothSizes(25, 0.3, 0.2),
    ],
)
def test_sizes_that_make_no_part_are_refused(make):
    with pytest.raises(NotAllowedError):
        make()
