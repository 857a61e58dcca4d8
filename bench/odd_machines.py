"""Invented machines with their truth: parts unlike their fellows, sides changed without a record, slips of the pencil.

Everything made here is invented. Sizes follow one random length (pitchline.demo.limits); wear is a gamma process at a rate that
kind, machine and part share in, as in docs/explanation/outlook.md. How often what happens is the recipe's, an assumption of ours.
"""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.demo.limits import limits_for, ranges_for, shaped
from pitchline.outlook.kinds import TYPICAL_LIFE_H
from pitchline.outlook.lives import events_at, lives_of
from pitchline.trade.dossier import Dossier, Event, Limit, LineShape, PartEvent, Utilisation
from pitchline.trade.machine import Layout, Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import MEASURANDS, Measurand, measurands_of
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, Tool, WalkRound
from pitchline.trade.units import parse_length
from pitchline.wear.line import wear_line

Quantity = tuple[Place, Measurand]
FIRST_DAY = dt.date(2022, 1, 10)
USUAL_TOOLS = {
    Measurand.PITCH: "tape",
    Measurand.RUBBER_PITCH: "tape",
    Measurand.TREAD_DIAMETER: "outside_calliper",
    Measurand.ROOT_DIAMETER: "outside_calliper",
    Measurand.SLEW_RING_ROCK: "dial_gauge",
    Measurand.RAIL_HEIGHT: "depth_gauge",
    Measurand.GROUSER_HEIGHT: "depth_gauge",
    Measurand.TREAD_DEPTH: "depth_gauge",
    Measurand.LUG_HEIGHT: "depth_gauge",
    Measurand.PAD_HEIGHT: "rule",
}
_CHAIN_PARTS = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)


@dataclass(frozen=True)
class Recipe:
    """How machines are made; each share is a chance."""

    odd_parts: float = 1 / 30
    odd_times: tuple[float, float] = (2.0, 4.0)
    side_changed: float = 0.05
    changed_recorded: float = 0.9
    slips: float = 1 / 200
    kind_spread: float = 0.35
    machine_spread: float = 0.30
    part_spread: float = 0.22
    noise: float = 0.005
    unread: float = 0.05
    meter_unknown: float = 0.1
    any_tool: bool = False
    any_line: bool = False
    few_quantities: bool = False
    rounded: float = 0.0
    most_h: float = 7000.0
    as_one: bool = False
    """Whether a part is renewed in all its quantities at once, and as often as it wears out; each quantity by itself and once
    between two walk-rounds, a record of one speaks falsely of the others, and parts are read far past what anybody runs."""


@dataclass(frozen=True)
class Truth:
    """One quantity of one part as it really is: life used, pace of wear [life used an hour], and what befell it."""

    wear: float
    rate: float
    odd: bool = False
    slipped: bool = False
    changed: bool = False

    def hours_to(self, level: float) -> float:
        """Hours until a life used is reached, at this pace."""
        return max(level - self.wear, 0.0) / self.rate


@dataclass(frozen=True)
class Made:
    """A machine and its truth."""

    dossier: Dossier
    truth: dict[Quantity, Truth]


def some_gear(rng: np.random.Generator, small: bool) -> tuple[RunningGear, float]:
    """A running gear and the length it is scaled by [m]; small ones have few rollers, so that they are judged fast."""
    track = list(TrackKind)[int(rng.choice(4, p=[0.55, 0.1, 0.1, 0.25]))]
    pitch_m = float(rng.choice([0.154, 0.1715, 0.19, 0.203, 0.216]))
    rubber = track is TrackKind.RUBBER
    rollers = int(rng.integers(2, 4)) if small else int(rng.integers(5, 10))
    gear = RunningGear(
        track=track,
        joints_per_side=45,
        pitch_m=0.072 if rubber else pitch_m,
        shoe_width_m=0.4 if rubber else 0.6,
        sprocket_teeth=21,
        sprocket_gaps=SprocketGaps.EACH if rubber else SprocketGaps.EVERY_SECOND,
        bottom_rollers_per_side=rollers,
        upper_rollers_per_side=int(rng.integers(0, 2 if small else 3)),
        layout=Layout.RAISED_SPROCKET if not rubber and rng.random() < 0.2 else Layout.LEVEL,
        grousers_per_shoe=3,
        bolts_per_shoe=4,
        slew_ring=bool(rng.random() < 0.6),
    )
    return gear, pitch_m


