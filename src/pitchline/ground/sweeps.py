"""Figures along a line: pressure as the upper structure slews, pull as the tracks slip. For drawings and tables."""

from dataclasses import dataclass

import numpy as np

from pitchline.ground.checked import GRAVITY_M_S2, Floats
from pitchline.ground.drawn import drawn
from pitchline.ground.eccentric import offset_over, slew_pressure
from pitchline.ground.fit import ranges_of
from pitchline.ground.going import DRAWS, SEED, Task
from pitchline.ground.pressure import Sunk, contact_pressure_pa
from pitchline.ground.sinkage import compaction_n, modulus, sinkage_m
from pitchline.ground.slope import load_shift_m
from pitchline.ground.soils import Ground, Surface
from pitchline.ground.standing import Standing
from pitchline.ground.thrust import drawbar_n, most_thrust_n, share_at_slip


@dataclass(frozen=True, slots=True)
class SlewSweep:
    """Highest pressure under each track, by slew angle.

    Parameters
    ----------
    slew_deg : ndarray, shape (a,)
        Boom to the right of straight ahead [deg].
    left_pa, right_pa : ndarray, shape (a, 4)
        Low, middle and high [Pa], then the share of the draws without a number [1].
    mean_pa : float
        Weight square to the ground over the area of both tracks [Pa], middle of the draws.

    References
    ----------
    `eccentric.slew_pressure`.
    """

    slew_deg: Floats
    left_pa: Floats
    right_pa: Floats
    mean_pa: float


def slew_sweep(
    machine: Standing, task: Task | None = None, steps: int = 72, draws: int = DRAWS, seed: int = SEED
) -> SlewSweep:
    """Pressure under both tracks as the upper structure slews all the way round.

    Parameters
    ----------
    machine : Standing
        The machine.
    task : Task or None
        Load and slope; the slope's load shift is taken along the boom, the worst way.
    steps : int
        Angles, 4 or more.
    draws : int
        Draws, 1 or more.
    seed : int
        Where chance starts, zero or more.

    Returns
    -------
    SlewSweep
        From 0 up to, not including, 360 degrees.

    References
    ----------
    As `eccentric.slew_pressure`.
    """
    asked = task or Task()
    m = {name: found[0] for name, found in drawn(machine, [_NOTHING], None, draws, seed).machine.items()}
    weight = (m["mass_kg"] + asked.load_kg) * GRAVITY_M_S2
    along = offset_over(m["mass_kg"], m["own_offset_m"], asked.load_kg, asked.reach_m)
    shift = load_shift_m(m["gravity_height_m"], asked.slope_deg)
    offset = along + np.where(along < 0, -shift, shift)
    angle = np.linspace(0.0, 360.0, steps, endpoint=False)
    pressing = weight * np.cos(np.radians(asked.slope_deg))
    under = slew_pressure(pressing, m["shoe_width_m"], m["level_length_m"], m["centres_m"], offset, angle[:, None])
    mean = pressing / (2 * m["shoe_width_m"] * m["level_length_m"])
    return SlewSweep(
        angle, ranges_of(under.left.most.figure), ranges_of(under.right.most.figure), float(np.median(mean))
    )


_NOTHING = Ground("nothing", Surface.SOIL)


def has_slip_curve(ground: Ground) -> bool:
    """Whether pull can be drawn against slip.

    Returns
    -------
    bool
        Where a tested soil brackets it and no winter curve stands in for that.
    """
    return bool(ground.terrains) and ground.winter is None


@dataclass(frozen=True, slots=True)
class SlipCurve:
    """Pull left over weight, by slip.

    Parameters
    ----------
    slip : ndarray, shape (s,)
        Slip [1].
    pull : ndarray, shape (s, 4)
        Low, middle and high [1], then the share of the draws without a number [1].

    References
    ----------
    `thrust`, `sinkage`.
    """

    slip: Floats
    pull: Floats


def slip_curve(
    machine: Standing,
    ground: Ground,
    task: Task | None = None,
    steps: int = 40,
    draws: int = DRAWS,
    seed: int = SEED,
) -> SlipCurve | None:
    """Pull left over weight as the tracks slip.

    Parameters
    ----------
    machine : Standing
        The machine.
    ground : Ground
        The ground.
    task : Task or None
        Load and slope.
    steps : int
        Slips, 2 or more.
    draws : int
        Draws, 1 or more.
    seed : int
        Where chance starts, zero or more.

    Returns
    -------
    SlipCurve or None
        None where no tested soil brackets the ground, and on snow and ice, whose curves do not tell of slip.

    References
    ----------
    Janosi & Hanamoto (1961) and Bekker, as in `thrust` and `sinkage`.
    """
    if not has_slip_curve(ground):
        return None
    asked = task or Task()
    inputs = drawn(machine, [ground], None, draws, seed)
    m = {name: found[0] for name, found in inputs.machine.items()}
    s = {name: found[0] for name, found in inputs.ground.items()}
    mass = m["mass_kg"] + asked.load_kg
    weight, width, length = mass * GRAVITY_M_S2, m["shoe_width_m"], m["level_length_m"]
    pressure = contact_pressure_pa(mass, width, length, m["loop_height_m"], Sunk.GROUSERS_IN)
    upright = np.cos(np.radians(asked.slope_deg))
    k = modulus(s["kc"], s["kphi"], width)
    level = sinkage_m(pressure, k, s["exponent"], m["clearance_m"], width).figure
    depth = np.where(np.isnan(level), np.nan, sinkage_m(pressure * upright, k, s["exponent"]).figure)
    resistance = compaction_n(depth, k, s["exponent"], width) + m["rolling"] * weight * upright
    slip = np.linspace(0.01, 1.0, steps)
    most = most_thrust_n(weight * upright, width, length, s["soil_cohesion_pa"], s["soil_friction_deg"])
    thrust = most * share_at_slip(slip[:, None], length, s["shear_m"]).figure
    pull = drawbar_n(thrust, resistance, weight, asked.slope_deg) / weight
    return SlipCurve(slip, ranges_of(pull))
