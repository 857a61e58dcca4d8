"""The call on each part, with its reason.

See docs/explanation/calls.md.
"""

from collections.abc import Sequence
from dataclasses import replace

from pitchline.judge.looked import fit_to_run, was_looked_at, worked_on_since
from pitchline.judge.machine_by_day import Known
from pitchline.outlook.dates import day_when
from pitchline.outlook.hours_left import NOW, Dates, HoursLeft
from pitchline.stops.pointless import swallowed_by, with_it
from pitchline.stops.work import Work
from pitchline.trade.calls import Call
from pitchline.trade.findings import Finding
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.measurands import MEASURANDS, Role
from pitchline.trade.parts import Place, how_many
from pitchline.trade.saying import Saying, saying, then
from pitchline.trade.work_done import Did, WorkDone
from pitchline.verdict import Judged, PartVerdict
from pitchline.wear.history import closing, standing


def dates_of(due: HoursLeft | None, known: Known) -> Dates | None:
    """The three figures as days.

    Parameters
    ----------
    due : HoursLeft or None
        Hours from now.
    known : Known
        Gives the day and the hours a week.

    Returns
    -------
    Dates or None
        None without hours or without hours a week. Cautious hours go by the high hours a week, hopeful ones by the low.
    """
    weekly = known.dossier.utilisation
    if due is None or weekly is None:
        return None
    return Dates(
        day_when(known.as_of, due.cautious, weekly.high),
        day_when(known.as_of, due.middle, weekly.usual),
        day_when(known.as_of, due.hopeful, weekly.low),
    )


def part_verdict(
    place: Place, known: Known, judged: tuple[Judged, ...], asked: list[Work], kept: list[Work]
) -> PartVerdict:
    """The call on one part.

    Parameters
    ----------
    place : Place
        The part.
    known : Known
        The dossier as it stood.
    judged : tuple of Judged
        Its quantities.
    asked : list of Work
        What each part of the machine asks for by itself.
    kept : list of Work
        The same less what bigger jobs make pointless.

    Returns
    -------
    PartVerdict
        The most urgent of what this part asks for.
    """
    findings = findings_at(place, known)
    looked = was_looked_at(place, known)
    quiet = Call.UNJUDGED if _no_call(judged, looked) else Call.RUN
    mine = [item for item in asked if item.asked_by == place]
    due = soonest(judged)
    if not mine:
        reason = then(_nothing(place, known, judged, looked), *_put_right(place, known))
        nothing = PartVerdict(
            place, quiet, reason, None, due, dates_of(due, known), judged, findings, looked_at=looked
        )
        return _renewed_with(nothing, known, kept)
    top = min(mine, key=_urgency)
    due = NOW if top.call is Call.STOP else top.due if top.due is not None else due
    reason = then(
        top.because, _beside_missing_limit(top, judged), _last_read(judged, known), *_put_right(place, known)
    )
    job: JobKind | None = top.job
    bigger = swallowed_by(top, kept)
    stake = top.stake
    if bigger is not None and not any((item.job, item.place) == (top.job, top.place) for item in kept):
        job = JobKind.REPLACE if top.job is JobKind.TURN else job
        if bigger.place == place and bigger.call is top.call:
            job, stake = bigger.job, bigger.stake
        reason = then(reason, with_it(top, bigger))
    if top.job is JobKind.INVESTIGATE and top.call is Call.RUN and top.part_row is not None:
        job = None
    call = quiet if top.call is Call.RUN else top.call
    stake = stake if call.asks else None
    mine_only = PartVerdict(place, call, reason, job, due, dates_of(due, known), judged, findings, stake, looked)
    return _renewed_with(mine_only, known, kept)


def _renewed_with(part: PartVerdict, known: Known, kept: list[Work]) -> PartVerdict:
    """A part another one has renewed, as bushes their chain, has that call where it is the graver: nothing has two calls."""
    at_it = [
        item
        for item in kept
        if item.place == part.place != item.asked_by and item.job in RENEWS and item.call.rank > part.call.rank
    ]
    if not at_it:
        return part
    by = min(at_it, key=_urgency)
    asks = by.asked_by.part
    reason = then(part.reason, saying("part.another_asks", n=how_many(asks), part=asks, why=by.because))
    due = NOW if by.call is Call.STOP else by.due
    return replace(
        part, call=by.call, reason=reason, job=by.job, due=due, dates=dates_of(due, known), stake=by.stake
    )


def _no_call(judged: tuple[Judged, ...], looked: bool) -> bool:
    """Wear is called by what was read of the part now fitted; what is only looked at, by the last walk-round."""
    wears = any(MEASURANDS[item.measurand].role is Role.WEAR for item in judged)
    return wear_unknown(judged) if wears else not looked


