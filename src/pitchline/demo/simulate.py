"""Made-up wear: every part of one machine from its first hour to its newest walk-round.

The model is the one the outlook believes in, drawn forward: a machine effect and a part effect on the rate, ground-weighted
hours, and increments whose variance is in proportion to their mean. Increments are gamma distributed, so metal never
comes back.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pitchline.demo.limits import Quantity
from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.ground import GroundClass
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place

LIVES_H: dict[Quantity, float] = {
    (PartKind.CHAIN, Measurand.PITCH): 6000.0,
    (PartKind.BUSH, Measurand.BUSH_OD_FORWARD): 5000.0,
    (PartKind.BUSH, Measurand.BUSH_OD_REVERSE): 12000.0,
    (PartKind.LINK, Measurand.RAIL_HEIGHT): 6000.0,
    (PartKind.SHOE, Measurand.GROUSER_HEIGHT): 6000.0,
    (PartKind.PAD, Measurand.PAD_HEIGHT): 2500.0,
    (PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER): 6000.0,
    (PartKind.BOTTOM_ROLLER, Measurand.FLANGE_THICKNESS): 8000.0,
    (PartKind.UPPER_ROLLER, Measurand.TREAD_DIAMETER): 7000.0,
    (PartKind.IDLER, Measurand.TREAD_DEPTH): 7000.0,
    (PartKind.SPROCKET, Measurand.ROOT_DIAMETER): 6000.0,
    (PartKind.SPROCKET, Measurand.TOOTH_THICKNESS): 6000.0,
    (PartKind.RUBBER_TRACK, Measurand.LUG_HEIGHT): 2000.0,
    (PartKind.RUBBER_TRACK, Measurand.RUBBER_PITCH): 3000.0,
    (PartKind.RUBBER_TRACK, Measurand.GUIDE_LUG_WIDTH): 3500.0,
    (PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK): 15000.0,
}
"""Hours from new to the limit on middling ground. Invented."""

GROUND_LOG_RATE = {
    GroundClass.GENTLE: -0.6,
    GroundClass.MILD: -0.3,
    GroundClass.MIDDLING: 0.0,
    GroundClass.SHARP: 0.35,
    GroundClass.HARSH: 0.7,
}
"""Logarithm of the wear rate against middling ground. Invented."""

MACHINE_SPREAD = 0.25
PART_SPREAD = 0.2
PROCESS_NOISE = 0.004
NEW_SPREAD = 0.02
SERVICE_STEP_H = 50.0

_ONE_CHAIN = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK, PartKind.SPROCKET)
_ONE_BY_ONE = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER, PartKind.SLEW_RING)

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Habits:
    """How one machine wears and how its yard looks after it.

    Parameters
    ----------
    machine_effect : float or None
        Logarithm of its rate against others [1]; None draws it.
    part_spread : float
        Standard deviation of the logarithm of the rate from part to part [1], zero or more.
    pace : dict of (PartKind, Measurand) to float
        Life of a quantity on this machine against the invented one [1], above zero.
    replaces_at : float
        True life used at which the yard renews a part [1]; infinity never does.
    writes_down : bool
        Whether renewals are recorded.
    """

    machine_effect: float | None = None
    part_spread: float = PART_SPREAD
    pace: dict[Quantity, float] = field(default_factory=dict)
    replaces_at: float = 0.97
    writes_down: bool = True


@dataclass(frozen=True, slots=True)
class TrueWear:
    """The true wear of one quantity at one place, as no yard ever knows it.

    Parameters
    ----------
    place : Place
        Where.
    measurand : Measurand
        What.
    at_h : tuple of float
        Service hours of each walk-round [h].
    life_used : tuple of float
        True life used then [1].
    fitted_h : tuple of float
        Hours at which the part then in place was fitted, or turned [h].
    """

    place: Place
    measurand: Measurand
    at_h: tuple[float, ...]
    life_used: tuple[float, ...]
    fitted_h: tuple[float, ...]


class _Wearing:
    """Every quantity of one machine side by side, moved forward in time."""

    def __init__(
        self, rng: np.random.Generator, quantities: Iterable[tuple[Place, Measurand]], habits: Habits
    ) -> None:
        self.rng, self.habits = rng, habits
        self.quantities = tuple(quantities)
        drawn = rng.normal(0.0, MACHINE_SPREAD)
        self.machine_effect = drawn if habits.machine_effect is None else habits.machine_effect
        keys = [(place.part, measurand) for place, measurand in self.quantities]
        self.lives_h = np.array([LIVES_H[key] * habits.pace.get(key, 1.0) for key in keys])
        self.life_used = np.zeros(len(keys))
        self.rate = np.zeros(len(keys))
        self.fitted_h = np.zeros(len(keys))
        self.renew(range(len(keys)), 0.0)

    def renew(self, rows: Iterable[int], at_h: float, life_used: float = 0.0) -> None:
        """New metal, or part-worn metal, with a rate of its own."""
        for row in rows:
            effect = self.machine_effect + self.rng.normal(0.0, self.habits.part_spread)
            self.rate[row] = math.exp(effect) / self.lives_h[row]
            self.life_used[row] = life_used + self.rng.normal(0.0, NEW_SPREAD)
            self.fitted_h[row] = at_h

    def turn(self, rows: Iterable[int], at_h: float) -> None:
        """Bushes half a turn round: what was the reverse face now drives, and the other way about."""
        by_place: dict[Place, dict[Measurand, int]] = {}
        for row in rows:
            place, measurand = self.quantities[row]
            by_place.setdefault(place, {})[measurand] = row
        for faces in by_place.values():
            pair = [faces[Measurand.BUSH_OD_FORWARD], faces[Measurand.BUSH_OD_REVERSE]]
            self.life_used[pair] = self.life_used[pair[::-1]]
            self.fitted_h[pair] = at_h

    def work(self, hours: float, ground: GroundClass) -> None:
        """Hours of work in one ground."""
        mean = self.rate * hours * math.exp(GROUND_LOG_RATE[ground])
        self.life_used += self.rng.gamma(mean / PROCESS_NOISE, PROCESS_NOISE)

    def rows_of(self, place: Place) -> list[int]:
        """Rows at a place; position 0 takes every position."""
        return [
            row
            for row, (at, _) in enumerate(self.quantities)
            if (at.part, at.side) == (place.part, place.side) and place.position in (0, at.position)
        ]

    def happen(self, event: PartEvent, part_worn: float) -> None:
        """One event of the machine's history."""
        rows = self.rows_of(event.place)
        if event.event is Event.TURNED:
            self.turn(rows, event.service_h)
        else:
            self.renew(rows, event.service_h, part_worn if event.event is Event.FITTED_PART_WORN else 0.0)

    def service(self, at_h: float) -> list[PartEvent]:
        """Renew what the yard would not run any longer: wheels one by one, the rest on both sides at once."""
        places: set[Place] = set()
        for row in np.flatnonzero(self.life_used >= self.habits.replaces_at).tolist():
            worn = self.quantities[row][0]
            together = _ONE_CHAIN if worn.part in _ONE_CHAIN[:-1] else (worn.part,)
            alone = worn.part in _ONE_BY_ONE
            places.update(
                place for place, _ in self.quantities if (place == worn if alone else place.part in together)
            )
        events = [PartEvent(place, Event.FITTED_NEW, at_h) for place in sorted(places)]
        for event in events:
            self.happen(event, 0.0)
        return events


