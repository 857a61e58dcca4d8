"""Every outcome of a machine on several grounds and shoe widths at once, and what it says about the going."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pitchline.ground.bearing import (
    SAFETY_FACTOR,
    SHEARS,
    SLIDES_FIRST,
    drained_pa,
    drained_slanted_pa,
    undrained_pa,
)
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
from pitchline.ground.holding import ANY_SLOPE_DEG, moving_hold, resting_hold, slope_held_deg
from pitchline.ground.outcomes import Outcome
from pitchline.ground.peaks import linked_track_peaks_pa
from pitchline.ground.pressure import Sunk, contact_pressure_pa
from pitchline.ground.sinkage import compaction_n, modulus, sinkage_m
from pitchline.ground.slope import Hold, load_shift_m, tipping_deg
from pitchline.ground.soils import Ground, Surface
from pitchline.ground.standing import Standing
from pitchline.ground.thrust import most_thrust_n, share_at_slip
from pitchline.ground.turning import outer_pull_n, turning_moment_nm
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.machine import TrackKind
from pitchline.trade.writing import as_figure

WORKING_SLIP = 0.20
"""Slip at which pull is told; usual in the sources."""
MOST_PULL = 0.9
"""Pull over weight above which the ground is not what limits it, so that no figure is given; our own."""
SLEW_STEPS = 16
CLEAR_OF_TIPPING, CLEAR_OF_TIPPING_DEG = 2.0, 15.0
"""Clear of tipping: the slope it tips on, at rest, is so many times as steep and so much steeper [deg]. Assumption: half a shoe
sinking at a soft edge, a swing or stop at 0.2 g and 10 degrees of uneven ground together take about half of 50 degrees."""
HOLDS_SPARE = 1.5
"""How many times the pull downhill friction alone has to hold for "suits", cohesion not counted. Assumption; usual spare against
sliding in earthworks (from memory)."""
DRAWS, SEED = 2000, 1
SUITS_SHARE = 0.9
"""Share of the draws that must pass for "suits"; as few for "does not suit". Our own."""


class Going(StrEnum):
    """What is said of a machine on a ground."""

    SUITS = "suits"
    UNCERTAIN = "uncertain"
    DOES_NOT = "does_not_suit"
    UNKNOWN = "unknown"

    @classmethod
    def _missing_(cls, value: object) -> "Going | None":
        return cls.UNCERTAIN if value == "doubtful" else None  # as it was written before


class Against(StrEnum):
    """What may be against a machine on a ground."""

    CONE = "cone_index"
    SINKS = "sinks"
    PULL = "pull"
    BEARING = "bearing"
    TIPS = "tips"
    SLIDES = "slides"


STANDS = (Against.TIPS, Against.SLIDES)
"""The tests of tipping and sliding at rest: they can only say no."""


class Near(StrEnum):
    """What takes "suits" away though every test passes."""

    TIPPING = "tipping"
    SLIDING = "sliding"


class Unknown(StrEnum):
    """What has to be known of a slope that is asked for."""

    GRIP = "grip"
    PULL = "pull"


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
    """

    load_kg: float = 0.0
    reach_m: float = 0.0
    slope_deg: float = 0.0

    def __post_init__(self) -> None:
        for name, figure, most in (("load", self.load_kg, 1e6), ("reach", self.reach_m, 100.0)):
            if not 0 <= figure <= most:
                raise NotAllowedError(
                    name, as_figure(figure, "g"), phrase("0 to {most}", most=as_figure(most, "g"))
                )
        if not 0 <= self.slope_deg < 60:
            raise NotAllowedError("slope", f"{as_figure(self.slope_deg, 'g')} deg", "0 to below 60 deg")


