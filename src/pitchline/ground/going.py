"""Every outcome of a machine on several grounds and shoe widths at once, and what it says about the going."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pitchline.ground.bearing import SAFETY_FACTOR, drained_pa, undrained_pa
from pitchline.ground.checked import GRAVITY_M_S2, Bools, Floats
from pitchline.ground.cone_index import (
    ConeMachine,
    cone_pressure_psi,
    index_for_fifty_passes,
    index_for_one_pass,
    mobility_index,
    surplus_pull,
)
from pitchline.ground.drawn import Drawn, drawn
from pitchline.ground.eccentric import offset_over, slew_pressure
from pitchline.ground.outcomes import Outcome
from pitchline.ground.peaks import linked_track_peaks_pa
from pitchline.ground.pressure import Sunk, contact_pressure_pa
from pitchline.ground.sinkage import compaction_n, modulus, sinkage_m
from pitchline.ground.slope import load_shift_m, sliding_deg, tipping_deg
from pitchline.ground.snow import traction_pa
from pitchline.ground.soils import Ground, Surface
from pitchline.ground.standing import Standing
from pitchline.ground.thrust import drawbar_n, most_thrust_n, share_at_slip
from pitchline.ground.turning import outer_pull_n, turning_moment_nm
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import TrackKind

WORKING_SLIP = 0.20
"""Slip at which pull is told; usual in the sources."""
MOST_PULL = 0.9
"""Pull over weight above which the ground is not what limits it, so that no figure is given; our own."""
SLEW_STEPS = 16
STANDS = "how it stands"
"""The test of tipping and sliding: it can only say no."""
DRAWS, SEED = 2000, 1
SUITS_SHARE = 0.9
"""Share of the draws that must pass for "suits"; as few for "does not suit". Our own."""


class Going(StrEnum):
    """What is said of a machine on a ground."""

    SUITS = "suits"
    DOUBTFUL = "doubtful"
    DOES_NOT = "does_not_suit"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        """Words for reading."""
        return self.value.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Task:
    """What the machine is to do there.

    Parameters
    ----------
    load_kg, reach_m : float
        Load [kg] and its distance from the slew centre [m], zero or more.
    slope_deg : float
        Slope of the ground [deg], 0 to below 60.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    Definition.
    """

    load_kg: float = 0.0
    reach_m: float = 0.0
    slope_deg: float = 0.0

    def __post_init__(self) -> None:
        for name, figure, most in (("load", self.load_kg, 1e6), ("reach", self.reach_m, 100.0)):
            if not 0 <= figure <= most:
                raise NotAllowedError(name, f"{figure:g}", f"0 to {most:g}")
        if not 0 <= self.slope_deg < 60:
            raise NotAllowedError("slope", f"{self.slope_deg:g} deg", "0 to below 60 deg")


@dataclass(frozen=True, slots=True)
class Table:
    """Outcomes for g grounds, w shoe widths and n draws.

    Parameters
    ----------
    figures : dict of Outcome to ndarray
        Arrays of shape (g, w, n) [SI, slopes in deg]; NaN where there is no number.
    passes : ndarray, shape (g, w, n)
        1 where every method with a number lets it go, 0 where one does not, NaN where none has a number [1].
    tests : dict of str to ndarray
        What each test lets go, by its words: arrays of shape (g, w, n), 1, 0, or NaN where it says nothing [1].

    References
    ----------
    Our own.
    """

    figures: dict[Outcome, Floats]
    passes: Floats
    tests: dict[str, Floats]


def ground_table(
    machine: Standing,
    grounds: Sequence[Ground],
    widths_m: Sequence[float] | None = None,
    task: Task | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
) -> Table:
    """Outcomes for every ground, shoe width and draw.

    Parameters
    ----------
    machine : Standing
        The machine.
    grounds : sequence of Ground
        The grounds, at least one.
    widths_m : sequence of float or None
        Shoe widths [m], above zero; None takes the machine's own.
    task : Task or None
        Load and slope; None is an empty machine on the level.
    draws : int
        Draws, 1 or more.
    seed : int
        Where chance starts, zero or more.

    Returns
    -------
    Table
        Arrays of shape (grounds, widths, draws).

    Raises
    ------
    NotAllowedError
        No ground, or a width that is not above zero.

    References
    ----------
    The methods' own modules; how they are put together is ours, see docs/explanation/ground.md.
    """
    if not grounds:
        raise NotAllowedError("grounds", "none", "at least one ground")
    work = _Work(machine, list(grounds), task or Task(), drawn(machine, grounds, widths_m, draws, seed))
    return work.table()


class _Work:
    """One run; kept as a class so that each method stays a few lines over shared arrays."""

    def __init__(self, machine: Standing, grounds: list[Ground], task: Task, inputs: Drawn) -> None:
        self.machine, self.grounds, self.task = machine, grounds, task
        self.m, self.s = inputs.machine, inputs.ground
        self.mass = self.m["mass_kg"] + task.load_kg
        self.weight = self.mass * GRAVITY_M_S2
        self.b, self.length = self.m["shoe_width_m"], self.m["level_length_m"]
        shape = (len(grounds), self.b.shape[1], self.mass.shape[2])
        self.full = np.zeros(shape)
        self.is_hard = self._where([ground.surface is Surface.HARD for ground in grounds])
        self.squared = self.weight * np.cos(np.radians(task.slope_deg))

    def _where(self, flags: list[bool]) -> Bools:
        return np.asarray(flags)[:, None, None]

    def table(self) -> Table:
        pressure = self._pressure()
        depth, bellied, resistance = self._sinking(pressure)
        pull = self._pull(pressure, resistance)
        found = {Outcome.PRESSURE: pressure, Outcome.SINKAGE: depth}
        found |= self._cone()
        pull = self._pull_by_cone(pull, found)
        told = np.where(pull > MOST_PULL, np.nan, pull)
        found |= {Outcome.PULL: told, Outcome.CLIMB: np.degrees(np.arcsin(np.clip(told, 0.0, 1.0)))}
        found |= {Outcome.PEAKS: self._peaks(), Outcome.TURN: self._turn(resistance)}
        found |= self._off_centre() | self._slopes(pressure)
        found = {name: figure + self.full for name, figure in found.items()}
        tests = self._tests(found, pull + self.full, bellied + self.full)
        passes = np.fmin.reduce([tests[name] for name in tests if name != STANDS], axis=0)
        return Table(found, np.where(tests[STANDS] == 0, 0.0, passes), tests)

    def _pressure(self) -> Floats:
        flat, sunk = (
            contact_pressure_pa(self.mass, self.b, self.length, self.m["loop_height_m"], choice)
            for choice in (Sunk.FLAT, Sunk.GROUSERS_IN)
        )
        return np.where(self.is_hard, flat, sunk)

    def _sinking(self, pressure: Floats) -> tuple[Floats, Floats, Floats]:
        k = modulus(self.s["kc"], self.s["kphi"], self.b)
        n = self.s["exponent"]
        deep = sinkage_m(pressure, k, n).figure
        bellied = np.where(np.isnan(deep), np.nan, (deep > self.m["clearance_m"]) | (deep > self.b))
        return np.where(bellied == 1, np.nan, deep), bellied, compaction_n(deep, k, n, self.b)

    def _pull(self, pressure: Floats, resistance: Floats) -> Floats:
        """Pull left over weight on the task's slope, but for what needs a cone index."""
        thrust = most_thrust_n(
            self.weight, self.b, self.length, self.s["soil_cohesion_pa"], self.s["soil_friction_deg"]
        )
        thrust = thrust * share_at_slip(WORKING_SLIP, self.length, self.s["shear_m"]).figure
        inner = self.m["rolling"] * self.weight
        soil = drawbar_n(thrust, resistance + inner, self.weight) / self.weight
        known = np.where(
            np.isnan(self.weight), np.nan, 0.0
        )  # without a mass nothing is said, of hard ground either
        hard = self.s["sliding"] - self.m["rolling"] + known
        pull = np.where(self.is_hard, hard, soil)
        for number, ground in enumerate(self.grounds):
            if ground.winter is not None:
                winter = traction_pa(pressure[number], ground.winter).figure / pressure[number]
                pull[number] = winter - self.m["rolling"][0]
        return pull

    def _cone(self) -> dict[Outcome, Floats]:
        cone = ConeMachine(
            self.mass,
            self.b,
            self.length,
            2 * self.machine.rollers_per_side,
            self.b * self.m["pitch_m"],
            self.m["clearance_m"],
            self.m["power_w"],
            self.m["grouser_m"],
            self.machine.hydraulic,
        )
        mobility = mobility_index(cone)
        once, often = index_for_one_pass(mobility).figure, index_for_fifty_passes(mobility).figure
        self.psi = cone_pressure_psi(cone)
        rating = self.s["rating_index"]
        return {
            Outcome.INDEX_NEEDED: once,
            Outcome.SPARE_ONCE: rating - once,
            Outcome.SPARE_OFTEN: rating - often,
        }

    def _pull_by_cone(self, pull: Floats, found: dict[Outcome, Floats]) -> Floats:
        """Where no tested soil brackets the ground, a cone index may still tell the pull."""
        by_cone = surplus_pull(found[Outcome.SPARE_ONCE], self.psi).figure
        return np.where(np.isnan(pull), by_cone, pull)

    def _peaks(self) -> Floats:
        if self.machine.track is TrackKind.RUBBER:
            return np.full((1, 1, 1), np.nan)
        return linked_track_peaks_pa(
            self.weight, self.machine.rollers_per_side, self.b, self.m["pitch_m"], self.m["roller_m"]
        )

    def _turn(self, resistance: Floats) -> Floats:
        steel = self.machine.track is TrackKind.STEEL
        turning = self.s["turning_steel" if steel else "turning_rubber"]
        rolling = self.m["rolling"] + np.where(np.isnan(resistance), 0.0, resistance / self.weight)
        moment = turning_moment_nm(self.weight, self.length, turning)
        needed = outer_pull_n(self.weight, moment, self.m["centres_m"], rolling)
        soil = most_thrust_n(
            self.weight, self.b, self.length, self.s["soil_cohesion_pa"], self.s["soil_friction_deg"]
        )
        given = np.where(self.is_hard, self.s["sliding"] * self.weight, soil) / 2
        return np.asarray(needed / given)

    def _offset(self) -> Floats:
        """Distance of the load from the middle, in the worst direction of the slope [m]."""
        along = offset_over(self.m["mass_kg"], self.m["own_offset_m"], self.task.load_kg, self.task.reach_m)
        return np.abs(along) + load_shift_m(self.m["gravity_height_m"], self.task.slope_deg)

    def _off_centre(self) -> dict[Outcome, Floats]:
        offset = self._offset()
        angles = np.linspace(0.0, 90.0, SLEW_STEPS // 4 + 1) if self._turns() else np.zeros(1)
        most, even, rest = (np.zeros((1, 1, 1)) for _ in range(3))
        for angle in angles:  # a quarter is enough: the tracks are alike, front and rear too
            under = slew_pressure(self.squared, self.b, self.length, self.m["centres_m"], offset, angle)
            most = np.maximum(most, under.most_pa)
            side = self.length - 2 * np.abs(offset * np.cos(np.radians(angle)))
            side = np.where(np.isnan(under.most_pa), np.nan, side)
            here = np.maximum(under.left_n, under.right_n) / (self.b * side)
            rest = np.where(here > even, side, rest)
            even = np.maximum(even, here)
        return {Outcome.PEAK_PRESSURE: most, Outcome.BEARING: self._bearing(even, rest)}

    def _turns(self) -> bool:
        return self.machine.slews or self.task.slope_deg > 0

    def _bearing(self, even: Floats, side: Floats) -> Floats:
        """Share of bearing resistance used; the lower resistance where both methods have one."""
        safe = np.where(side > 0.05, side, np.nan)
        short, long = np.minimum(self.b, safe), np.maximum(self.b, safe)
        bearing = np.full(self.full.shape, np.nan)
        for number, ground in enumerate(self.grounds):
            s = {name: figure[number] for name, figure in self.s.items()}
            if ground.strength_pa is not None:
                bearing[number] = undrained_pa(s["strength_pa"], short[0], long[0]).figure
            if ground.friction_deg is not None:
                drained = drained_pa(s["cohesion_pa"], s["friction_deg"], s["weight_n_m3"], short[0], long[0])
                bearing[number] = np.fmin(bearing[number], drained.figure)
        return np.asarray(SAFETY_FACTOR * even / bearing)

    def _slopes(self, pressure: Floats) -> dict[Outcome, Floats]:
        along = offset_over(self.m["mass_kg"], self.m["own_offset_m"], self.task.load_kg, self.task.reach_m)
        off, height = np.abs(along), self.m["gravity_height_m"]
        end = self.length / 2 - off
        side = (self.m["centres_m"] + self.b) / 2 - (off if self.machine.slews else 0.0)
        self.tips = np.minimum(end, side) < 0
        ends, sides = tipping_deg(end, height).figure, tipping_deg(side, height).figure
        area = 2 * self.b * self.length
        soil = sliding_deg(self.weight, area, self.s["soil_cohesion_pa"], self.s["soil_friction_deg"]).figure
        slides = np.where(self.is_hard, np.degrees(np.arctan(self.s["sliding"])), soil)
        for number, ground in enumerate(self.grounds):
            if ground.winter is not None:
                grip = traction_pa(pressure[number], ground.winter).figure / pressure[number]
                slides[number] = np.degrees(np.arctan(grip))
        return {Outcome.TIP: np.minimum(ends, sides), Outcome.SLIDE: slides}

    def _tests(self, found: dict[Outcome, Floats], pull: Floats, bellied: Floats) -> dict[str, Floats]:
        """Each test by itself. Standing fast says nothing for a ground, tipping or sliding says no."""
        uphill = np.sin(np.radians(self.task.slope_deg))
        slope = self.task.slope_deg
        goes_over = (slope >= found[Outcome.TIP]) | (slope >= found[Outcome.SLIDE]) | self.tips
        return {
            "its cone index": _says(found[Outcome.SPARE_ONCE], lambda x: x >= 0),
            "how far it sinks": _says(bellied, lambda x: x == 0),
            "the pull it gives": np.where(bellied == 1, np.nan, _says(pull, lambda x: x > uphill)),
            f"what it bears with a safety factor of {SAFETY_FACTOR:g}": _says(
                found[Outcome.BEARING], lambda x: x <= 1
            ),
            STANDS: np.where(goes_over, 0.0, 1.0) + self.full,
        }


def _says(figure: Floats, good: Callable[[Floats], Bools]) -> Floats:
    return np.where(np.isnan(figure), np.nan, good(figure))
