"""A work order for one stop: cautions on top, what to have there, boxes to tick, space for what is found."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import asdict

from pitchline.judge.age import age_of, is_old
from pitchline.papers import names, words
from pitchline.papers.causes_told import told_causes
from pitchline.papers.needed import needed_for
from pitchline.papers.press import press
from pitchline.papers.primer_words import primer_said
from pitchline.papers.stop import PlannedStop
from pitchline.papers.story_work import because_said
from pitchline.papers.whose_told import odd_in_short
from pitchline.stops.order import OrderLine, StopJob
from pitchline.trade.calls import Call, Stake
from pitchline.trade.jobs import Caution, JobKind, cautions_of, opens_track
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import says
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import Job, Judged, PartVerdict, Verdict
from pitchline.words import cautions, say, translated, worded
from pitchline.words.called import called, job_called
from pitchline.words.labels import label, quantity

_CHAIN = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)


_FACES = ("turn.measure_before_deciding", "turn.measure_faces")
TO_DECIDE = (Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE, Measurand.RAIL_HEIGHT)
"""What is measured before a turn of the bushes is decided or given up, whether it was read before or not."""


def work_order_pdf(
    verdict: Verdict,
    stop: PlannedStop,
    units: UnitSystem = UnitSystem.METRIC,
    on: dt.date | None = None,
    by: str = "",
) -> bytes:
    """A work order on A4 pages, the same bytes for the same input.

    Parameters
    ----------
    verdict : Verdict
        The machine and what was read of it.
    stop : PlannedStop
        What is done.
    units : UnitSystem
        Metric or imperial.
    on : datetime.date or None
        The day of the order; None takes that of the verdict.
    by : str
        The business it comes from; empty leaves it out.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1 and PDF/A-2a.

    References
    ----------
    ISO 14289-1 (PDF/UA-1) for the tags; the layout is our own.
    """
    told = work_order_story(verdict, stop, units, on) | {"by": names.shortened(by)}
    pdf, _ = press("work-order.typ", told, on or verdict.as_of, by)
    return pdf


def work_order_story(
    verdict: Verdict, stop: PlannedStop, units: UnitSystem, on: dt.date | None = None
) -> dict[str, object]:
    """Everything the work order says.

    Parameters
    ----------
    verdict : Verdict
        The machine and what was read of it.
    stop : PlannedStop
        What is done.
    units : UnitSystem
        Metric or imperial.
    on : datetime.date or None
        The day of the order; None takes that of the verdict.

    Returns
    -------
    dict
        Text, lists and dicts, as the template expects them.
    """
    too_old = verdict.read_on is not None and is_old(verdict.read_on, verdict.as_of, verdict.carried_h)
    numbers = {caution: number for number, caution in enumerate(_cautions(stop), 1)}
    causes = told_causes(verdict)
    return {
        "title": worded(
            "Work order for {machine}, {on}", machine=verdict.machine.name, on=words.day(on or verdict.as_of)
        ).replace(words.GAP, " "),
        "author": f"pitchline {verdict.version}",
        "name": verdict.machine.name,
        "name_short": names.shortened(verdict.machine.name),
        "machine_id": verdict.machine.machine_id,
        "kind": names.machine_known(verdict.machine, units),
        "gear": list(names.gear_said(verdict.gear, units)),
        "note": verdict.machine.note,
        "day": words.day(on or verdict.as_of),
        "judged_for": words.day(verdict.as_of),
        "age": say(age_of(verdict)) if too_old else words.first_up(say(age_of(verdict))),
        "too_old": too_old,
        "counts_from": words.service_hours(verdict.from_service_h),
        "stopped": stopped_said(stop.jobs),
        "planned": _planned(stop, verdict),
        "by": "",
        "unit": "mm" if units is UnitSystem.METRIC else "in",
        "cautions": [
            {"number": number, "title": cautions.title(caution), "text": cautions.caution_text(caution)}
            for caution, number in numbers.items()
        ],
        "jobs": [_job(number, job, stop, verdict, numbers, units) for number, job in enumerate(stop.jobs, 1)],
        "parts": _lines(stop.order.parts, verdict),
        "handled": _lines(stop.order.handled, verdict),
        "consumables": _lines(stop.order.consumables, verdict),
        "ask": _lines(stop.order.ask, verdict),
        "labour": _labour(stop, verdict),
        "opened": words.listed([label(side) for side in stop.order.opened]) if stop.order.opened else "",
        "causes": None if causes is None else asdict(causes),
        "primer": primer_said(verdict),
        "odd": odd_in_short(verdict, with_look=True),
        "aid": words.working_aid(),
        "made": f"pitchline {verdict.version}",
    }


def stopped_said(jobs: Sequence[Job]) -> str:
    """The call to stop with the gravest of what it is about, such as "stop: unsafe"; empty where no job is called stop."""
    stakes = {job.stake for job in jobs if job.call is Call.STOP}
    return called(Call.STOP, next((stake for stake in Stake if stake in stakes), None)) if stakes else ""


def _planned(stop: PlannedStop, verdict: Verdict) -> str:
    """When it is to be done: before it works again, or the day it is planned for."""
    if any(job.call is Call.STOP for job in stop.jobs):
        return translated("before it works again")
    if not stop.dated:
        return worded("in {at} of work", at=words.hours(stop.at_h))
    return (
        worded("{day}, in {at} of work", day=words.day(stop.day), at=words.hours(stop.at_h))
        if stop.at_h
        else (worded("within the next {verdict} of work", verdict=words.window_ahead(verdict)))
    )


def _cautions(stop: PlannedStop) -> tuple[Caution, ...]:
    """Every caution of the stop once; not to work the machine first where a job is called stop."""
    unsafe = (Caution.UNSAFE_MACHINE,) if any(job.call is Call.STOP for job in stop.jobs) else ()
    return tuple(dict.fromkeys((*unsafe, *stop.order.cautions)))


def _job(
    number: int, job: Job, stop: PlannedStop, verdict: Verdict, numbers: dict[Caution, int], units: UnitSystem
) -> dict[str, object]:
    needing = cautions_of(job.kind, job.part, verdict.gear)
    needed, tools = needed_for(job.kind, job.part, verdict.gear), _tools(job, verdict)
    return {
        "number": number,
        "title": words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear))),
        "call": job.call.value,
        "called": job_called(job),
        "because": because_said(job, verdict),
        "labour": words.labour(job.labour_h) if job.labour_h is not None else "",
        "cautions": [
            {"number": each, "title": cautions.title(caution)}
            for caution, each in sorted(numbers.items(), key=lambda item: item[1])
            if caution in needing
        ],
        "settings": _settings(job, _last_on(number, stop, verdict), verdict, units),
        "needed": "; ".join(needed),
        "tools": "; ".join(tools),
        "rows": [row for place in job.places for row in _rows(job, place, verdict, units)],
    }


def _sets_sag(job: Job, verdict: Verdict) -> bool:
    """Whether the sag has to be set at the end of a job."""
    renewed = job.kind is JobKind.REPLACE and job.part is PartKind.RUBBER_TRACK
    return renewed or job.kind is JobKind.ADJUST or opens_track(job.kind, job.part, verdict.gear)


def _last_on(number: int, stop: PlannedStop, verdict: Verdict) -> set[Side]:
    """Sides of a job, counted from 1, on which none after it has the sag set."""
    after = {place.side for job in stop.jobs[number:] if _sets_sag(job, verdict) for place in job.places}
    return {place.side for place in stop.jobs[number - 1].places} - after


def _settings(job: Job, sides: set[Side], verdict: Verdict, units: UnitSystem) -> list[str]:
    """What sag to set once a track is closed; the reason of a job that sets it has that already."""
    if job.kind is JobKind.ADJUST or not _sets_sag(job, verdict):
        return []
    said, to_set = [], dict[str, list[Place]]()
    for part in verdict.parts:
        if part.place.part not in (PartKind.CHAIN, PartKind.RUBBER_TRACK) or part.place.side not in sides:
            continue
        if part.stake is Stake.SETTING and job.part is not PartKind.CHAIN:
            said.append(f"{words.first_up(names.place_said(part.place, verdict.gear))}: {say(part.reason)}")
            continue
        sag = next((one for one in part.judged if one.measurand is Measurand.SAG), None)
        to_set.setdefault(_range(sag, units) if sag is not None else "", []).append(part.place)
    for sizes, places in to_set.items():
        where = words.first_up(names.places_said(tuple(places), verdict.gear))
        said.append(
            worded("{where}: set the sag to {sizes}.", where=where, sizes=sizes)
            if sizes
            else worded("{where}: no range of sag is entered; the maker's manual has it.", where=where)
        )
    return said


def _range(judged: Judged, units: UnitSystem) -> str:
    """The permitted range of what is adjusted; empty where none is known."""
    if judged.least_m is None or judged.most_m is None:
        return ""
    least, most = words.length(judged.least_m, units), words.length(judged.most_m, units)
    return worded("{least} to {most}", least=least, most=most)


def _tools(job: Job, verdict: Verdict) -> list[str]:
    """What its places were last measured with, to measure again with."""
    read = [
        item
        for place in job.places
        for part in _parts(place, verdict)
        for item in part.judged
        if _matters(item, job)
    ]
    return list(dict.fromkeys(translated(item.reading.tool.label) for item in read if item.reading is not None))


def _rows(job: Job, place: Place, verdict: Verdict, units: UnitSystem) -> list[dict[str, str]]:
    """A line for each quantity the job is about at a place, or one without a quantity."""
    where = names.place_said(place, verdict.gear)
    faces = says(job.because, _FACES, "both faces")
    found = [item for part in _parts(place, verdict) for item in part.judged]
    judged = [
        item
        for item in found
        if (item.reading is not None and _matters(item, job)) or (faces and item.measurand in TO_DECIDE)
    ]
    if not judged:
        return [{"place": where, "quantity": "", "last": "", "limit": ""}]
    return [_row(where if n == 0 else "", item, job, units) for n, item in enumerate(judged)]


def _matters(judged: Judged, job: Job) -> bool:
    """Settings where the track is adjusted, nothing where it is cleaned, bushes and pitch where they are turned; else wear."""
    if job.kind is JobKind.CLEAN_OUT:
        return False
    setting = MEASURANDS[judged.measurand].role is Role.SETTING
    if job.kind in (JobKind.ADJUST, JobKind.REMOVE_JOINT):
        return setting
    if job.kind is JobKind.TURN:
        return not setting and judged.place.part in (PartKind.BUSH, PartKind.CHAIN)
    return job.kind in (JobKind.INVESTIGATE, JobKind.MEASURE) or not setting


def _row(where: str, judged: Judged, job: Job, units: UnitSystem) -> dict[str, str]:
    return {
        "place": where,
        "quantity": quantity(judged.measurand),
        "last": _last(judged, units),
        "limit": _border(judged, job, units),
    }


def _border(judged: Judged, job: Job, units: UnitSystem) -> str:
    """The size the job is done at: where bushes are turned that of the turn, else the limit, or the range of what is adjusted."""
    if job.kind is JobKind.TURN and judged.course is not None and judged.course.turn_m is not None:
        return worded("turn at {turn}", turn=words.length(judged.course.turn_m, units))
    if judged.limit_m is None:
        return _range(judged, units)
    size = words.length(judged.limit_m, units)
    return worded("{size}, assumed", size=size) if judged.limit_assumed else size


def _last(judged: Judged, units: UnitSystem) -> str:
    """The newest reading; one that is held back is to be read again."""
    if judged.status == "held back":
        return translated("read again")
    return words.length(judged.value_m, units) if judged.value_m is not None else ""


def _parts(place: Place, verdict: Verdict) -> list[PartVerdict]:
    kinds = _CHAIN if place.part in (PartKind.CHAIN, PartKind.BUSH) else (place.part,)
    return [
        part
        for part in verdict.parts
        if part.place.part in kinds
        and part.place.side is place.side
        and (part.place.position == place.position or place.part in _CHAIN)
    ]


def _lines(lines: tuple[OrderLine, ...], verdict: Verdict) -> list[dict[str, str]]:
    return [
        {
            "count": as_figure(line.count, ",") if line.count is not None else "?",
            "what": words.first_up(say(line.words)),
            "where": where_said(line.places, verdict),
            "note": say(line.known),
        }
        for line in lines
    ]


def where_said(places: tuple[Place, ...], verdict: Verdict) -> str:
    """What an order line is for, in few words; several kinds of part are told one after the other."""
    by_part: dict[PartKind, list[Place]] = {}
    for place in places:
        by_part.setdefault(place.part, []).append(place)
    return "; ".join(names.places_said(tuple(some), verdict.gear) for some in by_part.values())


def _labour(stop: PlannedStop, verdict: Verdict) -> str:
    known = words.labour(stop.order.labour_h)
    lacking = [_said(job, verdict) for job in stop.order.labour_not_known]
    if len(lacking) == len(stop.jobs):
        return translated("not known: none of these jobs is on a price list")
    return known + (
        worded(", without what is not on the price list: {lacking}", lacking="; ".join(lacking)) if lacking else ""
    )


def _said(job: StopJob, verdict: Verdict) -> str:
    return names.job_said(job.job, names.places_said(job.places, verdict.gear))