@dataclass(frozen=True, slots=True)
class Table:
    """Outcomes for g grounds, w shoe widths and n draws.

    Parameters
    ----------
    figures : dict of Outcome to ndarray
        Arrays of shape (g, w, n) [SI, slopes in deg]; NaN where there is no number.
    passes : ndarray, shape (g, w, n)
        1 where every method with a number lets it go, 0 where one does not, NaN where none has a number [1].
    tests : dict of Against to ndarray
        What each test lets go: arrays of shape (g, w, n), 1, 0, or NaN where it says nothing [1].
    clear : dict of Near to ndarray
        Share of the draws that keep clear of what takes "suits" away without saying no, shape (g, w) [1].
    unknown : dict of Unknown to ndarray
        What nobody knows of a slope that is asked for, shape (g, w) of bool.
    """

    figures: dict[Outcome, Floats]
    passes: Floats
    tests: dict[Against, Floats]
    clear: dict[Near, Floats]
    unknown: dict[Unknown, Bools]


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
        self.upright = np.cos(np.radians(task.slope_deg))
        self.squared = self.weight * self.upright

    def _where(self, flags: list[bool]) -> Bools:
        return np.asarray(flags)[:, None, None]

    def table(self) -> Table:
        level = self._pressure()
        depth, bellied, drag = self._sinking(level)
        found = {Outcome.PRESSURE: level * self.upright, Outcome.SINKAGE: depth} | self._cone()
        moving, resting = self._holds(level, drag, found[Outcome.SPARE_ONCE])
        climbs, slides = slope_held_deg(moving), slope_held_deg(resting)
        found |= self._along(moving, climbs, slides, bellied)
        by_friction = np.where(resting.winter > 0, slides, np.degrees(np.arctan(resting.frictional)))
        found[Outcome.FRICTION] = by_friction
        found |= {Outcome.PEAKS: self._peaks(), Outcome.TURN: self._turn(drag), Outcome.TIP: self._tip()}
        found |= self._off_centre()
        found = {name: figure + self.full for name, figure in found.items()}
        tests = self._tests(found, climbs + self.full, slides + self.full, bellied + self.full)
        passes = np.fmin.reduce([tests[name] for name in tests if name not in STANDS], axis=0)
        fails = np.logical_or.reduce([tests[name] == 0 for name in STANDS])
        clear = self._clear(found[Outcome.TIP], resting)
        return Table(found, np.where(fails, 0.0, passes), tests, clear, self._unknown(climbs, slides, bellied))

    def _pressure(self) -> Floats:
        flat, sunk = (
            contact_pressure_pa(self.mass, self.b, self.length, self.m["loop_height_m"], choice)
            for choice in (Sunk.FLAT, Sunk.GROUSERS_IN)
        )
        return np.where(self.is_hard, flat, sunk)

    def _sinking(self, level: Floats) -> tuple[Floats, Floats, Floats]:
        """Sinkage under the weight square to the slope; whether it lies on its belly, and drag over weight, on the level."""
        k = modulus(self.s["kc"], self.s["kphi"], self.b)
        n = self.s["exponent"]
        deep = sinkage_m(level, k, n).figure
        bellied = np.where(np.isnan(deep), np.nan, (deep > self.m["clearance_m"]) | (deep > self.b))
        here = sinkage_m(level * self.upright, k, n).figure
        return np.where(bellied == 1, np.nan, here), bellied, compaction_n(deep, k, n, self.b) / self.weight

    def _holds(self, level: Floats, drag: Floats, spare: Floats) -> tuple[Hold, Hold]:
        """What it climbs by and what keeps it from sliding. A cone index tells a pull where no tested soil does."""
        cohesive = 2 * self.b * self.length * self.s["soil_cohesion_pa"] / self.weight
        share = share_at_slip(WORKING_SLIP, self.length, self.s["shear_m"]).figure
        by_cone = surplus_pull(spare, self.psi).figure + self.full
        rolling = self.m["rolling"] + 0.0 * self.weight  # without a mass nothing is said, of hard ground either
        moving = moving_hold(self.grounds, self.s, cohesive, level, share + self.full, rolling, drag, by_cone)
        return moving, resting_hold(self.grounds, self.s, cohesive, level + self.full)

    def _along(self, moving: Hold, climbs: Floats, slides: Floats, bellied: Floats) -> dict[Outcome, Floats]:
        """Pull left on the slope, slopes it climbs and slides on; none where the ground is not the limit or does not carry it.

        A climb and a slide stand for the same draws, so that neither end of a range can be the wrong way round.
        """
        uphill = np.sin(np.radians(self.task.slope_deg))
        endless = (moving.over_weight(0.0) > MOST_PULL) | (slides >= ANY_SLOPE_DEG)
        outside = endless | (bellied == 1)
        told = (moving.over_weight(self.task.slope_deg) - uphill, climbs, slides)
        names = (Outcome.PULL, Outcome.CLIMB, Outcome.SLIDE)
        return {name: np.where(outside, np.nan, one) for name, one in zip(names, told, strict=True)}

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

    def _peaks(self) -> Floats:
        if self.machine.track is TrackKind.RUBBER:
            return np.full((1, 1, 1), np.nan)
        return linked_track_peaks_pa(
            self.weight, self.machine.rollers_per_side, self.b, self.m["pitch_m"], self.m["roller_m"]
        )

    def _turn(self, drag: Floats) -> Floats:
        """Pull a turn on the spot needs of one track, half of the weight's pull downhill with it, over what the ground gives."""
        steel = self.machine.track is TrackKind.STEEL
        turning = self.s["turning_steel" if steel else "turning_rubber"]
        rolling = self.m["rolling"] + np.where(np.isnan(drag), 0.0, drag)
        moment = turning_moment_nm(self.squared, self.length, turning)
        needed = outer_pull_n(self.squared, moment, self.m["centres_m"], rolling)
        needed = needed + self.weight * np.sin(np.radians(self.task.slope_deg)) / 2
        soil = most_thrust_n(
            self.squared, self.b, self.length, self.s["soil_cohesion_pa"], self.s["soil_friction_deg"]
        )
        given = np.where(self.is_hard, self.s["sliding"] * self.squared, soil) / 2
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
            rest = np.where(~(here <= even), side, rest)
            even = np.maximum(even, here)
        self.lifts = np.isnan(most) & ~np.isnan(self.weight)
        return {Outcome.PEAK_PRESSURE: most, Outcome.BEARING: self._bearing(even, rest)}

    def _turns(self) -> bool:
        return self.machine.slews or self.task.slope_deg > 0

    def _bearing(self, even: Floats, side: Floats) -> Floats:
        """Share of bearing resistance used, the pull downhill across the track with it; the lower one where two methods have one.

        Endless where that pull alone shears the soil.
        """
        safe = np.where(side > 0.05, side, np.nan)
        short, long = np.minimum(self.b, safe), np.maximum(self.b, safe)
        bearing = np.full(self.full.shape, np.nan)
        load, level = (even * short * long)[0], np.tan(np.radians(self.task.slope_deg))
        for number, ground in enumerate(self.grounds):
            s = {name: figure[number] for name, figure in self.s.items()}
            if ground.strength_pa is not None:
                found = undrained_pa(s["strength_pa"], short[0], long[0], sideways_pa=even[0] * level)
                bearing[number] = found.zero_where(SHEARS)
            if ground.friction_deg is not None:
                soil = (s["cohesion_pa"], s["friction_deg"], s["weight_n_m3"], short[0], long[0], 0.0)
                drained = drained_slanted_pa(*soil, load, load * level, 0.0) if level else drained_pa(*soil)
                bearing[number] = np.fmin(bearing[number], drained.zero_where(SLIDES_FIRST))
        with np.errstate(divide="ignore"):
            return np.asarray(SAFETY_FACTOR * even / bearing)

    def _tip(self) -> Floats:
        """Slope it tips on at rest, over an end or the downhill edge, whichever comes first."""
        along = offset_over(self.m["mass_kg"], self.m["own_offset_m"], self.task.load_kg, self.task.reach_m)
        off, height = np.abs(along), self.m["gravity_height_m"]
        end = self.length / 2 - off
        side = (self.m["centres_m"] + self.b) / 2 - (off if self.machine.slews else 0.0)
        self.tips = np.minimum(end, side) < 0
        return np.asarray(np.minimum(tipping_deg(end, height).figure, tipping_deg(side, height).figure))

    def _tests(
        self, found: dict[Outcome, Floats], climbs: Floats, slides: Floats, bellied: Floats
    ) -> dict[Against, Floats]:
        """Each test by itself. Standing fast says nothing for a ground, tipping or sliding says no."""
        slope = self.task.slope_deg
        return {
            Against.CONE: _says(found[Outcome.SPARE_ONCE], lambda x: x >= 0),
            Against.SINKS: _says(bellied, lambda x: x == 0),
            Against.PULL: np.where(bellied == 1, np.nan, _says(climbs, lambda x: x > slope)),
            Against.BEARING: np.where(
                self.lifts & self._where([one.strength_known for one in self.grounds]),
                0.0,
                _says(found[Outcome.BEARING], lambda x: x <= 1),
            ),
            Against.TIPS: np.where((slope >= found[Outcome.TIP]) | self.tips, 0.0, 1.0) + self.full,
            Against.SLIDES: np.where((slope > 0) & (slope >= slides), 0.0, 1.0),
        }

    def _clear(self, tip: Floats, resting: Hold) -> dict[Near, Floats]:
        slope = self.task.slope_deg
        firm = (tip >= max(CLEAR_OF_TIPPING * slope, slope + CLEAR_OF_TIPPING_DEG)) | (np.isnan(tip) & ~self.tips)
        by_friction = resting.over_weight(slope) - resting.cohesive
        holds = by_friction >= HOLDS_SPARE * np.sin(np.radians(slope))
        holds = holds | (slope == 0) | np.isnan(by_friction)
        found = {Near.TIPPING: firm, Near.SLIDING: holds}
        return {near: np.broadcast_to(one, self.full.shape).mean(axis=-1) for near, one in found.items()}

    def _unknown(self, climbs: Floats, slides: Floats, bellied: Floats) -> dict[Unknown, Bools]:
        """On the level neither is asked for."""
        known = {Unknown.GRIP: slides, Unknown.PULL: np.where(bellied == 1, 0.0, climbs)}
        asked = np.asarray(self.task.slope_deg > 0)
        return {what: np.asarray(asked & np.isnan(one + self.full).all(axis=-1)) for what, one in known.items()}


def _says(figure: Floats, good: Callable[[Floats], Bools]) -> Floats:
    return np.where(np.isnan(figure), np.nan, good(figure))
