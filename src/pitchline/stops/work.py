"""Work that falls due, place by place: from outlook, findings and settings to calls.

See docs/explanation/calls.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.lives import Life
from pitchline.outlook.machine import LifeOutlook
from pitchline.stops.doubted import Doubted
from pitchline.stops.jobs import bolts_at, job_at_limit, job_of_finding, pieces_at, target_of
from pitchline.trade.bolts import PIECES
from pitchline.trade.calls import Call, Stake
from pitchline.trade.dossier import Dossier, Limit
from pitchline.trade.findings import Finding, FindingKind, joined, joint_call, why_it_matters
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import Place
from pitchline.trade.past_limit import PastLimit, past_limit
from pitchline.trade.saying import Saying, saying, then

_LIKELY = 0.5
"""Chance of falling due in the booking window from which a part read past its limit is booked all the same [1]: our own."""
_FAR_APART = 0.25
"""Life used by which a reading on a turned bush must lie above what is judged to be asked about [1]: our own choice."""


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
    because : Saying
        Why.
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
    along : Saying or None
        Why it is done with the rest though nothing presses for it yet; None where it stands by itself.
    undecided : Saying or None
        What speaks for measuring before it is decided, where it is worth about what it costs; None where it is decided.
    """

    job: JobKind
    asked_by: Place
    place: Place
    call: Call
    because: Saying
    pieces: int
    part_row: int | None = None
    due: HoursLeft | None = None
    chance: float = 1.0
    stake: Stake | None = None
    outlives: bool = False
    along: Saying | None = None
    undecided: Saying | None = None


def wear_work(
    dossier: Dossier,
    row: int,
    outlook: LifeOutlook,
    turnable: bool,
    chance_in_window: float,
    window_h: float,
    doubted: Doubted | None = None,
) -> Work:
    """The work one worn quantity that was read asks for, whenever it is due.

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
    window_h : float
        The booking window [h].
    doubted : Doubted or None
        Both explanations of its newest reading, where that is not understood and would be bad news.

    Returns
    -------
    Work
        A part that is past its limit has the call of `past_limit`, and so has one whose newest reading is past it, even where
        everything else makes that reading hard to believe: then it is to be measured again first, or where it is only worn out
        and likely due in the booking window all the same, before the new part is ordered. A newest reading that is not
        understood is booked to be measured again; where its work falls due in the booking window all the same, that work is
        booked and both explanations stand beside it. Where like readings bear it out, its cause is booked to be looked for
        instead. By an assumed limit nothing is stopped before it is past the most generous limit too: till then it is booked for
        now, and the limit is looked up before it works on.
    """
    life = outlook.life
    limit = life.line.limit
    past = bool(life.traces) and outlook.to_limit.chance_now >= dossier.call_rule.stop_chance
    read_past = bool(life.traces) and life.traces[-1].worst >= 1.0
    turns = outlook.to_turn is not None and not past
    job = JobKind.TURN if turns else job_at_limit(limit, turnable and not past)
    due = outlook.due if turns else outlook.to_limit
    beyond, confirm = _beyond(outlook, doubted)
    books = chance_in_window >= dossier.call_rule.book_chance
    call, stake = (Call.BOOK, Stake.FALLS_DUE) if books else (Call.RUN, None)
    if past:
        call, stake = beyond.call, beyond.stake
    because = _wear_reason(
        saying(beyond.because),
        call,
        life.measurand,
        past,
        turns,
        due,
        chance_in_window,
        window_h,
        dossier.call_rule.book_chance,
    )
    cause = doubted.cause if doubted is not None else None
    if cause and not (past or read_past or books):
        return Work(
            JobKind.INVESTIGATE, life.place, life.place, Call.BOOK, cause, 1, stake=Stake.SEEN, outlives=True
        )
    unlikely = doubted is not None and (doubted.held or doubted.so_soon_h is not None)
    open_question = doubted is not None and not cause and (unlikely or not books)
    books_past = beyond.call is Call.BOOK and not confirm
    due_anyway = read_past and chance_in_window >= _LIKELY and books_past and not open_question
    again = not past and (open_question or (read_past and not due_anyway) or _not_said(outlook))
    if again:
        certain = read_past or (doubted is not None and doubted.past_either_way)
        call = beyond.call if certain else Call.BOOK
        stake = beyond.stake if call is Call.STOP else Stake.CONFIRM if certain and confirm else Stake.MEASURE
        because = then(
            _again_because(None if cause else doubted, read_past, outlook), by_rule(limit, certain and confirm)
        )
        return Work(JobKind.MEASURE, life.place, life.place, call, because, 1, row, stake=stake)
    if due_anyway and not past:
        short = saying("wear.read_past_but_short", quantity=life.measurand)
        because = then(short, because, saying("wear.measure_before_ordering"))
    if cause:
        because = then(because, cause)
    elif doubted is not None and not past:
        because = doubted.told(life.measurand)
    because = then(because, by_rule(limit, past and confirm))
    place = target_of(job, life.place)
    pieces = pieces_at(job, place.part, dossier.gear, place.side)
    return Work(job, life.place, place, call, because, pieces, row, due, chance_in_window, stake)


