"""A machine's work: done, planned and left open, and what it cost so far. Values for its page, no query."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pitchline.desk.workdone.sources import source_said
from pitchline.judge.machine_by_day import known_by
from pitchline.papers import names, words
from pitchline.papers.stop import PlannedStop
from pitchline.papers.story_work import when_said
from pitchline.stops.jobs import check_after
from pitchline.trade.dossier import Dossier
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.machine import RunningGear
from pitchline.trade.part_events import Because
from pitchline.trade.work_done import RENEWING, USUAL, Did, WorkDone
from pitchline.trade.writing import as_day, as_figure
from pitchline.verdict import Job, Verdict
from pitchline.words import counted, say, translated, worded
from pitchline.words.labels import label

_FEWEST_H = 100.0
"""Hours below which no cost an hour is told: one roller would make it anything. Our own choice."""
_SETTLES = {Did.FITTED_NEW: JobKind.REPLACE, Did.FITTED_PART_WORN: JobKind.REPLACE, Did.TURNED: JobKind.TURN}


@dataclass(frozen=True, slots=True)
class DoneLine:
    """One record as the page shows it.

    Parameters
    ----------
    key, day, hours, title, by, note : str
        Its own name, when, what was done to what, by whom, what was noted.
    cost, split, reckoned : str
        What it cost, of that labour and parts, and what it had been reckoned to cost and where; empty where nobody said.
    right, sizes : tuple of str
        What it put right; sizes read with it.
    """

    key: str
    day: str
    hours: str
    title: str
    by: str
    note: str
    cost: str
    split: str
    reckoned: str
    right: tuple[str, ...]
    sizes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CostTold:
    """What the work cost so far in one currency.

    Parameters
    ----------
    total, split : str
        All of it; of that labour and parts.
    an_hour, rests : str
        Cost an hour, or why none is told; what it rests on.
    beside : str
        What those jobs cost that had been reckoned before, beside what they had been reckoned to; empty where none had.
    """

    total: str
    split: str
    an_hour: str
    rests: str
    beside: str


@dataclass(frozen=True, slots=True)
class OpenLine:
    """One job that is planned or due, and what of it was done since it was planned."""

    title: str
    when: str
    price: str
    number: int = 0
    state: str = ""


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """One lay-up of the plan in force."""

    number: int
    when: str
    price: str
    jobs: tuple[OpenLine, ...]


def done_lines(dossier: Dossier) -> list[DoneLine]:
    """The records of a machine, newest first."""
    gear = dossier.gear
    return [_line(one, gear) for one in reversed(in_order(dossier.work))]


def in_order(work: Iterable[WorkDone]) -> list[WorkDone]:
    """Work by day and hours."""
    return sorted(work, key=lambda one: (one.date, one.service_h))


def _line(one: WorkDone, gear: RunningGear) -> DoneLine:
    spent, reckoned = one.spent, one.reckoned
    return DoneLine(
        one.key,
        words.day(one.date),
        words.service_hours(one.service_h),
        f"{words.first_up(names.places_said(one.places, gear))}: {label(one.did)}{_why(one)}",
        one.by,
        one.note,
        _money(spent.total, spent.currency) if spent else "",
        translated("labour {money}, parts {money2}").format(
            money=_money(spent.labour, spent.currency), money2=_money(spent.parts, spent.currency)
        )
        if spent
        else "",
        f"{_money(reckoned.amount, reckoned.currency)}, {source_said(reckoned.source)}" if reckoned else "",
        tuple(f"{names.place_said(place, gear)}: {label(kind)}" for place, kind in one.put_right),
        tuple(f"{names.place_said(reading.place, gear)}: {reading.words}" for reading in one.readings),
    )


def _why(one: WorkDone) -> str:
    return f" ({label(one.because)})" if one.because is not Because.UNKNOWN else ""


def _money(amount: float, currency: str) -> str:
    whole = abs(amount - round(amount)) < 0.005
    return f"{currency}{words.GAP}{as_figure(amount, ',.0f' if whole else ',.2f')}"


def costs_of(dossier: Dossier, day: dt.date) -> list[CostTold]:
    """What the work cost so far, in each currency it was paid in; none where no cost is written down."""
    return [_cost(dossier, day, currency) for currency in dict.fromkeys(_currencies(dossier.work))]


def _currencies(work: Iterable[WorkDone]) -> list[str]:
    return [one.spent.currency for one in work if one.spent is not None]


def _cost(dossier: Dossier, day: dt.date, currency: str) -> CostTold:
    paid = [one.spent for one in dossier.work if one.spent is not None and one.spent.currency == currency]
    total = sum(one.total for one in paid)
    labour, parts = (_money(sum(getattr(one, name) for one in paid), currency) for name in ("labour", "parts"))
    free = sum(one.spent is None for one in dossier.work)
    since, hours_h = _recorded(dossier, day)
    jobs = counted("{n} job with a cost", "{n} jobs with a cost", len(paid)).format(n=len(paid))
    if free:
        left_out = counted("{n} without is not in it", "{n} without are not in it", free).format(n=free)
        jobs = worded("{jobs}, {left_out}", jobs=jobs, left_out=left_out)
    if hours_h < _FEWEST_H:
        an_hour = translated("not told")
        fewest = f"{as_figure(_FEWEST_H)}{words.GAP}h"
        rests = worded("Fewer than {fewest} are on record: {jobs}.", fewest=fewest, jobs=jobs)
    else:
        an_hour = f"{currency}{words.GAP}{as_figure(total / hours_h, ',.2f')}"
        rests = worded(
            "Over the {hours} since {since}: {jobs}. What was paid before is not known; wear still to be paid for is not in it.",
            hours=f"{as_figure(hours_h)}{words.GAP}h",
            since=since,
            jobs=jobs,
        )
    return CostTold(
        _money(total, currency),
        translated("labour {labour}, parts {parts}").format(labour=labour, parts=parts),
        an_hour,
        rests,
        _beside(dossier, currency),
    )


def _recorded(dossier: Dossier, day: dt.date) -> tuple[str, float]:
    """Since when there is any record, and the hours worked from then on [h]."""
    begun = [
        (walk.date, walk.service_h, translated("the walk-round of {day}")) for walk in dossier.walk_rounds[:1]
    ]
    begun += [(one.date, one.service_h, translated("the work of {day}")) for one in in_order(dossier.work)[:1]]
    first, first_h, since = min(begun)
    last_h = max((one.service_h for one in dossier.work), default=first_h)
    if dossier.walk_rounds:
        last_h = max(last_h, known_by(dossier, max(day, dossier.walk_rounds[-1].date)).now_h)
    return since.format(day=as_day(first)), last_h - first_h


def _beside(dossier: Dossier, currency: str) -> str:
    both = [
        (one.spent.total, one.reckoned.amount)
        for one in dossier.work
        if one.spent is not None and one.reckoned is not None
        if one.spent.currency == one.reckoned.currency == currency
    ]
    if not both:
        return ""
    paid, reckoned = (sum(pair[number] for pair in both) for number in (0, 1))
    more = paid - reckoned
    if abs(more) < 0.5:
        said = counted(
            "{n} job reckoned at {reckoned} cost {paid}: as reckoned.",
            "{n} jobs reckoned at {reckoned} cost {paid}: as reckoned.",
            len(both),
        )
    elif more > 0:
        said = counted(
            "{n} job reckoned at {reckoned} cost {paid}: {by} more.",
            "{n} jobs reckoned at {reckoned} cost {paid}: {by} more.",
            len(both),
        )
    else:
        said = counted(
            "{n} job reckoned at {reckoned} cost {paid}: {by} less.",
            "{n} jobs reckoned at {reckoned} cost {paid}: {by} less.",
            len(both),
        )
    figures = {"reckoned": reckoned, "paid": paid, "by": abs(more)}
    return said.format(n=len(both), **{name: _money(amount, currency) for name, amount in figures.items()})


def open_lines(verdict: Verdict) -> list[OpenLine]:
    """The jobs a verdict asks for now, with their numbers in it."""
    return [
        _open(job, verdict, when_said(job), number)
        for number, job in enumerate(verdict.jobs, 1)
        if job.call.asks or job.along
    ]


def planned_lines(
    verdict: Verdict, stops: Sequence[PlannedStop], dossier: Dossier, since: dt.date
) -> list[PlannedLine]:
    """The lay-ups of a plan in force, each job with what of it was done since the plan's verdict."""
    return [
        PlannedLine(
            stop.number,
            translated("before it works again")
            if stop.at_h == 0 and not stop.number
            else translated("about {day}").format(day=words.day(stop.day))
            if stop.dated
            else worded("in {at}", at=words.hours(stop.at_h)),
            words.amount(stop.price.usual, stop.price.currency) if stop.price else translated("not priced"),
            tuple(_open(job, verdict, "", 0, state_of(job, dossier.work, since)) for job in stop.jobs),
        )
        for stop in stops
    ]


