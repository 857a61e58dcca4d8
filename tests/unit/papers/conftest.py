"""Sample verdicts. Everything in them is invented for these tests: machines, sizes, limits and prices."""

import datetime as dt
import io
from dataclasses import replace

import pypdf
import pytest

from pitchline.trade.calls import Call, CallRule
from pitchline.trade.dossier import Utilisation
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.ground import GroundClass
from pitchline.trade.jobs import JobKind, cautions_of
from pitchline.trade.machine import Machine, MachineKind, RunningGear, SprocketGaps, TrackKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.trade.units import Typed
from pitchline.verdict import (
    METHOD,
    Dates,
    HoursLeft,
    Job,
    Judged,
    Money,
    PartVerdict,
    SetOutlook,
    Verdict,
    Why,
)
from pitchline.wear.suspicion import Suspicion
from pitchline.words.names import named
from said import written

AS_OF = dt.date(2026, 11, 12)
L, R = Side.LEFT, Side.RIGHT
P, M = PartKind, Measurand
# part: (measurand, tool, joints, new [mm], limit [mm], life used left, life used right, hours from new to limit)
STEEL = {
    P.CHAIN: (M.PITCH, "tape", 4, 187.0, 192.7, 0.62, 0.58, 6000),
    P.BUSH: (M.BUSH_OD_FORWARD, "calliper", 1, 60.0, 54.5, 0.42, 0.38, 5200),
    P.LINK: (M.RAIL_HEIGHT, "depth_gauge", 1, 105.0, 98.0, 0.55, 0.52, 5800),
    P.SHOE: (M.GROUSER_HEIGHT, "depth_gauge", 1, 26.0, 14.0, 0.60, 0.61, 5000),
    P.BOTTOM_ROLLER: (M.TREAD_DIAMETER, "outside_calliper", 1, 160.0, 144.0, 0.45, 0.48, 6500),
    P.UPPER_ROLLER: (M.TREAD_DIAMETER, "outside_calliper", 1, 140.0, 126.0, 0.30, 0.33, 8000),
    P.IDLER: (M.TREAD_DEPTH, "depth_gauge", 1, 18.0, 24.0, 0.35, 0.37, 9000),
    P.SPROCKET: (M.TOOTH_THICKNESS, "calliper", 1, 58.0, 48.0, 0.66, 0.64, 4800),
}
RUBBER = {
    P.RUBBER_TRACK: (M.LUG_HEIGHT, "depth_gauge", 1, 22.0, 7.0, 0.71, 0.69, 1500),
    P.BOTTOM_ROLLER: (M.TREAD_DIAMETER, "outside_calliper", 1, 110.0, 100.0, 0.40, 0.43, 3500),
    P.UPPER_ROLLER: (M.TREAD_DIAMETER, "outside_calliper", 1, 90.0, 80.0, 0.25, 0.25, 4500),
    P.IDLER: (M.TREAD_DEPTH, "depth_gauge", 1, 12.0, 17.0, 0.28, 0.30, 4000),
    P.SPROCKET: (M.TOOTH_THICKNESS, "calliper", 1, 30.0, 24.0, 0.52, 0.50, 2500),
}


def dates_of(left: HoursLeft, a_week: float = 38.0) -> Dates:
    """Days at three paces."""
    weeks = (left.cautious / (a_week * 1.2), left.middle / a_week, left.hopeful / (a_week * 0.8))
    return Dates(*(AS_OF + dt.timedelta(weeks=w) if w < 1040 else None for w in weeks))


def outlook(middle_h: float) -> HoursLeft:
    """Hours left with a lognormal-like range."""
    return HoursLeft(0.62 * middle_h, middle_h, 1.5 * middle_h, 0.5 if middle_h < 5 else 0.01)


