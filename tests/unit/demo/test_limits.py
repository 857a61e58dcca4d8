"""Invented limits hang together: the right way round, scaled by size, and all labelled."""

import math

import pytest

from pitchline.demo.limits import (
    INCH_GRAIN_M,
    METRIC_GRAIN_M,
    limits_for,
    ranges_for,
    root_diameter_m,
    shaped,
    without,
)
from pitchline.trade.dossier import Limit, LineShape
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PartKind

RAIL = Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.110, 0.100)


def steel(teeth: int = 21, gaps: SprocketGaps = SprocketGaps.EVERY_SECOND) -> RunningGear:
    return RunningGear(
        TrackKind.STEEL,
        49,
        0.2,
        0.6,
        teeth,
        gaps,
        8,
        2,
        grousers_per_shoe=3,
        adjuster_stroke_m=0.15,
        slew_ring=True,
    )


def test_joints_stand_on_the_pitch_circle() -> None:
    """Six joints round a sprocket make a hexagon, whose corners stand one side from the middle (Euclid IV.15)."""
    assert root_diameter_m(steel(6, SprocketGaps.EACH), 0.06) == pytest.approx(2 * 0.2 - 0.06)
    assert root_diameter_m(steel(12), 0.06) == pytest.approx(2 * 0.2 - 0.06)


@pytest.mark.parametrize("grain_m", [METRIC_GRAIN_M, INCH_GRAIN_M])
def test_every_size_is_a_round_one(grain_m: float) -> None:
    for limit in limits_for(steel(), 0.2, grain_m):
        if limit.part not in (PartKind.SLEW_RING, PartKind.CHAIN):
            assert limit.limit_m is not None
            for size_m in (limit.new_m, limit.limit_m):
                assert math.isclose(size_m / grain_m, round(size_m / grain_m), abs_tol=1e-3), limit


def test_a_bush_fits_its_gap_and_a_larger_machine_has_larger_parts() -> None:
    small, large = (
        {(one.part, one.measurand): one.new_m for one in limits_for(steel(), scale_m)} for scale_m in (0.15, 0.22)
    )
    fixed_by_pitch = {(PartKind.CHAIN, Measurand.PITCH), (PartKind.SPROCKET, Measurand.ROOT_DIAMETER)}
    assert small.keys() == large.keys()
    assert all(large[key] > small[key] for key in small.keys() - fixed_by_pitch)


def test_every_limit_and_range_says_that_it_is_invented() -> None:
    for track in (TrackKind.STEEL, TrackKind.STEEL_PAD_SHOES, TrackKind.RUBBER):
        gear = RunningGear(track, 49, 0.1, 0.6, 21, SprocketGaps.EACH, 8, 2, grousers_per_shoe=3)
        assert all("invented" in one.source for one in (*limits_for(gear, 0.19), *ranges_for(gear, 0.19)))


def test_every_quantity_that_wears_has_a_limit_on_the_gears_that_have_it() -> None:
    """Steel with grousers, pads and rubber together cover the whole table of what wears."""
    seen = set()
    for track in TrackKind:
        gear = RunningGear(track, 49, 0.1, 0.6, 21, SprocketGaps.EACH, 8, 2, grousers_per_shoe=3, slew_ring=True)
        seen |= {one.measurand for one in limits_for(gear, 0.19)}
    assert seen == {measurand for measurand, words in MEASURANDS.items() if words.role is Role.WEAR}


def test_points_between_lie_between() -> None:
    for shape, points in ((LineShape.STRAIGHT, 1), (LineShape.SHAPE_PRESERVING, 2)):
        limit = shaped(RAIL, shape)
        assert len(limit.between) == points
        assert all(0.100 < size_m < 0.110 and 0 < life < 1 for size_m, life in limit.between)
    bar = shaped(Limit(PartKind.SHOE, Measurand.GROUSER_HEIGHT, 0.06, 0.024), LineShape.TAPERED_BAR)
    assert bar.tip_width_m is not None
    assert bar.root_width_m is not None
    assert bar.tip_width_m < bar.root_width_m


def test_a_missing_limit_leaves_the_new_size_or_nothing() -> None:
    bush = Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, 0.06, 0.055)
    left = without([RAIL, bush], [(RAIL.part, RAIL.measurand), (bush.part, bush.measurand)])
    assert [(one.part, one.new_m, one.limit_m) for one in left] == [(PartKind.LINK, 0.110, None)]