def _beyond(outlook: LifeOutlook, doubted: Doubted | None) -> tuple[PastLimit, bool]:
    """What being past the limit means, and whether it would be a stop if the limit were not assumed.

    A rule of thumb stops nobody: a stop says what is known. Past the most generous limit that doubt allows it is known, whether
    judged so or read so.
    """
    life, life_used = outlook.life, outlook.life_used
    limit = life.line.limit
    by_manual = past_limit(limit.part, limit.measurand, life_used)
    if not limit.assumed or by_manual.call is not Call.STOP:
        return by_manual, False
    read = [life.traces[-1].worst] if life.traces else []
    life_used = max(life_used, *read, doubted.least_used if doubted is not None else 0.0)
    if life_used < limit.generous:
        return PastLimit(Stake.CONFIRM, by_manual.because), True
    beyond = past_limit(limit.part, limit.measurand, life_used / limit.generous)
    return beyond, beyond.call is not Call.STOP


def by_rule(limit: Limit, confirm_first: bool = False) -> Saying | None:
    """That a limit is assumed, where it is.

    Parameters
    ----------
    limit : Limit
        The limit.
    confirm_first : bool
        Whether by a manual's figure it would be a stop.

    Returns
    -------
    Saying or None
        None where the limit is sure.
    """
    return saying(f"assumed.{'confirm_first' if confirm_first else 'by_rule'}") if limit.assumed else None


def _again_because(doubted: Doubted | None, read_past: bool, outlook: LifeOutlook) -> Saying:
    if doubted is not None:
        return doubted.told(outlook.life.measurand)
    if read_past:
        return saying("wear.measure_again", quantity=outlook.life.measurand, otherwise_h=outlook.to_limit.middle)
    return _either_way(outlook.life)


def _not_said(outlook: LifeOutlook) -> bool:
    """Whether a turned bush was read far worse than it is judged, and nobody said what the calliper sat on."""
    if not outlook.life.traces:
        return False
    trace = outlook.life.traces[-1]
    return not trace.how_said and trace.worst - outlook.life_used > _FAR_APART


def _either_way(life: Life) -> Saying:
    """What a reading on a turned bush means, either way, in hours by the ruler."""
    trace, turned_h = life.traces[-1], life.started.service_h if life.started is not None else 0.0
    whole = float(life.line.life_used(np.array([trace.reading.value_m + 2 * trace.old_flat_m]))[0])
    either = (
        saying(f"wear.used_{where}", used=used, pace=_by_ruler(used, trace.service_h - turned_h))
        for used, where in ((trace.worst, "on_new_face"), (whole, "across_old_flat"))
    )
    return saying("wear.turned_and_not_said", either=tuple(either))