def make(rng: np.random.Generator, recipe: Recipe, rounds: int = 1) -> Made:
    """A machine read on so many walk-rounds."""
    return _Making(rng, recipe, rounds).made()


@dataclass
class _Part:
    """The part now at a place: hours it was fitted at, pace, wear, and what befell it."""

    from_h: float
    rate: float
    odd: bool
    wear: float
    changed: bool = False


class _Making:
    """One machine while it is made."""

    def __init__(self, rng: np.random.Generator, recipe: Recipe, rounds: int) -> None:
        self.rng, self.recipe = rng, recipe
        self.gear, self.scale_m = some_gear(rng, recipe.few_quantities)
        self.limits = self._limits()
        last_h = float(rng.uniform(800, recipe.most_h))
        self.at_h = last_h * np.sort(np.r_[rng.uniform(0.25, 0.95, rounds - 1), 1.0])
        self.machine_effect = rng.normal(0, recipe.machine_spread)
        self.kind_effect: dict[tuple[PartKind, Measurand], float] = {}
        self.events: list[PartEvent] = []
        self.truth: dict[Quantity, Truth] = {}
        self.readings: list[list[Reading]] = [[] for _ in range(rounds)]
        self.side_changed: dict[Side, float] = {}
        for side in (Side.LEFT, Side.RIGHT):
            if rng.random() < recipe.side_changed:
                self.side_changed[side] = float(rng.uniform(0.1, 0.95)) * last_h

    def _limits(self) -> tuple[Limit, ...]:
        limits = list(limits_for(self.gear, self.scale_m))
        rng = self.rng
        if self.recipe.few_quantities:
            keep = rng.choice(
                len(limits), min(int(rng.choice(3, p=[0.5, 0.35, 0.15])) + 1, len(limits)), replace=False
            )
            limits = [limits[at] for at in sorted(keep)]
            kinds = {(limit.part, limit.measurand) for limit in limits}
            faces = (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE)
            if any((PartKind.BUSH, face) in kinds for face in faces):
                both = [one for one in limits_for(self.gear, self.scale_m) if one.part is PartKind.BUSH]
                limits = [one for one in limits if one.part is not PartKind.BUSH] + both
        if self.recipe.any_line:
            bent = (LineShape.SHAPE_PRESERVING, LineShape.STRAIGHT)
            limits = [shaped(one, bent[int(rng.integers(2))]) if rng.random() < 0.2 else one for one in limits]
        return tuple(limits)

    def made(self) -> Made:
        kinds = {(limit.part, limit.measurand) for limit in self.limits}
        for place in self.gear.places():
            turned_h = self._turned_h(place)
            measurands = [one for one in measurands_of(place.part) if (place.part, one) in kinds]
            for together in [measurands] if self.recipe.as_one and measurands else [[one] for one in measurands]:
                self._live(place, together, turned_h)
        weekly_h = 32.0
        last_h = float(self.at_h[-1])
        walk_rounds = []
        for at_h, readings in zip(self.at_h, self.readings, strict=True):
            day = FIRST_DAY + dt.timedelta(weeks=104 + math.ceil((float(at_h) - last_h) / weekly_h))
            walk_rounds.append(WalkRound(day, float(round(at_h)), tuple(readings)))
        walk_rounds = _apart(walk_rounds)
        dossier = Dossier(
            machine=Machine("invented", "Invented machine", MachineKind.EXCAVATOR),
            gear=self.gear,
            limits=self.limits,
            ranges=ranges_for(self.gear, self.scale_m),
            events=tuple(dict.fromkeys(self.events)),
            walk_rounds=tuple(walk_rounds),
            utilisation=Utilisation(28.0, weekly_h, 40.0),
            meter_from_new=bool(self.rng.random() >= self.recipe.meter_unknown),
        )
        return Made(dossier, self.truth)

    def _turned_h(self, place: Place) -> float | None:
        """Hours at which the bushes of a side were turned, as recorded."""
        if place.part is not PartKind.BUSH or self.rng.random() > 0.3:
            return None
        turned_h = float(round(self.rng.uniform(0.3, 0.8) * self.at_h[-1]))
        self.events.append(PartEvent(place, Event.TURNED, turned_h))
        return turned_h

    def _new_part(self, place: Place, measurand: Measurand, from_h: float) -> _Part:
        rng, recipe = self.rng, self.recipe
        kind = (place.part, measurand)
        if kind not in self.kind_effect:
            self.kind_effect[kind] = rng.normal(0, recipe.kind_spread)
        odd = bool(rng.random() < recipe.odd_parts)
        times = rng.uniform(*recipe.odd_times) if odd else 1.0
        log_rate = self.kind_effect[kind] + self.machine_effect + rng.normal(0, recipe.part_spread)
        rate = math.exp(log_rate) / TYPICAL_LIFE_H[kind] * times
        return _Part(from_h, rate, odd, float(rng.normal(0, 0.01)))

    def _live(self, place: Place, measurands: Sequence[Measurand], turned_h: float | None) -> None:
        """The parts at one place one after the other, read on every walk-round."""
        rng, recipe = self.rng, self.recipe
        parts = [self._new_part(place, measurand, 0.0) for measurand in measurands]
        changes = sorted(
            {hour for hour in (turned_h, self.side_changed.get(place.side)) if hour is not None}, reverse=True
        )
        replaced_at = rng.uniform(0.95, 1.35)
        unread = rng.random() < recipe.unread
        now_h, slipped = 0.0, [False] * len(parts)

        def renewed(changed_h: float, recorded: bool) -> list[_Part]:
            return [replace(self._new_part(place, each, changed_h), changed=not recorded) for each in measurands]

        for turn, at_h in enumerate(self.at_h):
            while changes and changes[-1] <= at_h:
                parts, now_h = [self._until(part, now_h, changes[-1]) for part in parts], changes.pop()
                parts = renewed(now_h, now_h == turned_h)
            grown = [self._until(part, now_h, float(at_h)) for part in parts]
            while worn_out_h := _worn_out_h(parts, grown, replaced_at, now_h, float(at_h)):
                now_h = float(round(min(worn_out_h)))
                recorded = rng.random() < recipe.changed_recorded and place.part not in _CHAIN_PARTS
                if recorded:
                    self.events.append(PartEvent(place, Event.FITTED_NEW, now_h))
                parts = renewed(now_h, recorded)
                grown = [self._until(part, now_h, float(at_h)) for part in parts]
                if not recipe.as_one:
                    break
            parts, now_h = grown, float(at_h)
            if not unread:
                slipped = [
                    self._read(turn, place, each, part.wear) for each, part in zip(measurands, parts, strict=True)
                ]
        for measurand, part, slip in zip(measurands, parts, slipped, strict=True):
            self.truth[place, measurand] = Truth(part.wear, part.rate, part.odd, slip, part.changed)

    def _until(self, part: _Part, from_h: float, to_h: float) -> _Part:
        growth = part.rate * max(to_h - from_h, 0.0)
        noise = self.recipe.noise
        gained = float(self.rng.gamma(growth / noise, noise)) if growth > 0 else 0.0
        return replace(part, wear=part.wear + gained)

    def _read(self, turn: int, place: Place, measurand: Measurand, wear: float) -> bool:
        """Adds the reading; whether it slipped."""
        rng, recipe = self.rng, self.recipe
        limit = next(x for x in self.limits if (x.part, x.measurand) == (place.part, measurand))
        name = USUAL_TOOLS.get(measurand, "calliper")
        if recipe.any_tool and measurand is not Measurand.SLEW_RING_ROCK:
            name = str(rng.choice([tool for tool in DEFAULT_TOOLS if tool != "dial_gauge"]))
        tool = DEFAULT_TOOLS[name]
        joints = 4 if MEASURANDS[measurand].spans_joints else 1
        size_m = float(wear_line(limit).size_m(np.array([wear]))[0]) * joints
        size_m += rng.normal(0, tool.repeatability_m) + rng.uniform(-1, 1) * tool.permitted_error_m
        slipped = bool(rng.random() < recipe.slips)
        if slipped:
            size_m += float(rng.choice([-1, 1]) * rng.uniform(0.001, 0.01))
        step_m = 0.001 if rng.random() < recipe.rounded else tool.resolution_m
        self.readings[turn].append(reading(place, measurand, size_m, tool, joints, step_m))
        return slipped


