"""Slopes: what a machine climbs, slides and tips on, and when nothing is called suitable."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from pitchline.demo.machines import RECIPES
from pitchline.ground.cone_index import surplus_pull
from pitchline.ground.describe import unknown_ground, with_cone
from pitchline.ground.drawn import drawn
from pitchline.ground.fit import fits_of, ground_fit, ranges_of
from pitchline.ground.going import CLEAR_OF_TIPPING_DEG, HOLDS_SPARE, WORKING_SLIP, Going, Task, ground_table
from pitchline.ground.outcomes import Outcome
from pitchline.ground.pressure import Sunk, contact_pressure_pa
from pitchline.ground.sinkage import compaction_n, modulus, sinkage_m
from pitchline.ground.snow import Winter
from pitchline.ground.soils import GROUNDS, Ground, Surface
from pitchline.ground.spans import Basis, exact
from pitchline.ground.standing import standing
from pitchline.ground.sweeps import slew_sweep, slip_curve
from pitchline.ground.terrain import TERRAINS
from pitchline.ground.thrust import drawbar_n, most_thrust_n, share_at_slip
from pitchline.trade.machine import Machine, MachineKind
from pitchline.words import say

WIDTHS = (0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
GRIPS = [name for name, one in GROUNDS.items() if one.terrains or one.winter or one.surface is Surface.HARD]
NO_GRIP = sorted(set(GROUNDS) - set(GRIPS))
RANKS = {Going.DOES_NOT: 0, Going.UNCERTAIN: 1, Going.SUITS: 2}


def demo(number):
    recipe = next(one for one in RECIPES if one.number == number)
    return standing(recipe.machine, recipe.gear)


@pytest.mark.parametrize("number", [1, 5, 9])  # a 2 t excavator, a 9 t dozer, a 45 t excavator, all invented
def test_nothing_climbs_what_it_slides_on(number):
    """Issue 11: at least 20 grounds, 6 widths, 3 machines; in every case looked at, and so in each end of the range."""
    grounds = [GROUNDS[name] for name in GRIPS]
    assert len(grounds) >= 20
    table = ground_table(demo(number), grounds, WIDTHS, draws=512)
    climb, slide = table.figures[Outcome.CLIMB], table.figures[Outcome.SLIDE]
    assert climb.shape == (len(grounds), 6, 512)
    assert (np.isnan(climb) == np.isnan(slide)).all()
    known = np.isfinite(climb)
    assert known.any(axis=(1, 2)).sum() >= 17  # all but dry clays, which cohesion alone would hold
    assert (climb[known] <= slide[known]).all()
    assert (climb[known] < 90).all()
    told = [ranges_of(one)[..., :3] for one in (climb, slide)]
    some = np.isfinite(told[0])
    assert (told[0][some] <= told[1][some]).all()


def test_climb_is_the_root_of_the_balance_written_out(stands):
    """Each formula anew at the weight square to the slope, and the root by brentq: 20 draws on each of six tested soils."""
    names = ["dry sand", "wet sandy loam", "moist clayey soil", "wet heavy clay", "moist loam", "medium clay"]
    grounds, draws = [GROUNDS[name] for name in names], 20
    inputs = drawn(stands, grounds, None, draws, 1)
    climb = ground_table(stands, grounds, draws=draws).figures[Outcome.CLIMB]
    m = {name: found.ravel() for name, found in inputs.machine.items()}
    weight = m["mass_kg"] * 9.81
    looked_at = 0
    for g in range(len(grounds)):
        s = {name: found[g].ravel() for name, found in inputs.ground.items()}
        for n in range(draws):
            if np.isnan(climb[g, 0, n]) or climb[g, 0, n] == 0:
                continue

            def left(slope, s=s, n=n):
                square = weight[n] * np.cos(slope)
                size = m["shoe_width_m"][0], m["level_length_m"][n]
                thrust = most_thrust_n(square, *size, s["soil_cohesion_pa"][n], s["soil_friction_deg"][n])
                thrust *= share_at_slip(WORKING_SLIP, size[1], s["shear_m"][n]).one
                k = modulus(s["kc"][n], s["kphi"][n], size[0])
                press = contact_pressure_pa(square / 9.81, *size, m["loop_height_m"][n], Sunk.GROUSERS_IN)
                depth = sinkage_m(press, k, s["exponent"][n]).one
                rolls = compaction_n(depth, k, s["exponent"][n], size[0]) + m["rolling"][n] * square
                return float(thrust - rolls - weight[n] * np.sin(slope))

            assert climb[g, 0, n] == pytest.approx(np.degrees(brentq(left, 0.0, np.pi / 2)), abs=1e-4)
            looked_at += 1
    assert looked_at >= 60


@pytest.mark.parametrize("surface", Winter)
def test_traction_on_snow_and_ice_is_that_of_the_lesser_pressure(stands, surface):
    """T = a N^b at N cos t, with coefficients of CRREL Report 95-1 (from memory); root by brentq, no spread, 0.04 rolling."""
    factor, power = {
        Winter.UNDISTURBED_SNOW: (0.851, 0.823),
        Winter.PACKED_SNOW: (0.321, 0.97),
        Winter.ICE: (0.127, 1.06),
    }[surface]
    known = stands.with_figures(Basis.LISTED, level_length_m=3.6, loop_height_m=0.9, rolling=0.04)
    fit = ground_fit(known, Ground("winter", Surface.WINTER, winter=surface, traction=replace(ONE)), draws=8)
    level = 20_000 * 9.81 / (2 * 0.6 * (3.6 + 0.33 * 0.9)) / 1e3

    def grip(slope):
        return factor * (level * np.cos(slope)) ** power / level

    slides = brentq(lambda t: grip(t) - np.sin(t), 0, 1.5)
    climbs = brentq(lambda t: grip(t) - 0.04 * np.cos(t) - np.sin(t), 0, 1.5)
    assert fit.figure(Outcome.SLIDE).middle == pytest.approx(np.degrees(slides), abs=1e-3)
    assert fit.figure(Outcome.CLIMB).middle == pytest.approx(np.degrees(climbs), abs=1e-3)


ONE = replace(GROUNDS["ice"].traction, low=1.0, high=1.0)


def test_by_cone_index_the_tangent_is_the_pull(stands):
    """Rula & Nuttall (1971), from memory: tan(slope) about D/W."""
    table = ground_table(stands, [GROUNDS["wet silt"]], draws=64)
    pull = table.figures[Outcome.PULL]
    assert table.figures[Outcome.CLIMB] == pytest.approx(np.degrees(np.arctan(pull)), nan_ok=True)
    spare = table.figures[Outcome.SPARE_ONCE]
    assert pull.max() <= surplus_pull(spare, 8.0).figure.max() + 1e-9


@pytest.mark.parametrize("slope", [3.0, 12.0, 25.0])
@pytest.mark.parametrize("name", NO_GRIP)
def test_a_slope_on_ground_of_unknown_grip_never_suits(stands, name, slope):
    """Gravel, silt and peat are known on the level at most; nobody knows what they hold on a slope."""
    for width in (0.6, 0.9):
        sized = stands.with_figures(Basis.LISTED, shoe_width_m=width)
        assert ground_fit(sized, GROUNDS[name], Task(slope_deg=slope), draws=64).going in (
            Going.UNKNOWN,
            Going.DOES_NOT,
        )


def test_unknown_grip_is_said_in_words(stands):
    task = Task(slope_deg=8.0)
    gravel, silt = (ground_fit(stands, GROUNDS[name], task) for name in ("gravel", "wet silt"))
    assert (
        say(gravel.because)
        == "Of this ground neither grip nor pull is known, so nobody can say what the machine does on 8 degrees."
    )
    assert "whether the machine slides on 8 degrees" in say(silt.because)
    assert gravel.share is None
    assert ground_fit(stands, GROUNDS["gravel"]).going is Going.SUITS
    firm = ground_fit(stands, with_cone(unknown_ground(), 120.0, 0.9), task)
    assert firm.going is Going.UNKNOWN


@pytest.mark.parametrize("name", sorted(GROUNDS))
def test_without_a_mass_a_slope_is_unknown_or_told_not_to_suit(stands, name):
    nobody = replace(stands, mass_kg=None)
    fit = ground_fit(nobody, GROUNDS[name], Task(slope_deg=5.0), draws=64)
    assert fit.going is Going.UNKNOWN
    assert "mass" in say(fit.because)


@pytest.mark.parametrize("name", GRIPS)
def test_a_steeper_slope_never_goes_better(stands, name):
    """Draw by draw up to 40 degrees, and in what is said."""
    before, said = None, None
    for slope in (0.0, 2.0, 5.0, 8.0, 12.0, 16.0, 20.0, 25.0, 30.0, 40.0):
        task = Task(slope_deg=slope)
        table = ground_table(stands, [GROUNDS[name]], task=task, draws=128)
        rank = RANKS[fits_of(stands, (GROUNDS[name],), None, task, table)[0][0].going]
        if before is not None:
            assert not (table.passes > before).any(), slope
            assert rank <= said, slope
        before, said = table.passes, rank
    assert said < 2


@pytest.mark.parametrize("number", [1, 5, 7, 9, 14, 16])
def test_nothing_suits_within_reach_of_tipping_or_sliding(number):
    """Half of the static tipping slope, 15 degrees short of it, friction alone with half as much to spare: our own margins."""
    grounds = tuple(GROUNDS[name] for name in GRIPS)
    machine = demo(number)
    for slope in (4.0, 8.0, 12.0, 16.0, 20.0, 24.0):
        task = Task(slope_deg=slope)
        rows = fits_of(machine, grounds, None, task, ground_table(machine, grounds, None, task, draws=256))
        for ground, (fit,) in zip(grounds, rows, strict=True):
            if fit.going is not Going.SUITS:
                continue
            tip = fit.figure(Outcome.TIP)
            assert tip.low >= max(2 * slope, slope + 15.0) - 0.5, (ground.name, slope)
            if ground.terrains and ground.winter is None:
                angles = [TERRAINS[one].friction_deg for one in ground.terrains]
                assert np.tan(np.radians(np.quantile(angles, 0.5))) >= 1.4 * np.tan(np.radians(slope))
            slide = fit.figure(Outcome.SLIDE)
            assert slide.low is None or slide.low > slope
    assert (CLEAR_OF_TIPPING_DEG, HOLDS_SPARE) == (15.0, 1.5)


def test_held_by_cohesion_alone_is_doubtful_with_the_reason(stands):
    """Clays of 20 to 34 degrees of friction (tested soils of Wong 2008): on 15 degrees some would need cohesion to spare."""
    for name in ("moist lean clay", "stiff clay"):
        level, slope = (ground_fit(stands, GROUNDS[name], Task(slope_deg=by)) for by in (0.0, 15.0))
        assert level.going is Going.SUITS
        assert slope.going is Going.UNCERTAIN
        assert "what cohesion adds goes with water" in say(slope.because)
        assert slope.share > 0.9


def test_a_load_near_tipping_is_no_suit_on_the_level(stands):
    """The load's own tipping: on concrete nothing else could object."""
    paving = GROUNDS["concrete or paving"]
    known = stands.with_figures(
        Basis.LISTED, level_length_m=3.6, centres_m=2.4, own_offset_m=-0.1, gravity_height_m=1.2
    )
    goings = [
        ground_fit(known, paving, Task(load_kg=load, reach_m=6.0), draws=64).going for load in (1e3, 5.6e3, 9e3)
    ]
    assert goings == [Going.SUITS, Going.UNCERTAIN, Going.DOES_NOT]
    near = ground_fit(known, paving, Task(load_kg=5.6e3, reach_m=6.0), draws=64)
    assert "within reach of tipping on the level" in say(near.because)