def _by_ruler(used: float, worked_h: float) -> Saying | None:
    """Hours left at the pace since the turn; None where no pace can be told."""
    return saying("wear.at_pace_since_turn", left_h=worked_h * (1 - used) / used) if 0.02 <= used < 1 else None


def _wear_reason(
    worn_on: Saying,
    call: Call,
    quantity: Measurand,
    past: bool,
    turns: bool,
    due: HoursLeft,
    chance_in_window: float,
    window_h: float,
    book_chance: float,
) -> Saying:
    what = "turn_point" if turns else "wear_limit"
    if past:
        return saying("wear.past_limit", quantity=quantity, chance=due.chance_now, then=worn_on)
    if call is Call.RUN:
        return saying(f"wear.reaches_{what}", quantity=quantity, due_h=due.middle)
    if due.chance_now >= 0.5:
        return saying(f"wear.past_{what}", quantity=quantity, chance=due.chance_now)
    from_ = book_chance if chance_in_window < 0.5 else None
    return saying(
        f"wear.within_window_{what}{'' if from_ is None else '_booked_from'}",
        quantity=quantity,
        window_h=window_h,
        chance=chance_in_window,
        book_chance=from_,
    )


def findings_work(findings: Sequence[Finding], dossier: Dossier) -> list[Work]:
    """The work that what was seen on one part asks for.

    Parameters
    ----------
    findings : sequence of Finding
        Everything seen on it, none or more.
    dossier : Dossier
        The machine.

    Returns
    -------
    list of Work
        Due now, the gravest first, each job at each place once. What points at the same failure counts together, and one sentence
        names it all.

    References
    ----------
    What a finding leads to is common practice, no source; how several add up is our own rule, see docs/explanation/calls.md.
    """
    groups = joined(findings)
    alone = [(one,) for one in findings if not any(one in group for group in groups)]
    work = [one for group in (*groups, *alone) for one in _group_work(group, dossier)]
    return sorted(work, key=lambda item: -item.call.rank)


def _group_work(group: tuple[Finding, ...], dossier: Dossier) -> list[Work]:
    """The jobs of findings that count together; bolts that are missing and bolts that are loose are refitted at once."""
    together = len({one.kind for one in group}) > 1
    call = joint_call(group) if together else max((one.call for one in group), key=lambda call: call.rank)
    because = _seen_reason(group, call, dossier)
    stakes = [one.stake_of(call) for one in group]
    stake = Stake.UNSAFE if Stake.UNSAFE in stakes else stakes[0]
    found: dict[tuple[JobKind, Place], Work] = {}
    for one in group:
        job = job_of_finding(one)
        place = target_of(job, one.place)
        counted = job is JobKind.REFIT_BOLTS or place.part in PIECES
        pieces = one.count if counted else pieces_at(job, place.part, dossier.gear, place.side)
        old = found.get((job, place))
        if old is None:
            chance = 1.0 if call.asks else 0.0
            outlives = one.kind is FindingKind.UNEVEN_TREAD
            found[job, place] = Work(
                job, one.place, place, call, because, pieces, chance=chance, stake=stake, outlives=outlives
            )
        elif counted:
            found[job, place] = replace(old, pieces=old.pieces + pieces)
    return list(found.values())


def _seen_reason(group: tuple[Finding, ...], call: Call, dossier: Dossier) -> Saying:
    gravest = max(group, key=lambda one: one.call.rank)
    said = tuple(one.told(bolts_at(one.place, dossier.gear)) for one in group)
    why = why_it_matters(gravest.kind)
    if len(group) > 1:
        code = "seen.one_failure" if call.rank > gravest.call.rank else "seen.together"
        return saying(code, seen=said, why=why)
    border = gravest.border
    return saying(
        "seen.because" if border is None else "seen.because_with_border", seen=said[0], border=border, why=why
    )