def wear_unknown(judged: tuple[Judged, ...]) -> bool:
    """Whether a part wears and nothing can be said of it: nobody read it since it was fitted, or no limit is entered.

    Returns
    -------
    bool
        False for a part that is only looked at or set.
    """
    wearing = [item for item in judged if MEASURANDS[item.measurand].role is not Role.SETTING]
    return bool(wearing) and not any(item.to_limit is not None and item.readings for item in wearing)


def counted(parts: Sequence[PartVerdict]) -> tuple[int, int]:
    """How many parts are unjudged, and how many wear.

    Returns
    -------
    tuple of int
        Parts whose wear is unknown, whatever was seen on them; parts that are measured for wear.
    """
    wearing = [part for part in parts if any(MEASURANDS[one.measurand].role is Role.WEAR for one in part.judged)]
    return sum(wear_unknown(part.judged) for part in wearing), len(wearing)


def machine_call(parts: Sequence[PartVerdict], too_old: bool = False) -> Call:
    """The worst call on any part; unjudged where nothing asks for work, but what can stop it was passed by or read long ago.

    Parameters
    ----------
    parts : sequence of PartVerdict
        The calls, one or more.
    too_old : bool
        Whether the readings are too old to order by.

    Returns
    -------
    Call
        Run only where all that can stop it was looked at, not too long ago, and at least half of what wears could be judged.
    """
    worst = max((part.call for part in parts), key=lambda call: call.rank)
    if worst.asks:
        return worst
    unjudged, wearing = counted(parts)
    return Call.UNJUDGED if too_old or not fit_to_run(parts) or 2 * unjudged > wearing else Call.RUN


def findings_at(place: Place, known: Known) -> tuple[Finding, ...]:
    """What was seen on a part on the last walk-round and was not put right since."""
    here = [one for one in standing(known.dossier, known.dossier.walk_rounds[-1]) if one.place == place]
    return tuple(sorted(here, key=lambda finding: -finding.call.rank))


def soonest(judged: tuple[Judged, ...]) -> HoursLeft | None:
    """Hours of the quantity that was read and runs out first: to the turn where there is one, else to the limit.

    Parameters
    ----------
    judged : tuple of Judged
        A part's quantities.

    Returns
    -------
    HoursLeft or None
        None where none was read.
    """
    dues = [item.to_turn or item.to_limit for item in judged if item.readings]
    return min((due for due in dues if due is not None), key=lambda due: due.middle, default=None)


def _urgency(item: Work) -> tuple[int, float]:
    return (-item.call.rank, _hours(item))


def _hours(item: Work) -> float:
    return item.due.middle if item.due is not None else 0.0


def _beside_missing_limit(top: Work, judged: tuple[Judged, ...]) -> Saying | None:
    missing = any(item.status == "no limit entered" and item.reading is not None for item in judged)
    return saying("part.other_reading_without_limit") if missing and top.part_row is not None else None


def _last_read(judged: tuple[Judged, ...], known: Known) -> Saying | None:
    """When it was last read, where that is not the last walk-round."""
    days = [item.read_on for item in judged if item.readings and item.read_on is not None]
    newest = max(days, default=None)
    if newest is None or newest == known.dossier.walk_rounds[-1].date:
        return None
    return saying("part.last_read", day=newest)


def _put_right(place: Place, known: Known) -> list[Saying]:
    """What was seen on it and put right since, with the hours of that."""
    last = known.dossier.walk_rounds[-1]
    done: dict[tuple[str, float], list[Saying]] = {}
    for finding in last.findings:
        work = closing(known.dossier, last, finding) if finding.place == place else None
        if work is not None:
            looked = isinstance(work, WorkDone) and work.did is Did.LOOKED_INTO
            code = "part.looked_into" if looked else "part.put_right"
            done.setdefault((code, work.service_h), []).append(finding.told())
    return [saying(code, at_h=at_h, seen=seen) for (code, at_h), seen in done.items()]


def _nothing(place: Place, known: Known, judged: tuple[Judged, ...], looked: bool) -> Saying:
    """Why nothing is asked for, or why it has no call."""
    if any(item.status == "held back" for item in judged):
        return saying("part.held_back")
    if any(item.status == "no limit entered" and item.reading is not None for item in judged):
        return saying("part.without_limit")
    if any(item.status == "setting" and item.reading is not None for item in judged) and looked:
        return saying("part.read")
    work = worked_on_since(place, known)
    if work is not None:
        return saying(f"worked.{work.event.value}", at_h=work.service_h)
    wears = any(MEASURANDS[item.measurand].role is Role.WEAR for item in judged)
    if not looked:
        return saying("part.not_read" if wears else "part.not_looked_at")
    return saying("part.looked_over_not_read" if wears else "part.looked_over")
