"""What things are called: places, parts, jobs and the machine with its running gear, for paper, screen and sheet."""

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from pitchline.judge.called import either_way
from pitchline.papers.words import GAP, first_up, hours, is_now, length, listed, tied
from pitchline.trade.calls import Call, Stake
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Layout, Machine, RunningGear, ShoeClass
from pitchline.trade.measurands import MEASURANDS, Role, measurands_of
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.units import UnitSystem, show_length, show_mass
from pitchline.verdict import EitherWay, Job, PartVerdict, Verdict
from pitchline.words import counted, translated, worded
from pitchline.words.labels import label, ordered, singular
from pitchline.words.labels import plural as plural

_FOOT = 48


def row_name(part: PartKind, position: int, gear: RunningGear) -> str:
    """A part's name without its side, such as "bottom roller 3"."""
    number = f"{GAP}{position}" if position and gear.count(part) > 1 else ""
    return singular(part) + number


def place_said(place: Place, gear: RunningGear) -> str:
    """A place for reading; the number is left out where a side has one only.

    Returns
    -------
    str
        Such as "bottom roller 3, left".
    """
    side = f", {label(place.side)}" if place.side.value else ""
    return row_name(place.part, place.position, gear) + side


def says_part(quantity: str, part: PartKind) -> bool:
    """Whether a quantity's label names its part already, as "link rail height" does."""
    return singular(part).startswith(quantity.split()[0])


def places_said(places: tuple[Place, ...], gear: RunningGear) -> str:
    """Several places of one kind of part in few words.

    Parameters
    ----------
    places : tuple of Place
        Places of one kind of part, at least one.
    gear : RunningGear
        The running gear they belong to.

    Returns
    -------
    str
        Such as "bushes, both sides", "bottom roller 2, both sides" or "bottom rollers 3 and 6, left; 2, right".
    """
    part = places[0].part
    words = singular(part) if len(places) == 1 else plural(part)
    ordered = sorted(places, key=lambda place: (place.side.value, place.position))
    by_side = {
        side: [place.position for place in found]
        for side, found in groupby(ordered, lambda place: place.side.value)
    }
    if gear.count(part) < 2 or not any(place.position for place in places):
        where = dict.fromkeys(by_side, "")
    else:
        where = {side: numbers_said(found) for side, found in by_side.items()}
    if len(by_side) == 2 and len(set(where.values())) == 1:
        text = next(iter(where.values()))
        words = singular(part) if text and len(places) == 2 else words
        return worded("{words}{gap}{text_told}, both sides", words=words, gap=GAP if text else "", text_told=text)
    told = "; ".join(
        f"{where[side]}, {label(Side(side))}".lstrip(", ") if side else where[side] for side in by_side
    )
    return f"{words}{' ' if told[:1].isdigit() else ', ' if told else ''}{told}"


def numbers_said(positions: list[int], short: bool = False) -> str:
    """Numbers in few words.

    Parameters
    ----------
    positions : list of int
        Numbers in rising order.
    short : bool
        With dashes and commas only.

    Returns
    -------
    str
        Such as "1 to 5, 7 and 8", or "1-5, 7, 8" when short.

    Examples
    --------
    >>> numbers_said([1, 2, 3, 4, 5, 7, 8], short=True)
    '1-5, 7, 8'
    """
    runs: list[list[int]] = []
    for position in positions:
        if runs and runs[-1][-1] == position - 1:
            runs[-1].append(position)
        else:
            runs.append([position])
    texts: list[str] = []
    for run in runs:
        through = f"{run[0]}-{run[-1]}" if short else tied(worded("{first} to {last}", first=run[0], last=run[-1]))
        texts += [through] if len(run) > 2 else [str(number) for number in run]
    return ", ".join(texts) if short else listed(texts)


def job_said(job: JobKind, what: str) -> str:
    """A job as an order, such as "turn bushes, left"."""
    return ordered(job, what)


def machine_said(machine: Machine, units: UnitSystem) -> str:
    """Kind and mass, such as "excavator, 21.5 t"."""
    mass = f", {tied(show_mass(machine.mass_kg, units))}" if machine.mass_kg is not None else ""
    return first_up(label(machine.kind)) + mass


def which_one(machine: Any) -> str:
    """What tells a machine from another of the same name; empty where nobody said.

    Parameters
    ----------
    machine : Machine
        The core's, or a row of the desk that holds the same three.

    Returns
    -------
    str
        Such as "serial number 00417, built 2014, owner's number 7".
    """
    told = (
        worded("serial number {number}", number=machine.serial_number) if machine.serial_number else "",
        worded("built {year}", year=machine.year_built) if machine.year_built else "",
        worded("owner's number {number}", number=machine.owner_number) if machine.owner_number else "",
    )
    return ", ".join(filter(None, told))


def machine_known(machine: Machine, units: UnitSystem) -> str:
    """Kind and mass with what tells it from others, for the head of a paper."""
    return ", ".join(filter(None, (machine_said(machine, units), which_one(machine))))