def test_figures_on_a_slope_are_of_the_weight_square_to_it(stands):
    known = stands.with_figures(Basis.LISTED, level_length_m=3.6, loop_height_m=0.9)
    level, slope = (ground_fit(known, GROUNDS["firm sand"], Task(slope_deg=by), draws=64) for by in (0.0, 20.0))
    assert slope.figure(Outcome.PRESSURE).middle == pytest.approx(
        level.figure(Outcome.PRESSURE).middle * np.cos(np.radians(20.0))
    )
    assert slope.figure(Outcome.SINKAGE).middle < level.figure(Outcome.SINKAGE).middle
    assert slope.figure(Outcome.CLIMB) == level.figure(Outcome.CLIMB)
    assert slope.figure(Outcome.SLIDE) == level.figure(Outcome.SLIDE)
    assert slope.figure(Outcome.TURN).middle > level.figure(Outcome.TURN).middle
    hard = ground_fit(known, GROUNDS["hard rock"], Task(slope_deg=20.0), draws=64).figure(Outcome.PULL)
    by_hand = float(drawbar_n(0.5 * np.cos(0.349066), 0.045 * np.cos(0.349066), 1.0, 20.0))
    assert hard.middle == pytest.approx(by_hand, abs=0.02)  # middle of 0.3 to 0.7, and of 0.03 to 0.06


