"""Verdicts to draw: the judged demo yard, and hand-made ones for pinned drawings and extremes. All of it is invented."""

import datetime as dt
from dataclasses import replace

import pytest

from pitchline.trade.calls import Call, CallRule
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.ground import GroundClass
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.trade.units import Typed
from pitchline.verdict import METHOD, Course, HoursLeft, Judged, PartVerdict, SizeBand, Verdict
from said import written

KINDS = (1, 3, 4, 6, 7, 8, 12, 15, 16)
"""Rubber, both kinds of pads, raised sprocket, steel, past its limits, paver, part-worn, wide without all limits."""
DAY = dt.date(2026, 11, 12)
# part: measurand, new and limit [mm], life used left and right, hours from new to limit
TABLE = {
    PartKind.CHAIN: (Measurand.PITCH, 190.0, 195.5, 0.5, 0.4, 5000.0),
    PartKind.BUSH: (Measurand.BUSH_OD_FORWARD, 60.0, 54.5, 0.46, 0.40, 5200.0),
    PartKind.LINK: (Measurand.RAIL_HEIGHT, 105.0, 95.0, 0.35, 0.30, 7000.0),
    PartKind.SHOE: (Measurand.GROUSER_HEIGHT, 26.0, 12.0, 0.60, 0.61, 5000.0),
    PartKind.BOTTOM_ROLLER: (Measurand.TREAD_DIAMETER, 160.0, 146.0, 0.45, 0.48, 6500.0),
    PartKind.UPPER_ROLLER: (Measurand.TREAD_DIAMETER, 126.0, 112.0, 0.30, 0.33, 8000.0),
    PartKind.IDLER: (Measurand.TREAD_DEPTH, 18.0, 26.0, 0.35, 0.37, 9000.0),
    PartKind.SPROCKET: (Measurand.ROOT_DIAMETER, 584.0, 573.0, 0.66, 0.64, 4800.0),
}


def reading_of(place, measurand, size_m):
    joints = 4 if measurand is Measurand.PITCH else 1
    whole = size_m * joints
    typed = (Typed(f"{whole * 1e3:.1f}", "mm", whole),)
    return Reading(place, measurand, (whole,), DEFAULT_TOOLS["calliper"], joints, typed)


def course_of(new_m, limit_m, used, left, turn):
    """A plain course: straight from new at 0 h over today, 3 % wide, to the limit."""
    size = lambda life: new_m + life * (limit_m - new_m)  # noqa: E731
    bands = tuple(
        SizeBand(hours, size(life - wide), size(life), size(life + wide))
        for hours, life, wide in ((0.0, 0.0, 0.01), (1620.0, 0.7 * used, 0.03), (2380.0, used, 0.03))
    )
    now = bands[-1]
    edges = [
        ((2380.0, start), (2380.0 + hours, limit_m))
        for start, hours in ((now.worst_m, left.cautious), (now.middle_m, left.middle), (now.best_m, left.hopeful))
    ]
    return Course(bands, *edges, size(0.5) if turn else None)


def part_of(place):
    """One part from the table; what is not in it was only looked at."""
    if place.part not in TABLE:
        return PartVerdict(place, Call.RUN, written("Looked at only."), None, None, None, (), ())
    measurand, new, limit, left, right, life = TABLE[place.part]
    used = left if place.side is Side.LEFT else right
    size_m = (new + used * (limit - new)) / 1e3
    left_h = (1 - used) * life
    to_limit = HoursLeft(0.75 * left_h, left_h, 1.3 * left_h, 0.0)
    turn = HoursLeft(20.0, 190.0, 480.0, 0.05) if place.part is PartKind.BUSH else None
    course = course_of(new / 1e3, limit / 1e3, used, to_limit, turn)
    judged = Judged(
        place, measurand, "judged", reading_of(place, measurand, size_m), DAY, size_m, 0.0003, 0.0006, new / 1e3,
        limit / 1e3, used, 0.03, to_limit=to_limit, to_turn=turn, readings=2, course=course,
    )  # fmt: skip
    call = Call.BOOK if turn else Call.RUN
    job = JobKind.TURN if turn else JobKind.REPLACE
    return PartVerdict(place, call, written("Invented for a test."), job, turn or to_limit, None, (judged,), ())


