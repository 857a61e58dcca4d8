"""The work of one machine as calendar entries, whose marks stay the same from one judgement to the next."""

import datetime as dt
import uuid
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from icalendar import Calendar, Event

from pitchline.judge.age import age_of
from pitchline.outlook.dates import working_day
from pitchline.papers import names, words
from pitchline.papers.stop import PlannedStop, not_in
from pitchline.papers.story_work import because_said
from pitchline.picture.part_words import invented
from pitchline.trade.calls import Call
from pitchline.verdict import Job, Verdict
from pitchline.words import say, translated, worded
from pitchline.words.called import job_called
from pitchline.words.labels import label

_OURS = uuid.UUID("7c0f2f0e-5f0b-5b0a-9d2e-3f6a1c8e4b71")
"""Our own name space for marks of entries, drawn once."""
_COUNTED_FROM = dt.date(2000, 1, 1)


@dataclass(frozen=True, slots=True)
class WorkCalendar:
    """Calendar entries, and what has none."""

    ics: bytes
    left_out: tuple[str, ...]


def calendar_ics(
    verdict: Verdict,
    stops: Sequence[PlannedStop] = (),
    on: dt.date | None = None,
    place: str = "",
    address: str = "",
) -> WorkCalendar:
    """Every job with a day as an all-day entry, the same bytes for the same verdict.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    stops : sequence of PlannedStop
        Stops whose day is planned: their jobs stand on that day. Empty where nothing is planned yet.
    on : datetime.date or None
        The day it is told; None takes that of the verdict. Nothing stands on a day before: what is overdue stands on this one.
    place : str
        Where the machine stands; empty where nobody said.
    address : str
        Address of the machine's page; empty where there is none.

    Returns
    -------
    WorkCalendar
        Entries on the cautious day, by which one in ten such jobs is due; what is due now stands on the day it is told. A
        job keeps its mark from verdict to verdict, so that a calendar moves the entry instead of adding one.

    References
    ----------
    RFC 5545 (iCalendar); marks after RFC 9562 (UUID version 5).
    """
    calendar = Calendar()
    calendar.add("prodid", "-//pitchline//work on one machine//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    left_out = []
    on = max(on or verdict.as_of, verdict.as_of)
    planned = [
        (job, stop.overdue_since or (stop.day if stop.dated else day_of(job, verdict)))
        for stop in stops
        for job in stop.jobs
    ]
    days = [*planned, *((job, day_of(job, verdict)) for job in not_in(stops, verdict))]
    marks = marks_of(verdict.machine.machine_id, [job for job, _ in days])
    for (job, day), mark in zip(days, marks, strict=True):
        if day is None:
            left_out.append(_said(job, verdict))
        else:
            event = _event(job, mark, day, verdict, on)
            for name, text in (("location", place), ("url", address)):
                if text:
                    event.add(name, text)
            calendar.add_component(event)
    return WorkCalendar(calendar.to_ical(), tuple(left_out))


def marks_of(machine_id: str, jobs: Sequence[Job]) -> tuple[str, ...]:
    """The mark of each job's calendar entry.

    Returns
    -------
    tuple of str
        Made from the machine's short name, the job, the part, and whether it is the first, second or later such job: neither
        hours, days, call nor places change it.

    References
    ----------
    RFC 9562 (UUID version 5); what goes into it is our own rule.
    """
    seen: Counter[tuple[str, str]] = Counter()
    found = []
    for job in jobs:
        key = (job.kind.value, job.part.value)
        found.append(str(uuid.uuid5(_OURS, "\n".join((machine_id, *key, str(seen[key]))))))
        seen[key] += 1
    return tuple(found)


def day_of(job: Job, verdict: Verdict) -> dt.date | None:
    """The day a job stands on in the calendar.

    Returns
    -------
    datetime.date or None
        None for what has no day: work for when somebody is next at it, or more than twenty years off.
    """
    if job.call is Call.STOP:
        return verdict.as_of
    if job.dates is not None and job.dates.cautious is not None:
        return working_day(job.dates.cautious, verdict.as_of)
    return verdict.as_of if job.call is Call.BOOK and job.dates is None else None


def _said(job: Job, verdict: Verdict) -> str:
    where = names.places_said(job.places, verdict.gear)
    return words.first_up(names.job_said(job.kind, where)).replace(words.GAP, " ")


def _event(job: Job, mark: str, day: dt.date, verdict: Verdict, on: dt.date) -> Event:
    """An entry on its day, or on the day it is told where that is past."""
    stands_on, overdue = max(day, on), translated(", overdue") if day < on or names.is_overdue(job) else ""
    event = Event()
    event.add("uid", mark)
    event.add("dtstamp", dt.datetime.combine(on, dt.time(), dt.UTC))
    event.add("sequence", (on - _COUNTED_FROM).days)
    event.add("dtstart", stands_on)
    event.add("dtend", stands_on + dt.timedelta(days=1))
    event.add("summary", f"{verdict.machine.name}: {_said(job, verdict)} ({job_called(job)}{overdue})")
    event.add("description", _description(job, verdict, day if day < on else None))
    event.add("categories", [label(job.call)])
    event.add("transp", "TRANSPARENT")
    return event


def _description(job: Job, verdict: Verdict, overdue_since: dt.date | None) -> str:
    said = [because_said(job, verdict)]
    if overdue_since is not None:
        said.append(worded("Overdue: it stood on {overdue_since}.", overdue_since=words.day(overdue_since)))
    if job.due is not None and job.call is not Call.STOP:
        days = words.dates_said(job.dates)
        middle = words.hours(job.due.middle)
        when = words.first_up(middle) if middle == words.hours(0.0) else worded("In {hours}", hours=middle)
        said.append(
            worded("{when}: {range}", when=when, range=words.range_said(job.due)) + (f"; {days}." if days else ".")
        )
    if job.price is not None:
        said.append(worded("About {usual} without tax.", usual=words.amount(job.price.usual, job.price.currency)))
    if job.cautions:
        said.append(
            worded(
                "Cautions: {cautions}.",
                cautions=", ".join(label(caution) for caution in job.cautions),
            )
        )
    age = f", {say(old)}" if (old := age_of(verdict)) is not None else ""
    said.append(
        worded(
            "As of {as_of}, from {from_service}{age}.",
            as_of=words.day(verdict.as_of),
            from_service=words.service_hours(verdict.from_service_h),
            age=age,
        )
    )
    said += [line for line in (invented(verdict), words.working_aid()) if line]
    return "\n".join(said).replace(words.GAP, " ")