def test_bearing_on_a_slope_bears_the_pull_downhill(stands):
    """EN 1997-1 Annex D by hand: clay of 60 kPa, ic = 0.5 (1 + sqrt(1 - h/cu)), h = even pressure times tan(slope)."""
    known = stands.with_figures(
        Basis.LISTED, level_length_m=3.6, centres_m=2.4, own_offset_m=1e-9, gravity_height_m=1.2
    )
    clay = Ground("clay", Surface.SOIL, strength_pa=exact(60e3, Basis.MEASURED))
    used = ground_fit(known, clay, Task(slope_deg=10.0), draws=8).figure(Outcome.BEARING).middle
    even = [_even_pressure(angle) for angle in np.radians([0.0, 22.5, 45.0, 67.5, 90.0])]
    press, side = max(even)
    slant = 0.5 * (1 + np.sqrt(1 - press * np.tan(np.radians(10.0)) / 60e3))
    bears = (np.pi + 2) * 60e3 * (1 + 0.2 * 0.6 / side) * slant
    assert used == pytest.approx(2 * press / bears, rel=1e-3)


def _even_pressure(angle):
    """Load of the heavier track over its pressed area, and the length of that [Pa, m]: 20 t, offset 1.2 tan(10) by statics."""
    offset, weight = 1.2 * np.tan(np.radians(10.0)), 20_000 * 9.81 * np.cos(np.radians(10.0))
    side = 3.6 - 2 * offset * np.cos(angle)
    return weight * (0.5 + offset * np.sin(angle) / 2.4) / (0.6 * side), side


def test_drawings_on_a_slope_tell_the_same_figures(stands):
    task = Task(slope_deg=10.0)
    curve = slip_curve(stands, GROUNDS["dry sand"], task)
    told = ground_fit(stands, GROUNDS["dry sand"], task)
    pull = told.figure(Outcome.PULL)
    assert float(np.interp(0.2, curve.slip, curve.pull[:, 1])) == pytest.approx(pull.middle, rel=0.01)
    sweep = slew_sweep(stands, task)
    most = max(float(np.nanmax(one[:, 1])) for one in (sweep.left_pa, sweep.right_pa))
    assert told.figure(Outcome.PEAK_PRESSURE).middle == pytest.approx(most, rel=0.03)
    assert slip_curve(stands, GROUNDS["fresh snow"]) is None


def test_a_machine_that_may_carry_a_mast_is_taken_to_stand_high(steel_gear):
    tall, low = (
        standing(Machine("x", "x", kind, 20_000.0), steel_gear).gravity_height_m
        for kind in (MachineKind.OTHER_TRACKED, MachineKind.EXCAVATOR)
    )
    assert tall.low == low.low
    assert tall.high > 1.8 * low.high