def gear_said(gear: RunningGear, units: UnitSystem) -> tuple[str, ...]:
    """The running gear in a few short pieces, to be set in one line.

    Returns
    -------
    tuple of str
        Track, joints and pitch, shoe width, rollers, sprocket, and what else is fitted.
    """
    wide = f", {translated('low ground pressure')}" if gear.shoe_class is ShoeClass.LOW_GROUND_PRESSURE else ""
    rollers = worded(
        "{bottom_rollers_per_side} bottom and {upper_rollers_per_side} upper rollers a side",
        bottom_rollers_per_side=gear.bottom_rollers_per_side,
        upper_rollers_per_side=gear.upper_rollers_per_side,
    )
    whole = 0 if units is UnitSystem.METRIC else 1
    width = tied(show_length(gear.shoe_width_m, units, whole))
    joints, shoes = (
        (worded("{n} joints", n=gear.joints_per_side), worded("shoes {width}", width=width))
        if gear.has_chain
        else (worded("{n} links", n=gear.joints_per_side), worded("track {width}", width=width))
    )
    inside = f", {label(gear.chain_type)}" if gear.chain_type is not None else ""
    pieces = [
        label(gear.track),
        f"{joints}{inside}, {_pitch_said(gear, units)}",
        *(
            counted(
                "{n} joint taken out of the {side} chain", "{n} joints taken out of the {side} chain", out
            ).format(n=out, side=label(side))
            for side, out in zip((Side.LEFT, Side.RIGHT), gear.joints_out, strict=True)
            if out
        ),
        f"{shoes}{wide}",
        rollers,
        worded("sprocket {sprocket_teeth} teeth", sprocket_teeth=gear.sprocket_teeth),
    ]
    if gear.layout is Layout.RAISED_SPROCKET:
        pieces.append(translated("sprocket raised, two idlers a side"))
    if gear.slew_ring:
        pieces.append(translated("slew ring"))
    return tuple(pieces)


def _pitch_said(gear: RunningGear, units: UnitSystem) -> str:
    size = length(gear.pitch_m, units)
    return (
        worded("pitch {size} as measured, new one not known", size=size)
        if gear.pitch_measured
        else worded("new pitch {size}", size=size)
    )


def is_overdue(job: Job) -> bool:
    """Whether a booked job's hours are likelier used up by now than not."""
    return job.call is Call.BOOK and job.due is not None and job.due.middle <= 0


def jobs_said(jobs: Sequence[Job], verdict: Verdict) -> str:
    """Jobs with their places, such as "turn bushes, both sides"; both explanations where a reading is not understood."""
    return "; ".join(_job_said(job, verdict) for job in jobs)


def _job_said(job: Job, verdict: Verdict) -> str:
    told = job_said(job.kind, places_said(job.places, verdict.gear))
    both = explained(job, verdict)
    return f"{told} ({either_said(both)})" if both is not None else told


def explained(job: Job, verdict: Verdict) -> EitherWay | None:
    """Both explanations behind a job that asks to measure again, of its worst place; None for every other job."""
    if job.stake is not Stake.MEASURE:
        return None
    found = [both for part in verdict.parts if part.place in job.places if (both := either_way(part)) is not None]
    return min(found, key=lambda both: both.if_right_h, default=None)


def either_said(both: EitherWay, brief: bool = False) -> str:
    """Both explanations of a reading in hours.

    Returns
    -------
    str
        Such as "if it is right, about 300 h; if misread, about 5,900 h", or "right: 300 h; misread: 5,900 h" when brief.
    """
    right, misread = hours(both.if_right_h), hours(both.if_misread_h)
    if brief:
        return worded("right: {right}; misread: {misread}", right=right, misread=misread)
    about = [
        told if is_now(hours_h) else tied(worded("about {hours}", hours=told))
        for told, hours_h in ((right, both.if_right_h), (misread, both.if_misread_h))
    ]
    return worded("if it is right, {about}; if misread, {about_2}", about=about[0], about_2=about[1])


def hours_cell(part: PartVerdict) -> str:
    """What stands in the column of hours left where there is no figure, or none that counts."""
    if part.call is Call.UNJUDGED and part.due is not None:
        return worded("{middle} by age alone", middle=hours(part.due.middle))
    if part.call is Call.UNJUDGED and not part.looked_at:
        return ""
    told = {judged.status for judged in part.judged}
    if "held back" in told:
        return translated("reading held back")
    for status in ("no limit entered", "not read"):
        if status in told:
            return translated(status)
    if told:
        return translated("adjusted, not worn")
    return (
        translated("not read")
        if any(MEASURANDS[m].role is Role.WEAR for m in measurands_of(part.place.part))
        else translated("by eye only")
    )


def shortened(name: str) -> str:
    """A name short enough for the foot of a page."""
    return name if len(name) <= _FOOT else f"{name[: _FOOT - 1]}…"
