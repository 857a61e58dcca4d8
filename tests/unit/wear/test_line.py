import math

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from pitchline.trade.dossier import Limit, LineShape
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind
from pitchline.wear.line import wear_line


def rail(**changes):
    return Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, **{"new_m": 0.110, "limit_m": 0.100, **changes})


def grouser(**changes):
    sizes = {"new_m": 0.060, "limit_m": 0.020, "shape": LineShape.TAPERED_BAR}
    widths = {"tip_width_m": 0.010, "root_width_m": 0.030}
    return Limit(PartKind.SHOE, Measurand.GROUSER_HEIGHT, **{**sizes, **widths, **changes})


def bush(**changes):
    sizes = {"new_m": 0.060, "limit_m": 0.054, "shape": LineShape.FLAT_ON_ROUND}
    return Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, **{**sizes, **changes})


def test_common_straight_line_for_a_shrinking_size():
    """Common practice, no source: new 25, limit 10, measured 18 gives 46.667 %."""
    line = wear_line(Limit(PartKind.SHOE, Measurand.GROUSER_HEIGHT, 0.025, 0.010))
    assert line.life_used(0.018) == pytest.approx(0.46667, abs=5e-6)


def test_growing_size_uses_the_same_ratio():
    """816 mm over 4 joints of 200 mm is 2 % elongation: two thirds of a 3 % allowance."""
    line = wear_line(Limit(PartKind.CHAIN, Measurand.PITCH, 0.200, 0.206))
    assert line.life_used(0.816 / 4) == pytest.approx(2 / 3, rel=1e-9)


@pytest.mark.parametrize("limit", [rail(), grouser(), bush(), rail(between=((0.108, 0.4),))])
def test_new_is_0_and_the_limit_is_1(limit):
    line = wear_line(limit)
    assert line.life_used([limit.new_m, limit.limit_m]).tolist() == [0.0, pytest.approx(1.0, abs=1e-15)]
    assert line.size_m([0.0, 1.0]).tolist() == [limit.new_m, limit.limit_m]


def test_points_between_are_met_and_the_ends_carried_on():
    line = wear_line(rail(between=((0.108, 0.4),)))
    assert line.life_used([0.108, 0.104, 0.111, 0.099]) == pytest.approx([0.4, 0.7, -0.2, 1.075])


def test_shape_preserving_line_is_scipys_curve_inside():
    """scipy's own interpolator on the same points, where its end slopes are not flat."""
    points = ((0.108, 0.3), (0.104, 0.7))
    line = wear_line(rail(between=points, shape=LineShape.SHAPE_PRESERVING))
    sizes = np.linspace(0.100, 0.110, 41)
    expected = PchipInterpolator([-0.110, -0.108, -0.104, -0.100], [0, 0.3, 0.7, 1.0])(-sizes)
    assert line.life_used(sizes) == pytest.approx(expected, abs=1e-12)


def test_shape_preserving_line_carries_its_end_slope_on():
    """The slope scipy's own interpolator ends with, per millimetre."""
    line = wear_line(rail(between=((0.108, 0.3), (0.104, 0.7)), shape=LineShape.SHAPE_PRESERVING))
    end = PchipInterpolator([-0.110, -0.108, -0.104, -0.100], [0, 0.3, 0.7, 1.0]).derivative()(-0.100)
    assert np.diff(line.life_used([0.098, 0.099, 0.100])) == pytest.approx(-end * 0.001)


def test_flat_end_of_a_shape_preserving_line_can_still_be_carried_on():
    """scipy's curve ends flat on these points; ours keeps a tenth of the last piece's slope, so it stays invertible."""
    points = ((0.109, 0.01), (0.105, 0.90))
    sizes = np.array([-0.110, -0.109, -0.105, -0.100])
    assert PchipInterpolator(sizes, [0, 0.01, 0.9, 1.0]).derivative()(-0.110) == 0
    line = wear_line(rail(between=points, shape=LineShape.SHAPE_PRESERVING))
    assert line.life_used(0.111) == pytest.approx(-0.1 * 0.01)
    assert line.size_m(line.life_used([0.1101, 0.1095, 0.102])) == pytest.approx([0.1101, 0.1095, 0.102], abs=1e-9)


