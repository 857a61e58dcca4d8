"""Invented machines with four rollers each, walked round three times; on ten of them one roller is changed for wear."""

import datetime as dt

import numpy as np

from pitchline.trade.dossier import Dossier, Limit
from pitchline.trade.ground import GroundClass, GroundSpan
from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.part_events import Because
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.trade.work_done import Did, WorkDone

ROLLERS = [Place(PartKind.BOTTOM_ROLLER, side, number) for side in (Side.LEFT, Side.RIGHT) for number in (1, 2)]
NEW_M, LIMIT_M = 0.160, 0.148
GEAR = RunningGear(
    track=TrackKind.STEEL, joints_per_side=40, pitch_m=0.17, shoe_width_m=0.5, sprocket_teeth=23,
    sprocket_gaps=SprocketGaps.EVERY_SECOND, bottom_rollers_per_side=2, upper_rollers_per_side=1,
)  # fmt: skip


def made_up(machines, seed=7):
    """Invented machines: each roller wears with its machine's own pace, twice as fast on harsh ground."""
    rng = np.random.default_rng(seed)
    return [_machine(number, rng) for number in range(machines)]


def _machine(number, rng):
    harsh = bool(number % 2)
    pace = (2.0 if harsh else 1.0) / 6000 * np.exp(rng.normal(0, 0.25))
    paces = pace * np.exp(rng.normal(0, 0.1, len(ROLLERS)))
    hours, fitted_h = (900.0, 1800.0, 2600.0), np.zeros(len(ROLLERS))
    work = ()
    rounds = []
    for turn, hour in enumerate(hours):
        day = dt.date(2024, 3, 1) + dt.timedelta(days=200 * turn)
        used = paces * (hour - fitted_h)
        size_m = NEW_M - used * (NEW_M - LIMIT_M) + rng.normal(0, 0.0004, len(ROLLERS))
        read = tuple(
            Reading(place, Measurand.TREAD_DIAMETER, (round(float(size), 4),), DEFAULT_TOOLS["calliper"])
            for place, size in zip(ROLLERS, size_m, strict=True)
        )
        rounds.append(WalkRound(day, hour, read))
        if number < 10 and turn == 1:
            work = (WorkDone("w", Did.FITTED_NEW, (ROLLERS[0],), day, hour, day, because=Because.WORN),)
            fitted_h[0] = hour
    return Dossier(
        machine=Machine(f"M{number:02}", f"Machine {number}", MachineKind.EXCAVATOR, 20000.0, "Invented."),
        gear=GEAR,
        limits=(Limit(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, NEW_M, LIMIT_M, source="invented"),),
        ground_spans=(GroundSpan(0.0, 2600.0, GroundClass.HARSH if harsh else GroundClass.MIDDLING),),
        walk_rounds=tuple(rounds),
        work=work,
    )
