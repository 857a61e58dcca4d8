"""What a running gear says of its own parts, and what a walk-round read of them; every figure here is invented."""

from dataclasses import replace

import pytest

from pitchline.match.from_machine import parts_of_gear, sizes_read
from pitchline.trade.dossier import Limit
from pitchline.trade.machine import RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.part_sizes import PartSize
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading

STEEL = RunningGear(TrackKind.STEEL, 47, 0.190, 0.600, 23, SprocketGaps.EACH, 7, 2)
LIMITS = (
    Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, 0.060, 0.052),
    Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.105, None),
    Limit(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, 0.180, 0.160),
)


def by_kind(gear, limits=LIMITS):
    return {part.part: part for part in parts_of_gear("Wide steel", gear, limits)}


def test_counts_and_new_sizes_of_a_steel_track():
    found = by_kind(STEEL)
    assert found[PartKind.CHAIN].sizes == {
        PartSize.JOINTS: 47,
        PartSize.PITCH: 0.190,
        PartSize.BUSH_DIAMETER: 0.060,
        PartSize.LINK_HEIGHT: 0.105,
    }
    assert found[PartKind.CHAIN].allowances_m == pytest.approx({PartSize.BUSH_DIAMETER: 0.008})
    assert found[PartKind.SHOE].sizes == {PartSize.WIDTH: 0.600}
    assert found[PartKind.SPROCKET].sizes[PartSize.TEETH] == 23
    assert PartKind.RUBBER_TRACK not in found
    assert PartKind.UPPER_ROLLER not in found, "nothing is known of it"


def test_pitch_of_a_worn_chain_is_no_new_size():
    assert PartSize.PITCH not in by_kind(replace(STEEL, pitch_measured=True))[PartKind.CHAIN].sizes


def test_rubber_track_is_known_by_width_pitch_and_links():
    rubber = replace(STEEL, track=TrackKind.RUBBER, joints_per_side=52, pitch_m=0.086, shoe_width_m=0.400)
    found = by_kind(rubber)
    assert found[PartKind.RUBBER_TRACK].sizes == {
        PartSize.WIDTH: 0.400,
        PartSize.RUBBER_PITCH: 0.086,
        PartSize.LINKS: 52,
    }
    assert PartKind.CHAIN not in found


@pytest.mark.parametrize(("numbers", "flanges"), [((), [None]), ((3, 5), [1, 2]), ((1, 2, 3, 4, 5, 6, 7), [2])])
def test_rollers_with_one_flange_and_with_two_are_two_parts(numbers, flanges):
    rollers = [
        one
        for one in parts_of_gear("x", replace(STEEL, two_flange_rollers=numbers), LIMITS)
        if one.part is PartKind.BOTTOM_ROLLER
    ]
    assert [one.sizes.get(PartSize.FLANGES) for one in rollers] == flanges


def test_the_least_worn_reading_of_each_size():
    def read(part, measurand, value_m, number=0):
        return Reading(Place(part, Side.LEFT, number), measurand, (value_m,), DEFAULT_TOOLS["calliper"])

    readings = [
        read(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, 0.170, 1),
        read(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, 0.174, 2),
        read(PartKind.CHAIN, Measurand.PITCH, 0.195),
        read(PartKind.CHAIN, Measurand.PITCH, 0.193),
        read(PartKind.BUSH, Measurand.BUSH_OD_REVERSE, 0.055),
    ]
    assert {size: one.value_m for size, one in sizes_read(readings, PartKind.CHAIN).items()} == {
        PartSize.PITCH: 0.193,
        PartSize.BUSH_DIAMETER: 0.055,
    }
    assert sizes_read(readings, PartKind.BOTTOM_ROLLER)[PartSize.TREAD_DIAMETER].value_m == 0.174