def _worn_out_h(
    parts: Sequence[_Part], grown: Sequence[_Part], replaced_at: float, from_h: float, to_h: float
) -> list[float]:
    """Hours at which each of those that do not last was so worn."""
    return [
        from_h + (replaced_at - part.wear) / (then.wear - part.wear) * (to_h - from_h)
        for part, then in zip(parts, grown, strict=True)
        if then.wear > replaced_at and part.wear < replaced_at
    ]


def reading(
    place: Place, measurand: Measurand, size_m: float, tool: Tool, joints: int, step_m: float | None = None
) -> Reading:
    """One reading, in steps of the tool or coarser ones, as it would be typed."""
    step_m = step_m or tool.resolution_m
    size_mm = max(round(size_m / step_m), 1) * step_m * 1e3
    typed = parse_length(f"{size_mm:.2f} mm".replace("0 mm", " mm").replace(".0 mm", " mm"))
    return Reading(place, measurand, (typed.si,), tool, joints, (typed,))


def _apart(walk_rounds: Sequence[WalkRound]) -> list[WalkRound]:
    """Days that rise, and no more hours than a day has."""
    found = [walk_rounds[0]]
    for one in walk_rounds[1:]:
        least = math.ceil(max(one.service_h - found[-1].service_h, 1.0) / 24.0) + 1
        day = max(one.date, found[-1].date + dt.timedelta(days=least))
        found.append(replace(one, date=day))
    return found


