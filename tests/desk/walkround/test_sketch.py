"""The small drawing of where one stands: every part of every running gear is on it, on the right side of it."""

from dataclasses import replace

import pytest

from pitchline.desk.walkround.sketch import WIDE, route_of
from pitchline.trade.machine import Layout, TrackKind


@pytest.fixture(params=["steel", "rubber", "raised"])
def gear(request, steel_gear):
    changes = {
        "steel": {},
        "rubber": {"track": TrackKind.RUBBER, "pitch_m": 0.09, "joints_per_side": 80},
        "raised": {"layout": Layout.RAISED_SPROCKET},
    }
    return replace(steel_gear, **changes[request.param])


def test_every_part_has_a_spot_inside_the_drawing(gear):
    route = route_of(gear)
    assert route.spots.keys() == {place.key for place in gear.places()}
    assert all(0 < spot.x < WIDE and 0 < spot.y < route.height for spot in route.spots.values())
    assert all(spot.side == key.split("/")[1] for key, spot in route.spots.items() if "/" in key)


def test_left_side_is_seen_with_its_front_to_the_left_and_the_right_side_mirrored(gear):
    """Bottom rollers are counted from the front idler backwards, so they run rightwards on the left side."""
    spots = route_of(gear).spots
    left = [spots[f"bottom_roller/left/{number}"].x for number in range(1, 6)]
    right = [spots[f"bottom_roller/right/{number}"].x for number in range(1, 6)]
    assert left == sorted(left)
    assert right == sorted(right, reverse=True)
    assert [round(WIDE - x) for x in left] == pytest.approx(right, abs=1)


def test_running_gear_that_cannot_be_drawn_has_no_drawing(steel_gear):
    assert route_of(replace(steel_gear, joints_per_side=20, sprocket_teeth=60)) is None


def test_parts_of_one_track_are_drawn_apart_and_the_ring_by_itself(steel_gear):
    spots = route_of(replace(steel_gear, slew_ring=True)).spots
    names = [spots[key].name for key in ("chain/left", "bush/left", "link/left", "shoe/left", "slew_ring")]
    drawn = dict(route_of(replace(steel_gear, slew_ring=True)).sides)["left"]
    assert len(set(names)) == len(names)
    assert all(f'data-spot="{name}"' in drawn for name in names)
