"""What drawings say of a part: its name, its call and its hours, in few words."""

import datetime as dt
import re

from pitchline.judge.called import counted_due, either_way
from pitchline.trade.calls import Call
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import Place, Side
from pitchline.trade.units import UnitSystem, show_hours, show_length
from pitchline.trade.writing import as_day, as_figure
from pitchline.verdict import HoursLeft, PartVerdict, Verdict
from pitchline.words import translated, worded
from pitchline.words.called import part_called
from pitchline.words.labels import label, singular

GAP = "\u00a0"
_NOW_H = 5.0
_BY_HOURS = (JobKind.TURN, JobKind.REPLACE, JobKind.REBUILD, JobKind.RESHOE, JobKind.RESHELL)


def hours_said(hours_h: float) -> str:
    """Hours left as the papers say them; "now" below five."""
    return translated("now") if hours_h < _NOW_H else show_hours(hours_h).replace(" ", GAP)


def length_said(length_m: float, units: UnitSystem, digits: int | None = None) -> str:
    """A length with its unit, unbroken."""
    return show_length(length_m, units, digits, grouped=abs(length_m) >= 1).replace(" ", GAP)


def big_length_said(length_m: float, units: UnitSystem) -> str:
    """A length of the whole machine: whole millimetres, or inches to the tenth."""
    return length_said(length_m, units, 0 if units is UnitSystem.METRIC else 1)


def part_name(place: Place, gear: RunningGear) -> str:
    """A part without its side; its number only where a side has several."""
    number = f"{GAP}{place.position}" if place.position and gear.count(place.part) > 1 else ""
    return singular(place.part) + number


def sided(name: str, side: Side) -> str:
    """A part's name with its side, where it has one, such as "bushes, left"."""
    return f"{name}, {label(side)}" if side.value else name


def state_said(part: PartVerdict) -> str:
    """What stands behind the call: hours to the job, what was seen, or the job itself; nothing where there is no call."""
    if part.call is Call.UNJUDGED:
        return ""
    both = either_way(part)
    if both is not None and part.call.asks:
        return worded(
            "{hours} or {others}", hours=hours_said(both.if_right_h), others=hours_said(both.if_misread_h)
        )
    if part.call is Call.STOP and part.findings:
        return label(part.findings[0].kind)
    if part.job is not None and part.job not in _BY_HOURS and part.call is not Call.RUN:
        return label(part.job)
    due = counted_due(part)
    if due is not None:
        return translated("now") if part.call is Call.STOP else hours_said(due.middle)
    statuses = {judged.status for judged in part.judged}
    if "held back" in statuses:
        return translated("held back")
    if part.judged:
        return translated("no figure")
    return translated("looked at")


def call_said(part: PartVerdict) -> str:
    """Call and what stands behind it, such as "book: due · 190 h"; "not read" alone where there is no call."""
    return " · ".join(word for word in (part_called(part, brief=True), state_said(part)) if word)


def range_said(left: HoursLeft) -> str:
    """The three figures of an outlook in one line."""
    if left.hopeful < _NOW_H:
        return translated("reached already")
    return worded(
        "middle {middle}, likely {cautious} to {hopeful}",
        middle=hours_said(left.middle),
        cautious=hours_said(left.cautious),
        hopeful=hours_said(left.hopeful),
    )


def parts_of(verdict: Verdict, side: Side) -> dict[Place, PartVerdict]:
    """Parts of one side by place, in walking order."""
    return {part.place: part for part in verdict.parts if part.place.side is side}


def machine_said(verdict: Verdict) -> str:
    """Name of the machine as entered."""
    return verdict.machine.name


def day_of(day: dt.date) -> str:
    """A day, such as "16 Nov 2026"."""
    return as_day(day, GAP)


def day_said(verdict: Verdict) -> str:
    """Hours and day the figures count from; without parts judged there are none."""
    if not verdict.parts:
        return translated("from the machine file alone, not gone round yet: no calls")
    hours = f"{as_figure(verdict.from_service_h)}{GAP}h"
    return worded("{hours} on {day}", hours=hours, day=day_of(verdict.as_of))


def numbers_said(numbers: list[int]) -> str:
    """Numbers with dashes where they run on: 1-4, 6, 8."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def invented(verdict: Verdict) -> str:
    """The note's first words, where a machine is said to be invented; else nothing."""
    first = verdict.machine.note.split(".")[0].split(":")[0]
    return f"{first}." if "invented" in first.lower() else ""


def unbroken(words: str) -> str:
    """The same words with each figure held to its unit."""
    return re.sub(r"(\d) (?=[^\W\d_A-Z])", rf"\1{GAP}", words)


def first_up(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]