def read_last(dossier: Dossier) -> list[Reading]:
    """Wear readings of the last walk-round."""
    return [one for one in dossier.walk_rounds[-1].readings if (one.place.part, one.measurand) in TYPICAL_LIFE_H]


def moved(dossier: Dossier, which: Reading, life_used: float) -> Dossier:
    """The same machine with one reading of the last walk-round at another life used."""
    limit = dossier.limit_of(which.place.part, which.measurand)
    assert limit is not None
    size_m = float(wear_line(limit).size_m(np.array([life_used]))[0]) * which.joints
    instead = reading(which.place, which.measurand, size_m, which.tool, which.joints)
    last = dossier.walk_rounds[-1]
    readings = tuple(instead if one is which else one for one in last.readings)
    return replace(dossier, walk_rounds=(*dossier.walk_rounds[:-1], replace(last, readings=readings)))


def without(dossier: Dossier, which: Reading) -> Dossier:
    """The same machine without one reading of the last walk-round."""
    last = dossier.walk_rounds[-1]
    readings = tuple(one for one in last.readings if one is not which)
    return replace(dossier, walk_rounds=(*dossier.walk_rounds[:-1], replace(last, readings=readings)))


def life_read(dossier: Dossier, one: Reading) -> float:
    """Life used a reading shows."""
    limit = dossier.limit_of(one.place.part, one.measurand)
    assert limit is not None
    return float(wear_line(limit).life_used(np.array([one.value_m]))[0])


def old_flat_off(dossier: Dossier, which: Reading) -> float | None:
    """Life used that is taken off a newest reading as an old flat before the part is judged; 0 but for turned bushes.

    None where the reading is of a part taken off that very hour.

    A worse reading is one worse than what is believed after that, so levels begin so much higher: the reading of an old flat
    deeper than all that was read shows a bush better than new, and is rightly disbelieved.
    """
    for life in lives_of(dossier, dossier.walk_rounds[-1].service_h).lives:
        if life.now_fitted and life.traces and life.traces[-1].reading is which:
            return life_read(dossier, which) - life.traces[-1].life_used
    return None


def least_level(dossier: Dossier, which: Reading) -> float:
    """The more worn of what its last reading, carried on at its pace so far, and its fellows say; else 0.3."""
    last = dossier.walk_rounds[-1]
    fellows = [
        life_read(dossier, one)
        for one in last.readings
        if one is not which and (one.place.part, one.measurand) == (which.place.part, which.measurand)
    ]
    known = [float(np.median(fellows))] if fellows else []
    renewed = [event.service_h for event in events_at(dossier, which.place) if event.service_h <= last.service_h]
    for earlier in reversed(dossier.walk_rounds[:-1]):
        before = [x for x in earlier.readings if (x.place, x.measurand) == (which.place, which.measurand)]
        if before and not any(hour >= earlier.service_h for hour in renewed):
            from_h = max(renewed, default=0.0)
            hours_h = max(earlier.service_h - from_h, 1.0)
            known.append(max(life_read(dossier, before[0]), 0.0) * max(last.service_h - from_h, 1.0) / hours_h)
            break
    return max(known, default=0.3)
