"""What must be true of ground fit for any input."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.ground.describe import ground_named, unknown_ground, with_cone, with_vane
from pitchline.ground.eccentric import slew_pressure, strip_pressure, track_pressure
from pitchline.ground.fit import ground_fit
from pitchline.ground.going import Against, Going, Task, ground_table
from pitchline.ground.outcomes import Outcome
from pitchline.ground.pressure import Sunk, contact_pressure_pa
from pitchline.ground.slope import tipping_deg
from pitchline.ground.soils import GROUNDS, Surface
from pitchline.ground.spans import Basis
from pitchline.ground.standing import standing
from pitchline.trade.machine import Machine, MachineKind

SOFT = sorted(name for name, ground in GROUNDS.items() if ground.surface is not Surface.HARD)
NO_ICE = sorted(
    name for name in GROUNDS if name != "ice"
)  # its published curve grips more the harder it is pressed
sizes = st.floats(0.2, 1.2)
masses = st.floats(1e3, 1e5)
few = settings(max_examples=25, deadline=None)


@pytest.fixture(scope="module")
def stands(steel_gear):
    """An invented machine of 20 t on that running gear."""
    return standing(Machine("x", "x", MachineKind.EXCAVATOR, 20_000.0), steel_gear)


@given(masses, sizes, st.floats(1.01, 3.0), st.floats(1.0, 6.0), st.floats(0.0, 1.5), st.sampled_from(Sunk))
def test_wider_shoe_never_raises_contact_pressure(mass, width, wider, length, height, sunk):
    narrow, wide = contact_pressure_pa(mass, [width, width * wider], length, height, sunk)
    assert wide < narrow


@few
@given(st.sampled_from(SOFT), st.floats(0.4, 0.9), st.floats(1.05, 2.0))
def test_wider_shoe_never_presses_or_passes_worse_on_soft_ground(stands, name, width, wider):
    table = ground_table(stands, [GROUNDS[name]], [width, width * wider], draws=64)
    pressure, going = table.figures[Outcome.PRESSURE][0], table.passes[0]
    assert (pressure[1] < pressure[0]).all()
    sinks = table.tests[Against.SINKS][0]
    assert not (sinks[1] < sinks[0]).any()
    assert (np.isnan(going[0]) == np.isnan(going[1])).all()


@few
@given(st.sampled_from(NO_ICE), st.floats(5e3, 6e4), st.floats(1.05, 3.0), st.floats(0.0, 15.0))
def test_more_mass_never_improves_going(stands, name, mass, heavier, slope):
    light, heavy = (
        ground_table(
            stands.with_figures(Basis.LISTED, mass_kg=one, power_w=100e3),
            [GROUNDS[name]],
            task=Task(slope_deg=slope),
            draws=64,
        ).passes
        for one in (mass, mass * heavier)
    )
    assert not (heavy > light).any()


@given(masses, sizes, st.floats(1.5, 6.0), st.floats(1.5, 4.0), st.floats(-0.6, 0.6), st.floats(-0.6, 0.6))
def test_pressures_integrate_to_the_weight(mass, width, length, centres, along, across):
    """Trapezium or triangle under each track, over the length that is pressed on."""
    found = track_pressure(mass, width, length, centres, along * length, across * centres)
    if abs(along) >= 0.5 or abs(across) > 0.5:
        assert np.isnan(found.most_pa)
        return
    held = [
        float((side.most.figure + side.least.figure) / 2 * side.loaded_m * width)
        for side in (found.left, found.right)
    ]
    assert sum(held) == pytest.approx(mass, rel=1e-9)
    assert held[1] - held[0] == pytest.approx(2 * mass * across, rel=1e-6, abs=1e-6 * mass)


@given(masses, sizes, st.floats(1.5, 6.0), st.floats(1.5, 4.0), st.floats(-1.0, 1.0), st.floats(0.0, 360.0))
def test_slew_sweep_is_symmetric(mass, width, length, centres, offset, angle):
    """Boom to one side loads that track as boom to the other loads the other; front and rear are alike."""
    here, mirrored, behind = (
        slew_pressure(mass, width, length, centres, offset, turned) for turned in (angle, -angle, 180 - angle)
    )
    same = {"rel": 1e-6, "abs": 1e-6 * mass, "nan_ok": True}
    assert float(here.left.most.figure) == pytest.approx(float(mirrored.right.most.figure), **same)
    assert float(here.most_pa) == pytest.approx(float(behind.most_pa), **same)


@given(masses, sizes, st.floats(1.5, 6.0), st.sampled_from([-1, 1]))
def test_kern_is_crossed_without_a_jump(load, width, length, way):
    edge = length / 6
    inside, outside = (strip_pressure(load, width, length, way * edge * by) for by in (1 - 1e-9, 1 + 1e-9))
    assert inside.most.one == pytest.approx(outside.most.one, rel=1e-6)
    assert inside.least.one == pytest.approx(outside.least.one, abs=1e-6 * inside.most.one)
    assert float(inside.loaded_m) == pytest.approx(float(outside.loaded_m), rel=1e-6)


@given(st.floats(0.0, 3.0), st.floats(0.2, 3.0))
def test_tipping_moves_without_a_jump_and_ends_at_the_edge(reach, height):
    assert tipping_deg(reach, height).one == pytest.approx(tipping_deg(reach + 1e-9, height).one, abs=1e-6)
    assert tipping_deg(0.0, height).one == 0.0
    assert tipping_deg(-reach - 1e-6, height).one is None


@few
@given(st.floats(2e3, 8e4), st.floats(0.3, 1.2))
def test_unknown_ground_is_never_suitable(stands, mass, width):
    sized = stands.with_figures(Basis.LISTED, mass_kg=mass, shoe_width_m=width)
    for ground in (unknown_ground(), GROUNDS["demolition rubble"], with_cone(unknown_ground(), 80.0, None)):
        assert ground_fit(sized, ground, draws=16).going is Going.UNKNOWN


@few
@given(st.floats(5e3, 3e5), st.floats(1.01, 3.0))
def test_stronger_ground_never_carries_worse(stands, strength, stronger):
    weak, strong = (
        ground_table(stands, [with_vane(unknown_ground(), one)], draws=64).passes
        for one in (strength, strength * stronger)
    )
    assert not (strong < weak).any()


def test_the_same_seed_gives_the_same_fit_and_another_seed_moves_little(stands):
    ground = ground_named("soft clay")
    first, again, other = (ground_fit(stands, ground, seed=seed) for seed in (1, 1, 2))
    assert first == again
    for one, two in zip(first.figures, other.figures, strict=True):
        if one.middle is not None:
            assert one.middle == pytest.approx(two.middle, rel=0.1)


@pytest.mark.parametrize("name", sorted(GROUNDS))
def test_without_a_mass_nothing_is_said(stands, name):
    fit = ground_fit(replace(stands, mass_kg=None), GROUNDS[name], draws=16)
    assert fit.going is Going.UNKNOWN
    known = (Outcome.TIP, Outcome.SLIDE, Outcome.FRICTION)  # hard ground: none of them asks for a mass
    assert all(one.middle is None for one in fit.figures if one.outcome not in known)