def _open(job: Job, verdict: Verdict, when: str, number: int, state: str = "") -> OpenLine:
    title = words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear)))
    price = words.amount(job.price.usual, job.price.currency) if job.price else translated("not priced")
    return OpenLine(title, when, price, 0 if job.kind is JobKind.MEASURE else number, state)


def state_of(job: Job, work: Iterable[WorkDone], since: dt.date) -> str:
    """Whether a planned job was done from a day on: done, partly, or open."""
    kinds = RENEWING if job.kind in RENEWS else (USUAL[job.kind],) if job.kind in USUAL else tuple(Did)
    done = {place for one in work if one.date >= since and one.did in kinds for place in one.places}
    many = sum(place in done for place in job.places)
    if many == len(job.places):
        return "done"
    return translated("{many} of {n} places done").format(many=many, n=len(job.places)) if many else "open"


def to_check(dossier: Dossier) -> list[str]:
    """What is looked at again after the first shift, of the work since the last walk-round; each once."""
    last = dossier.last_walk_round
    said: list[str] = []
    for one in in_order(dossier.work):
        after = check_after(_SETTLES[one.did], one.places[0].part) if one.did in _SETTLES else None
        if after is not None and (last is None or one.follows(last)):
            said.append(f"{words.first_up(names.places_said(one.places, dossier.gear))}: {say(after)}")
    return list(dict.fromkeys(said))
