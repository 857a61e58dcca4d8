"""From the entries of a machine file to readings, findings, tools and service hours."""

import datetime as dt
from collections.abc import Sequence

from pitchline.exchange.entries import Entries
from pitchline.exchange.figures import typed_length
from pitchline.exchange.json_lines import Path
from pitchline.exchange.machine_model import FindingEntry, LookedOverEntry, ReadingEntry, ToolEntry
from pitchline.exchange.words import place_on, tool_of
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.findings import Finding
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.meter import MeterChange, service_hours
from pitchline.trade.parts import Place
from pitchline.trade.readings import Reading, Tool
from pitchline.trade.units import Typed
from pitchline.words.carried import carried_by_note
from pitchline.words.catalogue import in_english


def tool(entry: ToolEntry) -> Tool:
    """A tool from its entry."""
    return Tool(
        entry.name, entry.label or entry.name, entry.resolution, entry.permitted_error, entry.repeatability
    )


def service_h_of(
    meter_h: float | None, service_h: float | None, day: dt.date | None, changes: tuple[MeterChange, ...]
) -> float:
    """Service hours from one of the two ways to state them.

    Parameters
    ----------
    meter_h, service_h : float or None
        What the meter showed, or service hours [h], zero or more; exactly one of them.
    day : datetime.date or None
        The day; needed with meter_h where the meter was ever changed.
    changes : tuple of MeterChange
        Every change of the meter.

    Returns
    -------
    float
        Service hours [h].

    Raises
    ------
    NotAllowedError
        Both or neither given, or no day where one is needed.
    """
    if (meter_h is None) == (service_h is None):
        seen = phrase("nothing") if meter_h is None else "both"
        raise NotAllowedError("meter_h", seen, "one of meter_h and service_h", "Give what the meter showed.")
    if meter_h is None:
        return float(service_h or 0.0)
    if day is None and changes:
        allowed = in_english("a day beside meter_h, because the meter of this machine was changed")
        raise NotAllowedError("date", phrase("nothing"), allowed, "Add the day, or give service_h.")
    return service_hours(meter_h, day or dt.date.min, changes)


def _typed(entry: ReadingEntry) -> tuple[Typed, ...]:
    if entry.read is not None:
        return tuple(typed_length(text, entry.unit, "read") for text in entry.read)
    return tuple(Typed(each.text, each.unit, each.metres) for each in entry.typed)


def _joints(entry: ReadingEntry, gear: RunningGear) -> int:
    spans = MEASURANDS[entry.measurand].spans_joints
    if spans and not 1 <= (entry.over_joints or 0) <= gear.joints_per_side:
        allowed = phrase(
            "how many joints the length spans, 1 to {joints_per_side}", joints_per_side=gear.joints_per_side
        )
        seen = phrase("nothing") if entry.over_joints is None else entry.over_joints
        raise NotAllowedError("over_joints", seen, allowed, "Count the joints again.")
    return 1 if entry.over_joints is None else entry.over_joints


def reading(gear: RunningGear, tools: Sequence[Tool], entry: ReadingEntry) -> Reading:
    """A reading from its entry, on this running gear and with these tools."""
    if (entry.read is None) == (entry.read_m is None):
        seen = phrase("nothing") if entry.read is None else phrase("both read and read_m")
        raise NotAllowedError("read", seen, "the repeats as typed, such as ['148.2 mm']", "Give the reading once.")
    typed = _typed(entry)
    repeats_m = tuple(entry.read_m) if entry.read_m is not None else tuple(each.si for each in typed)
    used = tool(entry.tool_as_used) if entry.tool_as_used else tool_of(entry.tool, tools)
    return Reading(
        place=place_on(gear, entry.part, entry.side, entry.position),
        measurand=entry.measurand,
        repeats_m=repeats_m,
        tool=used,
        joints=_joints(entry, gear),
        typed=typed,
        kept_because=entry.kept_because,
        extra_u_m=entry.extra_doubt,
    )


def finding(gear: RunningGear, entry: FindingEntry) -> Finding:
    """A finding from its entry, on this running gear."""
    place = place_on(gear, entry.part, entry.side, entry.position)
    is_told = "last_seen_on" in entry.model_fields_set
    last_seen_on = entry.last_seen_on if is_told else carried_by_note(entry.note)
    return Finding(place, entry.seen, entry.how_bad, entry.count, entry.note, entry.on_one, last_seen_on)


def looked_over(gear: RunningGear, entry: LookedOverEntry) -> Place:
    """A place somebody looked at, from its entry, on this running gear."""
    return place_on(gear, entry.part, entry.side, entry.position)


def once_each(readings: Sequence[tuple[Path, Reading]], entries: Entries) -> None:
    """Nothing; readings of the same quantity at the same place are noted as problems."""
    first: dict[tuple[Place, Measurand], Path] = {}
    for path, each in readings:
        if first.setdefault((each.place, each.measurand), path) != path:
            seen = phrase(
                "{quantity:quantity} of {place:place} again", quantity=each.measurand, place=each.place.key
            )
            entries.add(path, seen, "each quantity of a place once in a walk-round", "Put repeats into one entry.")
