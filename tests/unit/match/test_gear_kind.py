"""Which machine a running gear is from. Expected answers: how the trade builds such machines (common practice, no source)."""

from dataclasses import replace

import pytest

from pitchline.match.gear_kind import against_papers, gear_kind
from pitchline.trade.machine import (
    ChainType,
    Layout,
    Machine,
    MachineKind,
    RunningGear,
    ShoeClass,
    SprocketGaps,
    TrackKind,
)

GEAR = RunningGear(TrackKind.STEEL, 48, 0.19, 0.6, 23, SprocketGaps.EVERY_SECOND, 8, 2)
EXCAVATOR = replace(GEAR, grousers_per_shoe=3, slew_ring=True, chain_type=ChainType.SEALED)
DOZER = replace(
    GEAR,
    grousers_per_shoe=1,
    sprocket_segments=5,
    two_flange_rollers=(1, 3, 6, 8),
    layout=Layout.RAISED_SPROCKET,
    chain_type=ChainType.SEALED_AND_OILED,
)
LOADER = replace(GEAR, grousers_per_shoe=2, sprocket_segments=5, two_flange_rollers=(1, 3, 6, 8))


def machine(kind, mass_kg=20_000.0):
    return Machine("M", "invented", kind, mass_kg)


def codes(kind, gear, mass_kg=20_000.0):
    asked = machine(kind, mass_kg)
    return [one.code for one in against_papers(asked, gear, gear_kind(asked, gear))]


@pytest.mark.parametrize(
    ("gear", "kind"),
    [
        (EXCAVATOR, MachineKind.EXCAVATOR),
        (DOZER, MachineKind.DOZER),
        (LOADER, MachineKind.TRACK_LOADING_SHOVEL),
        (replace(GEAR, track=TrackKind.STEEL_PAD_SHOES, chain_type=ChainType.SEALED), MachineKind.PAVER),
    ],
)
def test_the_gear_of_a_kind_is_likest_that_kind_whatever_is_said(gear, kind):
    for said in MachineKind:
        chances = gear_kind(machine(said), gear).chances
        assert max(chances, key=chances.get) is kind
        assert sum(chances.values()) == pytest.approx(1)


def test_a_gear_of_another_kind_is_told_and_its_own_is_not():
    assert codes(MachineKind.EXCAVATOR, DOZER) == ["whose.other_kind"]
    assert codes(MachineKind.DOZER, EXCAVATOR) == ["whose.other_kind"]
    assert codes(MachineKind.DOZER, DOZER) == codes(MachineKind.EXCAVATOR, EXCAVATOR) == []


def test_what_nobody_counted_tells_of_no_kind():
    assert gear_kind(machine(MachineKind.DOZER), GEAR).chances == {}
    assert codes(MachineKind.PAVER, GEAR) == []


@pytest.mark.parametrize(
    ("width_m", "mass_kg", "width"),
    [
        (0.6, 21_000.0, ShoeClass.STANDARD),
        (0.9, 21_000.0, ShoeClass.LOW_GROUND_PRESSURE),
        (0.7, 21_000.0, None),
        (0.9, 90_000.0, ShoeClass.STANDARD),
        (0.9, None, None),
    ],
)
def test_width_is_told_by_width_and_mass(width_m, mass_kg, width):
    gear = replace(GEAR, shoe_width_m=width_m)
    assert gear_kind(machine(MachineKind.DOZER, mass_kg), gear).width is width


def test_a_shoe_class_that_width_and_mass_do_not_bear_out_is_told_either_way():
    wide = replace(GEAR, shoe_width_m=0.9)
    assert codes(MachineKind.DOZER, wide) == ["whose.shoes_low_ground_pressure"]
    assert codes(MachineKind.DOZER, replace(wide, shoe_class=ShoeClass.LOW_GROUND_PRESSURE)) == []
    low = replace(GEAR, shoe_class=ShoeClass.LOW_GROUND_PRESSURE)
    assert codes(MachineKind.DOZER, low) == ["whose.shoes_standard"]


def test_a_mass_ten_times_too_small_or_large_does_not_go_with_the_pitch():
    assert "whose.pitch_large" in codes(MachineKind.EXCAVATOR, GEAR, 2_000.0)
    assert "whose.pitch_small" in codes(MachineKind.EXCAVATOR, GEAR, 200_000.0)