def simulate_wear(
    rng: np.random.Generator,
    quantities: Iterable[tuple[Place, Measurand]],
    visits_h: tuple[float, ...],
    ground_at: Callable[[float], GroundClass],
    habits: Habits,
    history: tuple[PartEvent, ...] = (),
    part_worn: float = 0.35,
) -> tuple[tuple[TrueWear, ...], tuple[PartEvent, ...]]:
    """True wear at each walk-round, and what the yard renewed on the way.

    Parameters
    ----------
    rng : numpy.random.Generator
        Where chance comes from.
    quantities : iterable of (Place, Measurand)
        What wears, and where.
    visits_h : tuple of float
        Service hours of the walk-rounds [h], rising, above zero.
    ground_at : callable
        Ground worked in at given service hours.
    habits : Habits
        How it wears and is looked after.
    history : tuple of PartEvent
        What was done at known hours.
    part_worn : float
        True life used of what was fitted part-worn [1].

    References
    ----------
    Our own invention; gamma process after van Noortwijk, Reliab. Eng. Syst. Saf. 94 (2009) 2.
    """
    wearing = _Wearing(rng, quantities, habits)
    steps = np.arange(SERVICE_STEP_H, visits_h[-1], SERVICE_STEP_H).tolist()
    marks = sorted({*steps, *visits_h, *(event.service_h for event in history)})
    renewed: list[PartEvent] = []
    seen: list[tuple[Floats, Floats]] = []
    now_h = 0.0
    for mark_h in (mark for mark in marks if mark <= visits_h[-1]):
        wearing.work(mark_h - now_h, ground_at((now_h + mark_h) / 2))
        now_h = mark_h
        if mark_h in visits_h:
            seen.append((wearing.life_used.copy(), wearing.fitted_h.copy()))
        for event in history:
            if event.service_h == mark_h:
                wearing.happen(event, part_worn)
        if mark_h not in visits_h:
            renewed += wearing.service(mark_h)
    paths = tuple(
        TrueWear(
            place,
            measurand,
            visits_h,
            tuple(float(life_used[row]) for life_used, _ in seen),
            tuple(float(fitted_h[row]) for _, fitted_h in seen),
        )
        for row, (place, measurand) in enumerate(wearing.quantities)
    )
    return paths, tuple(renewed)
