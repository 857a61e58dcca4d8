"""Running gear laid out: wheels clear of each other, known sizes kept, assumed ones told."""

import itertools
from dataclasses import replace

import numpy as np
import pytest

from pitchline.demo.limits import limits_for
from pitchline.demo.machines import RECIPES
from pitchline.shape.gear import lay_out
from pitchline.shape.sizes import PROPORTIONS, sizes_of
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

L = Side.LEFT


def entered(recipe, share):
    """Every size a share of the way from new to limit."""
    return {
        (place, limit.measurand): limit.new_m + share * (limit.limit_m - limit.new_m)
        for limit in limits_for(recipe.gear, recipe.size_m)
        for place in recipe.gear.places()
        if place.part is limit.part
    }


@pytest.fixture(params=RECIPES, ids=lambda recipe: str(recipe.number))
def recipe(request):
    return request.param


def test_every_machine_of_the_demo_yard_stands_on_its_rollers(recipe):
    laid = lay_out(recipe.gear, L, entered(recipe, 0.7), entered(recipe, 0))
    assert abs(laid.closure_m) < 1e-5
    assert laid.take_up_m > 0
    at = dict(zip(laid.places, laid.wheels, strict=True))
    bottoms = [at[Place(PartKind.BOTTOM_ROLLER, L, n)] for n in range(1, recipe.gear.bottom_rollers_per_side + 1)]
    for one, two in itertools.pairwise(bottoms):
        assert one.x_m - two.x_m > laid.sizes.bottom_tread_m[0] + laid.sizes.flange_m * 2
    for wheel in bottoms:
        assert wheel.y_m - wheel.radius_m == pytest.approx(laid.sizes.joint_above_ground_m, abs=0.002)


def test_what_is_entered_is_not_assumed(recipe):
    known = entered(recipe, 0)
    told = sizes_of(recipe.gear, L, known).assumed
    assert not {"bush diameter", "roller tread", "link rail height", "grouser height"} & set(told)
    assert "idler diameter" in told


def test_nothing_known_is_all_assumed_and_said():
    gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    sizes = sizes_of(gear, L, {})
    assert {"bush diameter", "roller tread", "link rail height", "grouser height", "sag"} <= set(sizes.assumed)
    assert sizes.bush_m == pytest.approx(PROPORTIONS["bush diameter"] * 0.2)
    assert set(sizes.assumed) - {"idler diameter"} <= set(PROPORTIONS)


def test_a_worn_idler_carries_the_chain_on_a_smaller_round():
    gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    depth = (Place(PartKind.IDLER, L, 1), Measurand.TREAD_DEPTH)
    new, worn = sizes_of(gear, L, {depth: 0.02}), sizes_of(gear, L, {depth: 0.026}, {depth: 0.02})
    assert new.idler_joint_m - worn.idler_joint_m == pytest.approx(0.006)


def test_worn_rail_lowers_every_wheel_by_what_it_lost():
    gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    rail = (Place(PartKind.LINK, L), Measurand.RAIL_HEIGHT)
    new, worn = lay_out(gear, L, {}, {rail: 0.11}), lay_out(gear, L, {rail: 0.10}, {rail: 0.11})
    for part, number in ((PartKind.BOTTOM_ROLLER, 3), (PartKind.SPROCKET, 0)):
        assert new.wheel(part, number).y_m - worn.wheel(part, number).y_m == pytest.approx(0.01)


def test_joints_on_the_sprocket_lie_in_its_gaps():
    """Directions of joints on the sprocket are whole gaps apart, every second one filled."""
    gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    laid = lay_out(gear, L, {}, {})
    wheel = laid.wheel(PartKind.SPROCKET)
    x, y = laid.joints
    on = np.isclose(np.hypot(x - wheel.x_m, y - wheel.y_m), wheel.radius_m, atol=1e-9)
    turn = np.arctan2(y - wheel.y_m, x - wheel.x_m)[on]
    gaps = (turn - turn[0]) / (2 * np.pi / 25)
    assert gaps == pytest.approx(np.round(gaps), abs=1e-6)
    assert set(np.round(np.abs(np.diff(np.sort(np.mod(gaps, 25)))))) <= {2.0, 25.0 - 2 * (on.sum() - 1)}
    assert on.sum() >= 4


def test_left_and_right_are_alike():
    gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    left, right = lay_out(gear, L, {}, {}), lay_out(gear, Side.RIGHT, {}, {})
    assert left.centres_m == right.centres_m


def test_a_size_out_of_all_proportion_is_refused():
    gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    with pytest.raises(NotAllowedError, match="tread diameter"):
        sizes_of(gear, L, {(Place(PartKind.BOTTOM_ROLLER, L, 1), Measurand.TREAD_DIAMETER): 160.0})


def test_a_chain_that_lacks_a_joint_is_laid_with_one_less_and_its_idler_stands_back():
    """Geometry of a loop round two wheels: a pitch less of chain brings the idler back by half of it."""
    gear = RunningGear(TrackKind.STEEL, 49, 0.2, 0.6, 25, SprocketGaps.EVERY_SECOND, 8, 2)
    short = replace(gear, joints_out=(1, 0))
    worn = {(Place(PartKind.CHAIN, side), Measurand.PITCH): 0.206 for side in (L, Side.RIGHT)}
    whole, left, right = (
        lay_out(gear, L, worn, {}),
        lay_out(short, L, worn, {}),
        lay_out(short, Side.RIGHT, worn, {}),
    )
    assert [laid.joint_along_m.size for laid in (whole, left, right)] == [49, 48, 49]
    assert abs(left.closure_m) < 1e-5
    assert whole.take_up_m - left.take_up_m == pytest.approx(0.206 / 2, rel=0.03)
    assert right.take_up_m == pytest.approx(whole.take_up_m)