def judged_of(place: Place, table: dict, shift: float) -> Judged:
    """One judged quantity from the table above."""
    measurand, tool, joints, new, limit, left, right, life = table[place.part]
    used = (left if place.side is L else right) + shift
    value = round(new + used * (limit - new), 1) / 1e3
    typed = f"{value * joints * 1e3:.1f}"
    reading = Reading(
        place,
        measurand,
        (round(value * joints, 6),),
        DEFAULT_TOOLS[tool],
        joints,
        (Typed(typed, "mm", value * joints),),
    )
    why = (
        Why(
            "typical life",
            written(f"{life:,} h on middling ground, spread 0.5"),
            written("the yard's own expectation"),
        ),
        Why("limit", written(f"{new:g} to {limit:g} mm"), written("invented example, yard sheet 3")),
        Why("reading doubt", written("tool, hand and resolution put together"), written("GUM (JCGM 100)")),
        Why("ground", written("middling now, sharp from 5,200 h to 6,100 h"), written("entered by the yard")),
    )
    turning = place.part is P.BUSH
    to_limit = outlook((1 - used) * life)
    return Judged(
        place, measurand, "judged", reading, AS_OF, value, 0.0004 / joints, 0.0008 / joints, new / 1e3, limit / 1e3,
        used, 0.03, False, to_limit, outlook(max(0.5 - used, 0) * life) if turning else None,
        outlook(2400.0) if turning else None, readings=2, why=why,
    )  # fmt: skip


def part_of(place: Place, table: dict, window_h: float, finding: Finding | None, shift: float) -> PartVerdict:
    """The call on one part, from its judged quantity and what was seen."""
    findings = (finding,) if finding else ()
    forced = finding.call if finding else Call.RUN
    if place.part not in table:
        job = finding.job if finding else None
        return PartVerdict(place, forced, written("Looked at only."), job, None, None, (), findings)
    judged = judged_of(place, table, shift)
    due = judged.to_turn or judged.to_limit
    own = Call.BOOK if due.cautious < window_h else Call.RUN
    call = max(own, forced, key=lambda call: call.rank)
    job = finding.job if finding else JobKind.TURN if judged.to_turn else JobKind.REPLACE
    return PartVerdict(
        place, call, written(f"Due in about {due.middle:.0f} h."), job, due, dates_of(due), (judged,), findings
    )


def gear_under(part: P) -> RunningGear:
    """A running gear with such a part, for the cautions alone."""
    track = TrackKind.RUBBER if part is P.RUBBER_TRACK else TrackKind.STEEL
    return RunningGear(track, 45, 0.2, 0.6, 23, SprocketGaps.EACH, 7, 2)


def job_of(kind: JobKind, parts: list[PartVerdict], price: Money | None, needed: tuple, because: str) -> Job:
    """One job over some parts."""
    worst = min(parts, key=lambda part: part.due.middle if part.due else 0.0)
    call = max((part.call for part in parts), key=lambda call: call.rank)
    due = worst.due if call is not Call.STOP else None
    where = tuple(part.place for part in parts)
    cautions = cautions_of(kind, where[0].part, gear_under(where[0].part))
    return Job(
        kind, where[0].part, where, call, written(because), due, worst.dates if due else None,
        {Call.RUN: 0.0, Call.BOOK: 0.34, Call.STOP: 1.0}[call],
        tuple((written(piece), count) for piece, count in needed), 6.0 if price else None, price,
        () if price else (written(f"{named(kind)} {where[0].part.value.replace('_', ' ')}"),), cautions,
    )  # fmt: skip


def eur(usual: float) -> Money:
    """An amount in euros."""
    return Money(0.85 * usual, usual, 1.2 * usual, "EUR")


def verdict_of(machine, gear, table, findings, headline, jobs_of) -> Verdict:
    """A verdict put together from its parts."""
    window_h = 304.0
    seen = {finding.place: finding for finding in findings}
    parts = tuple(
        part_of(
            place,
            table,
            window_h,
            seen.get(place),
            0.015 * ((place.position * 7) % 5 - 2) if place.position else 0,
        )
        for place in gear.places()
    )
    jobs = tuple(jobs_of(parts))
    soonest = min((part for part in parts if part.due), key=lambda part: part.due.middle)
    now = sum(job.price.usual for job in jobs if job.price and job.call is Call.STOP)
    window = sum(job.price.usual for job in jobs if job.price and job.call is not Call.RUN)
    rollers = tuple(part.place for part in parts if part.place.part is P.BOTTOM_ROLLER)
    walk_rounds = (
        WalkRound(dt.date(2026, 3, 2), 6120.0, (), (), "M. (invented)"),
        WalkRound(AS_OF, 7420.0, tuple(j.reading for p in parts for j in p.judged), findings, "M. (invented)"),
    )
    return Verdict(
        machine=machine, gear=gear, as_of=AS_OF, from_service_h=7420.0, from_reason=written("read that day"),
        call=max((part.call for part in parts), key=lambda call: call.rank), headline=written(headline),
        next_due=soonest.due, next_due_dates=soonest.dates, next_due_place=soonest.place, next_due_job=soonest.job,
        money_now=eur(now), money_window=eur(window), not_priced=tuple(x for job in jobs for x in job.not_priced),
        parts=parts, sets=(SetOutlook(P.BOTTOM_ROLLER, rollers, outlook(1900.0), dates_of(outlook(1900.0))),),
        jobs=jobs, suspicions=(), remarks=(
            written("Typical lives are this project's weak ones: enter the yard's own removals to narrow the range."),
            written("Ground of the hours to come was taken as middling."),
        ),
        walk_rounds=walk_rounds, ground=GroundClass.MIDDLING, utilisation=Utilisation(30.0, 38.0, 46.0),
        call_rule=CallRule(), window_h=window_h, method=METHOD, version="0.1.0",
    )  # fmt: skip