def test_tapered_bar_is_straight_in_worn_volume():
    """Half the height of a bar 10 to 30 mm wide: 10 h + h^2 / 6 in mm; at 30 and 40 mm worn 450 and 666.667 mm2."""
    line = wear_line(grouser())
    assert line.life_used(0.030) == pytest.approx(450 / (400 + 1600 / 6))
    assert line.life_used(0.061) == pytest.approx(-10 * 1 / (400 + 1600 / 6))


def test_flat_on_round_is_straight_in_worn_volume():
    """Segments of a 60 mm round (closed form, computed): 52.853 mm2 at 3 mm; at 6 mm R^2 acos(0.8) - 24 x 18 = 147.151 mm2."""
    line = wear_line(bush())
    at_limit = 900 * math.acos(0.8) - 24 * 18
    assert line.life_used(0.057) == pytest.approx(52.853 / at_limit, abs=1e-5)


def test_round_above_new_mirrors_the_round_below():
    line = wear_line(bush())
    assert line.life_used(0.061) == pytest.approx(-line.life_used(0.059))


def test_doubt_of_life_does_not_vanish_at_the_new_size_of_a_bush():
    """The slope is nil there, the doubt is not."""
    line = wear_line(bush())
    assert line.life_doubt(0.060, 0.0005) == pytest.approx(line.life_used(0.0595))


def test_doubt_of_life_is_slope_times_doubt_on_a_straight_line():
    line = wear_line(rail())
    assert line.life_doubt([0.105, 0.098], 0.0005) == pytest.approx([0.05, 0.05])


def test_gaps_stay_gaps():
    line = wear_line(bush())
    assert np.isnan(line.life_used([0.058, math.nan])).tolist() == [False, True]
    assert np.isnan(line.size_m([math.nan, 0.5])).tolist() == [True, False]
    assert line.is_beyond([math.nan, 0.053]).tolist() == [False, True]


@pytest.mark.parametrize("wrong", [0.0, -0.001, math.inf, -math.inf])
def test_a_reading_that_cannot_be_is_refused_with_its_number(wrong):
    with pytest.raises(NotAllowedError, match="rail height, number 1"):
        wear_line(rail()).life_used([0.105, wrong])


def test_nothing_is_a_reading_where_the_quantity_starts_at_nothing():
    line = wear_line(Limit(PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK, 0.0, 0.002))
    assert line.life_used([0.0, 0.001]) == pytest.approx([0.0, 0.5])


def test_no_limit_entered_is_said():
    with pytest.raises(NotAllowedError, match="no limit entered"):
        wear_line(rail(limit_m=None))


@pytest.mark.parametrize(
    "between",
    [
        ((0.112, 0.4),),
        ((0.099, 0.4),),
        ((0.104, 0.4), (0.106, 0.7)),
        ((0.106, 0.4), (0.104, 0.4)),
        ((0.105, 1.2),),
        ((0.105, 0.0),),
        ((math.nan, 0.5),),
    ],
)
@pytest.mark.parametrize("shape", [LineShape.STRAIGHT, LineShape.SHAPE_PRESERVING])
def test_points_out_of_order_are_refused_with_the_point(between, shape):
    with pytest.raises(NotAllowedError, match="points between") as caught:
        wear_line(rail(between=between, shape=shape))
    assert "110 and 100 mm" in caught.value.problem.allowed
    assert caught.value.problem.next_step


@pytest.mark.parametrize(
    ("limit", "field"),
    [
        (rail(shape=LineShape.TAPERED_BAR), "shape"),
        (rail(shape=LineShape.FLAT_ON_ROUND), "shape"),
        (grouser(root_width_m=None), "width at tip and root"),
        (grouser(root_width_m=0.008), "width at tip and root"),
        (grouser(between=((0.040, 0.3),)), "points between"),
        (bush(limit_m=0.029), "limit"),
    ],
)
def test_shapes_that_do_not_suit_are_refused(limit, field):
    with pytest.raises(NotAllowedError) as caught:
        wear_line(limit)
    assert field in caught.value.problem.field
