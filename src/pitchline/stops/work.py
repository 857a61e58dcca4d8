"""Work that falls due, place by place: from outlook, findings and settings to calls."""

from dataclasses import dataclass

from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.machine import LifeOutlook
from pitchline.stops.jobs import job_at_limit, job_of_finding, pieces_at, target_of
from pitchline.trade.calls import Call, CallRule, Stake
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import CONSEQUENCES, Finding, FindingKind
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import MEASURANDS
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.units import show_hours


@dataclass(frozen=True, slots=True)
class Work:
    """One job at one place, and why.

    Parameters
    ----------
    job : JobKind
        What is done.
    asked_by : Place
        The part that asks for it.
    place : Place
        Where it is done.
    call : Call
        Run, book or stop.
    because : str
        Why, in one sentence.
    pieces : int
        Pieces it takes there, from 1.
    part_row : int or None
        Row of the part's outlook; None for findings and settings.
    due : HoursLeft or None
        Hours until it is due; None for findings and settings.
    chance : float
        Chance that it falls due inside the booking window [1].
    stake : Stake or None
        What the call is about; None for run.
    outlives : bool
        Whether what it looks for outlives a new part, as a cause of one-sided wear does.
    along : str
        Why it is done with the rest though nothing presses for it yet; empty where it stands by itself.

    References
    ----------
    Our own rule; see docs/explanation/calls.md.
    """

    job: JobKind
    asked_by: Place
    place: Place
    call: Call
    because: str
    pieces: int
    part_row: int | None = None
    due: HoursLeft | None = None
    chance: float = 1.0
    stake: Stake | None = None
    outlives: bool = False
    along: str = ""


def in_a_hundred(chance: float) -> str:
    """A chance in words.

    Parameters
    ----------
    chance : float
        From 0 to 1 [1].

    Returns
    -------
    str
        Such as "64 in 100".

    References
    ----------
    Definition.

    Examples
    --------
    >>> in_a_hundred(0.64), in_a_hundred(0.999), in_a_hundred(0.001)
    ('64 in 100', 'over 99 in 100', 'under 1 in 100')
    """
    if chance > 0.99:
        return "over 99 in 100"
    return "under 1 in 100" if chance < 0.01 else f"{chance * 100:.0f} in 100"


def wear_work(
    dossier: Dossier,
    row: int,
    outlook: LifeOutlook,
    turnable: bool,
    chance_in_window: float,
    window_h: float | None,
) -> Work:
    """The work one worn quantity asks for, whenever it is due.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    row : int
        Row of the outlook.
    outlook : LifeOutlook
        The part's outlook.
    turnable : bool
        Whether the bushes of that side are still on their first face.
    chance_in_window : float
        Chance of being due inside the booking window [1].
    window_h : float or None
        The booking window [h]; None where hours a week are not known.

    Returns
    -------
    Work
        A part that was not read is never called stop, and is to be measured rather than changed. A part whose newest reading
        is past the limit stops the machine even where everything else makes that reading hard to believe.

    References
    ----------
    Our own rule; see docs/explanation/calls.md.
    """
    life = outlook.life
    limit = life.line.limit
    label = MEASURANDS[life.measurand].label
    past = outlook.to_limit.chance_now >= dossier.call_rule.stop_chance
    turns = outlook.to_turn is not None and not past
    job = JobKind.TURN if turns else job_at_limit(limit, turnable and not past)
    due = outlook.due if turns else outlook.to_limit
    call = _call(dossier.call_rule, past and job is not JobKind.TURN, chance_in_window)
    read = bool(life.traces)
    if past and job is JobKind.TURN:
        call = Call.STOP
    if not read:
        call = Call.BOOK if call is Call.STOP else call
        job = JobKind.INVESTIGATE
    because = _wear_reason(
        call, label, read, past, turns, due, chance_in_window, window_h, dossier.call_rule.book_chance
    )
    if read and not past and life.traces[-1].life_used >= 1.0:
        job, call, due = JobKind.INVESTIGATE, Call.STOP, outlook.to_limit
        because = (
            f"The {label} was read past its limit, though by all that is known the chance of that is "
            f"{in_a_hundred(due.chance_now)}: measure again first."
        )
    place = target_of(job, life.place)
    return Work(
        job, life.place, place, call, because, pieces_at(job, place.part, dossier.gear), row, due, chance_in_window
    )


def _call(rule: CallRule, past_limit: bool, chance_in_window: float) -> Call:
    if past_limit:
        return Call.STOP
    return Call.BOOK if chance_in_window >= rule.book_chance else Call.RUN


def _wear_reason(
    call: Call,
    label: str,
    read: bool,
    past: bool,
    turns: bool,
    due: HoursLeft,
    chance_in_window: float,
    window_h: float | None,
    book_chance: float,
) -> str:
    what = "turn point" if turns else "wear limit"
    unread = "" if read else " It was not read: measure it before anything is ordered."
    if past:
        return f"The {label} is past its limit already with a chance of {in_a_hundred(due.chance_now)}.{unread}"
    if call is Call.RUN:
        return f"The {label} reaches its {what} in about {show_hours(due.middle)}.{unread}"
    if due.chance_now >= 0.5:
        return f"The {label} is past its {what} already with a chance of {in_a_hundred(due.chance_now)}.{unread}"
    if window_h is None:
        return f"The {label} may be at its {what} now, with a chance of {in_a_hundred(due.chance_now)}.{unread}"
    booked_from = f"; work is booked from {in_a_hundred(book_chance)} on" if chance_in_window < 0.5 else ""
    return (
        f"The {label} reaches its {what} within the next {show_hours(window_h)}, the booking window, with a chance of "
        f"{in_a_hundred(chance_in_window)}{booked_from}.{unread}"
    )


def finding_work(finding: Finding, dossier: Dossier) -> Work:
    """The work a finding asks for.

    Parameters
    ----------
    finding : Finding
        What was seen.
    dossier : Dossier
        The machine.

    Returns
    -------
    Work
        Due now.

    References
    ----------
    What a finding leads to is common practice, no source.
    """
    job = job_of_finding(finding)
    place = target_of(job, finding.place)
    counted = job is JobKind.REFIT_BOLTS or place.part in (PartKind.SHOE, PartKind.PAD)
    pieces = finding.count if counted else pieces_at(job, place.part, dossier.gear)
    because = f"Seen: {finding.words}; {CONSEQUENCES[finding.kind].because}."
    chance = 0.0 if finding.call is Call.RUN else 1.0
    outlives = finding.kind is FindingKind.UNEVEN_TREAD
    return Work(job, finding.place, place, finding.call, because, pieces, chance=chance, outlives=outlives)