def of_kind(parts, kind, *, stop=None):
    """Parts of one kind, those called stop left out or alone."""
    found = [part for part in parts if part.place.part is kind]
    return found if stop is None else [part for part in found if (part.call is Call.STOP) is stop]


def steel_jobs(parts):
    """Jobs of the steel excavator."""
    yield job_of(
        JobKind.REPLACE, of_kind(parts, P.BOTTOM_ROLLER, stop=True), eur(640.0), (("bottom roller", 1),),
        "It leaks badly: a part that loses its oil runs hot and seizes.",
    )  # fmt: skip
    yield job_of(
        JobKind.TURN, of_kind(parts, P.BUSH), eur(3510.0), (("bush", 94), ("seal", 188)),
        "Half the forward face is worn by then, and the other face still has its metal.",
    )  # fmt: skip
    yield job_of(
        JobKind.INVESTIGATE,
        of_kind(parts, P.FINAL_DRIVE)[:1],
        None,
        (),
        "A slight leak; find where it comes from.",
    )
    yield job_of(
        JobKind.REPLACE, of_kind(parts, P.SPROCKET), eur(2180.0), (("sprocket", 2), ("sprocket bolt", 40)),
        "Tooth thickness reaches the yard's limit.",
    )  # fmt: skip
    yield job_of(JobKind.REFIT_BOLTS, of_kind(parts, P.SHOE)[1:], None, (("shoe bolt and nut", 5),),
                 "Five shoe bolts are loose: a loose part works its holes.")  # fmt: skip
    yield job_of(JobKind.RESHOE, of_kind(parts, P.SHOE)[:1], eur(5900.0), (("shoe", 94), ("shoe bolt and nut", 376)),
                 "Grousers reach the yard's limit.")  # fmt: skip
    yield job_of(
        JobKind.REPLACE, of_kind(parts, P.CHAIN), eur(9400.0), (("chain", 2),), "Pitch reaches the limit."
    )


@pytest.fixture
def excavator() -> Verdict:
    """A steel excavator with run, book and stop parts."""
    gear = RunningGear(
        TrackKind.STEEL, 47, 0.187, 0.570, 25, SprocketGaps.EVERY_SECOND, 8, 2, grousers_per_shoe=3, slew_ring=True
    )
    findings = (
        Finding(Place(P.BOTTOM_ROLLER, L, 6), FindingKind.LEAK, Severity.SEVERE, note="oil down the guard"),
        Finding(Place(P.FINAL_DRIVE, R), FindingKind.LEAK, Severity.SLIGHT),
        Finding(Place(P.SHOE, R), FindingKind.LOOSE_BOLTS, Severity.CLEAR, 5),
    )
    machine = Machine("Y7", "Number 7", MachineKind.EXCAVATOR, 21_500.0, "Invented example.")
    verdict = verdict_of(
        machine, gear, STEEL, findings,
        "Do not work it before bottom roller 6 on the left is replaced; book the bush turn for January.", steel_jobs,
    )  # fmt: skip
    reading = verdict.parts[0].judged[0].reading
    wrong = Suspicion(
        reading,
        AS_OF,
        written("This pitch looks as if it spans 4 joints, not 3: did you mean over 4 joints?"),
        None,
        4,
        held=True,
    )
    return replace(verdict, suspicions=(wrong,))


