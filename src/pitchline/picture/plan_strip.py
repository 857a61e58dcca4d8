"""A machine's plan of stops as a strip: one row for each kind of part and side."""

from pitchline.judge.called import counted_due
from pitchline.picture.ink import Tone
from pitchline.picture.part_words import day_of, first_up, numbers_said, sided
from pitchline.picture.strip import Strip, StripRow, StripStop, strip_svg
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.writing import as_figure
from pitchline.verdict import HoursLeft, Job, MachinePlan, PartVerdict, Verdict
from pitchline.words import counted, translated
from pitchline.words.labels import label, plural, singular

_WITH_CHAIN = (PartKind.CHAIN, PartKind.LINK)


def plan_strip(verdict: Verdict) -> Strip:
    """The plan of a verdict as a strip.

    Returns
    -------
    Strip
        A row for every kind of part and side that wears or has a job, links with their chain.

    Raises
    ------
    NotAllowedError
        The verdict holds no plan.
    """
    plan = verdict.plan
    if plan is None:
        step = translated("Add --prices and --horizon-hours.")
        raise NotAllowedError("hours line", "no plan", "a machine judged with a plan of lay-ups", step)
    last_h = plan.sell_at_h if plan.sell_at_h is not None else plan.horizon_h
    stops = tuple(StripStop(stop.at_h, day_of(stop.day) if stop.day is not None else "") for stop in plan.stops)
    rows = tuple(_row(verdict, plan, part, side) for part, side in _kinds(verdict, plan))
    said = counted("{n} lay-up in {hours} h", "{n} lay-ups in {hours} h", len(stops)).format(
        n=len(stops), hours=as_figure(last_h)
    )
    return Strip(f"{verdict.machine.name}: {said}", last_h, stops, rows)


def plan_strip_svg(verdict: Verdict, width: int = 1000, tone: Tone = Tone.SYSTEM) -> str:
    """The plan of a verdict as an SVG drawing.

    Parameters
    ----------
    verdict : Verdict
        The verdict, with a plan.
    width : int
        Width [CSS pixels].
    tone : Tone
        Light, dark, or what the reader's system prefers.

    Raises
    ------
    NotAllowedError
        The verdict holds no plan.
    """
    return strip_svg(plan_strip(verdict), width, tone)


def _row_part(place: Place) -> PartKind:
    return PartKind.CHAIN if place.part in _WITH_CHAIN else place.part


def _kinds(verdict: Verdict, plan: MachinePlan) -> list[tuple[PartKind, Side]]:
    """Kinds of part and sides, in walking order, that have hours or a job."""
    jobs = {(_row_part(place), place.side) for stop in plan.stops for job in stop.jobs for place in job.places}
    found = dict.fromkeys(
        (_row_part(part.place), part.place.side)
        for part in verdict.parts
        if _has_hours(part) or (_row_part(part.place), part.place.side) in jobs
    )
    return sorted(found, key=lambda kind: list(PartKind).index(kind[0]))


def _row(verdict: Verdict, plan: MachinePlan, part: PartKind, side: Side) -> StripRow:
    mine = [one for one in verdict.parts if (_row_part(one.place), one.place.side) == (part, side)]
    several = len({one.place for one in mine if one.place.part is part}) > 1
    name = sided(plural(part) if several else singular(part), side)
    jobs = tuple(
        (number, said)
        for number, stop in enumerate(plan.stops)
        if (said := ", ".join(_job_said(job, side, several) for job in stop.jobs if _does(job, part, side)))
    )
    return StripRow(first_up(name), _soonest(mine), jobs)


def _does(job: Job, part: PartKind, side: Side) -> bool:
    return any((_row_part(place), place.side) == (part, side) for place in job.places)


def _job_said(job: Job, side: Side, several: bool) -> str:
    numbers = [place.position for place in job.places if place.side is side and place.position]
    return f"{label(job.kind)} {numbers_said(sorted(numbers))}" if numbers and several else label(job.kind)


def _has_hours(part: PartVerdict) -> bool:
    return counted_due(part) is not None and part.job not in (None, JobKind.INVESTIGATE, JobKind.MEASURE)


def _soonest(parts: list[PartVerdict]) -> HoursLeft | None:
    """Hours of whatever runs out first, by its middle; of bushes to be turned, the turn."""
    dues = [part.due for part in parts if part.due is not None and _has_hours(part)]
    return min(dues, key=lambda due: due.middle, default=None)