def verdict_of(gear, name="Number 7", judged=True):
    """A verdict put together by hand; without judging, nothing but the running gear is known."""
    bare = lambda place: PartVerdict(place, Call.RUN, written("Nothing known."), None, None, None, (), ())  # noqa: E731
    parts = tuple(part_of(place) if judged else bare(place) for place in gear.places())
    readings = tuple(one.reading for part in parts for one in part.judged)
    earlier = tuple(
        replace(
            one,
            repeats_m=(one.repeats_m[0] * (1.01 if one.measurand is not Measurand.PITCH else 0.995),),
            typed=(),
        )
        for one in readings
    )
    rounds = (WalkRound(dt.date(2026, 3, 2), 1620.0, earlier), WalkRound(DAY, 2380.0, readings)) if judged else ()
    return Verdict(
        machine=Machine("y7", name, MachineKind.EXCAVATOR, 20_300.0, "Invented for a test."), gear=gear, as_of=DAY,
        from_service_h=2380.0, from_reason=written("read that day"), call=Call.RUN, headline=written(""), next_due=None,
        next_due_dates=None, next_due_place=None, next_due_job=None, money_now=None, money_window=None, not_priced=(),
        parts=parts, sets=(), jobs=(), suspicions=(), remarks=(), walk_rounds=rounds, ground=GroundClass.MIDDLING,
        utilisation=None, call_rule=CallRule(), window_h=None, method=METHOD, version="0",
    )  # fmt: skip


@pytest.fixture(scope="session")
def yard(judged_demo):
    """Machines of every kind of the demo yard, judged with their newest sheets."""
    return [judged_demo(number) for number in KINDS]


@pytest.fixture(scope="session")
def plain():
    """A steel excavator made by hand, one roller leaking: the subject of the pinned drawings."""
    gear = RunningGear(
        TrackKind.STEEL,
        47,
        0.187,
        0.57,
        25,
        SprocketGaps.EVERY_SECOND,
        8,
        2,
        (1, 8),
        grousers_per_shoe=3,
        slew_ring=True,
    )
    verdict = verdict_of(gear)
    leaking = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 5)
    finding = Finding(leaking, FindingKind.LEAK, Severity.SEVERE)
    parts = tuple(
        replace(part, call=Call.STOP, findings=(finding,)) if part.place == leaking else part
        for part in verdict.parts
    )
    return replace(verdict, parts=parts, call=Call.STOP)


@pytest.fixture(scope="session")
def extremes():
    """Tiny and huge, few and many, long names, nothing known."""
    steel, rubber, second, each = TrackKind.STEEL, TrackKind.RUBBER, SprocketGaps.EVERY_SECOND, SprocketGaps.EACH
    long_name = "The long-reach machine that came back from the dredging job with two booms and no papers, number forty-one"
    return [
        verdict_of(RunningGear(steel, 60, 0.19, 0.9, 27, second, 12, 3, grousers_per_shoe=3), long_name),
        verdict_of(RunningGear(steel, 30, 0.1, 0.2, 21, second, 5, 0, grousers_per_shoe=1), "Tiny", judged=False),
        verdict_of(
            RunningGear(steel, 58, 0.45, 1.2, 23, second, 11, 3, grousers_per_shoe=2), "Huge", judged=False
        ),
        verdict_of(RunningGear(rubber, 72, 0.045, 0.18, 17, each, 3, 0), "Small rubber", judged=False),
        verdict_of(
            RunningGear(steel, 40, 0.17, 0.5, 11, each, 0, 2, grousers_per_shoe=1), "No rollers", judged=False
        ),
    ]