def rubber_jobs(parts):
    """Jobs of the rubber-tracked mini."""
    yield job_of(JobKind.REPLACE, of_kind(parts, P.RUBBER_TRACK), eur(1450.0), (("rubber track", 2),),
                 "Lugs reach the yard's limit.")  # fmt: skip


@pytest.fixture
def mini() -> Verdict:
    """A rubber-tracked mini excavator, nothing called stop."""
    gear = RunningGear(TrackKind.RUBBER, 80, 0.0525, 0.300, 19, SprocketGaps.EACH, 4, 1, slew_ring=True)
    machine = Machine("Y2", "Mini 2", MachineKind.EXCAVATOR, 2_700.0)
    return verdict_of(machine, gear, RUBBER, (), "Book new rubber tracks.", rubber_jobs)


@pytest.fixture
def empty() -> Verdict:
    """A machine nobody has gone round: no limits, no prices, no hours a week."""
    gear = RunningGear(TrackKind.STEEL, 45, 0.209, 0.545, 23, SprocketGaps.EVERY_SECOND, 6, 1)
    parts = tuple(
        PartVerdict(p, Call.RUN, written("Nothing known."), None, None, None, (), ()) for p in gear.places()
    )
    return Verdict(
        machine=Machine("Y9", "Number 9", MachineKind.DOZER), gear=gear, as_of=AS_OF, from_service_h=0.0,
        from_reason=written("no walk-round yet"), call=Call.RUN,
        headline=written("Nothing can be said before the first walk-round."),
        next_due=None, next_due_dates=None, next_due_place=None, next_due_job=None, money_now=None, money_window=None,
        not_priced=(), parts=parts, sets=(), jobs=(), suspicions=(), remarks=(written("No limit entered for any part."),),
        walk_rounds=(), ground=GroundClass.MIDDLING, utilisation=None, call_rule=CallRule(), window_h=None,
        method=METHOD, version="0.1.0",
    )  # fmt: skip


@pytest.fixture
def all_run(excavator) -> Verdict:
    """The excavator with nothing to do."""
    parts = tuple(replace(part, call=Call.RUN, findings=()) for part in excavator.parts)
    return replace(
        excavator, call=Call.RUN, headline=written("Run it: nothing falls due in the next 8 weeks."), parts=parts, jobs=(),
        money_now=eur(0.0), money_window=eur(0.0), suspicions=(), remarks=(), not_priced=(),
    )  # fmt: skip


@pytest.fixture
def all_stop(excavator) -> Verdict:
    """The excavator with everything past its limit, and no price list."""
    past = HoursLeft(0.0, 0.0, 2.0, 0.97)
    parts = tuple(replace(part, call=Call.STOP, due=past if part.due else None) for part in excavator.parts)
    jobs = tuple(
        replace(
            job,
            call=Call.STOP,
            due=None,
            dates=None,
            price=None,
            labour_h=None,
            not_priced=(written("price list"),),
        )
        for job in excavator.jobs
    )
    return replace(
        excavator, call=Call.STOP, parts=parts, jobs=jobs, next_due=past, money_now=None, money_window=None
    )


@pytest.fixture
def long_machine() -> Verdict:
    """A machine with a very long name and twelve bottom rollers a side, every one of them read."""
    gear = RunningGear(TrackKind.STEEL, 60, 0.260, 0.900, 27, SprocketGaps.EVERY_SECOND, 12, 3, slew_ring=True)
    name = "The long-reach machine that came back from the dredging job with two booms and no papers, number forty-one"
    return verdict_of(
        Machine("Y41", name, MachineKind.EXCAVATOR, 78_000.0),
        gear,
        STEEL,
        (),
        "Book the bush turn.",
        steel_jobs_long,
    )


def steel_jobs_long(parts):
    """Jobs of the long machine."""
    yield job_of(JobKind.TURN, of_kind(parts, P.BUSH), eur(7200.0), (("bush", 120),), "Half worn by then.")
    yield job_of(JobKind.REPLACE, of_kind(parts, P.BOTTOM_ROLLER), eur(18_400.0), (("bottom roller", 24),),
                 "Treads reach the yard's limit.")  # fmt: skip


@pytest.fixture
def text_of():
    """The text of a PDF with every run of white space as one space."""

    def read(pdf: bytes) -> str:
        pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
        return " ".join(" ".join(page.extract_text() for page in pages).split())

    return read
