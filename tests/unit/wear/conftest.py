"""A machine, its limits and a short way to write readings, all invented."""

import datetime as dt
from dataclasses import replace

import pytest

from pitchline.trade.dossier import Dossier, Limit, LineShape, PermittedRange
from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.trade.units import parse_length

LIMITS = (
    Limit(PartKind.CHAIN, Measurand.PITCH, 0.187, 0.1927),
    Limit(PartKind.BUSH, Measurand.BUSH_OD_FORWARD, 0.059, 0.053, shape=LineShape.FLAT_ON_ROUND),
    Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, 0.104, 0.094),
    Limit(PartKind.SHOE, Measurand.GROUSER_HEIGHT, 0.026, 0.014),
    Limit(PartKind.BOTTOM_ROLLER, Measurand.TREAD_DIAMETER, 0.160, 0.142),
    Limit(PartKind.SLEW_RING, Measurand.SLEW_RING_ROCK, 0.0003, 0.002),
)
BANDS = (PermittedRange(PartKind.CHAIN, Measurand.SAG, 0.030, 0.055),)


@pytest.fixture
def gear():
    return RunningGear(
        track=TrackKind.STEEL,
        joints_per_side=47,
        pitch_m=0.187,
        shoe_width_m=0.57,
        sprocket_teeth=25,
        sprocket_gaps=SprocketGaps.EVERY_SECOND,
        bottom_rollers_per_side=8,
        upper_rollers_per_side=2,
        adjuster_stroke_m=0.15,
        slew_ring=True,
    )


@pytest.fixture
def dossier(gear):
    machine = Machine("invented-1", "Invented excavator", MachineKind.EXCAVATOR, note="invented")
    return Dossier(machine, gear, limits=LIMITS, ranges=BANDS)


@pytest.fixture
def read():
    """Write a reading as typed: read("chain", "pitch", "749.6", joints=4)."""

    def write(part, measurand, *texts, side="left", position=0, joints=1, tool="calliper", unit="mm", kept=""):
        typed = tuple(parse_length(text, unit) for text in texts)
        side = Side.NONE if part == "slew_ring" else Side(side)
        place = Place(PartKind(part), side, position)
        repeats_m = tuple(one.si for one in typed)
        return Reading(place, Measurand(measurand), repeats_m, DEFAULT_TOOLS[tool], joints, typed, kept)

    return write


@pytest.fixture
def visit():
    """A walk-round on a day of 2026 counted from January 1st."""

    def write(*readings, day=200, service_h=3000.0):
        return WalkRound(dt.date(2026, 1, 1) + dt.timedelta(days=day), service_h, tuple(readings))

    return write


@pytest.fixture
def with_visits():
    """The dossier with earlier walk-rounds and events."""

    def write(dossier, *walk_rounds, events=()):
        return replace(dossier, walk_rounds=walk_rounds, events=tuple(events))

    return write
