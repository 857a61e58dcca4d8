"""A wear record as figures, for a chart that is read point by point."""

import math
from typing import Any

import numpy as np

from pitchline.trade.measurands import MEASURANDS
from pitchline.trade.units import INCH_M, UnitSystem
from pitchline.trade.writing import marks_of, way_in_force
from pitchline.verdict import Judged, PartVerdict, Verdict
from pitchline.words import in_english, translated
from pitchline.words.called import limit_called

Line = list[tuple[float, float]]


def closer_look(verdict: Verdict, part: PartVerdict, judged: Judged, units: UnitSystem) -> dict[str, Any] | None:
    """What the chart draws: one run of hours, and each line's size at them.

    Returns
    -------
    dict or None
        Keys "id", "unit", "digits", "marks" (of thousands and decimals, for the script), "now_h", "down" (whether wear makes it
        smaller), "hours" and "lines", each line with "label", "kind" and "sizes" (None where it has no point); None where nothing
        was read.
    """
    read = [
        (visit.service_h, reading.value_m)
        for visit in verdict.walk_rounds
        for reading in visit.readings
        if reading.place == part.place and reading.measurand is judged.measurand
    ]
    if not read:
        return None
    unit, name, digits = (INCH_M, "in", 3) if units is UnitSystem.IMPERIAL else (1e-3, "mm", 2)
    lines = _lines(judged, read, verdict.from_service_h)
    hours = sorted({round(at, 1) for _, _, line in lines for at, _ in line})
    told = []
    for label, kind, line in lines:
        sizes = _sizes_at(hours, line, only_points=kind == "read")
        told.append({"label": label, "kind": kind, "sizes": [one and round(one / unit, digits) for one in sizes]})
    return {
        "id": f"closer-{judged.measurand.value.replace('_', '-')}",
        "unit": name,
        "digits": digits,
        "marks": marks_of(way_in_force().numbers),
        "now_h": verdict.from_service_h,
        "down": MEASURANDS[judged.measurand].direction.value == "falls",
        "hours": hours,
        "lines": told,
    }


def _sizes_at(hours: list[float], line: Line, only_points: bool) -> list[float | None]:
    """A line's size at each of the hours; between its points on the straight, nothing beyond its ends."""
    at, sizes = np.array([(round(hour, 1), size) for hour, size in line]).T
    if only_points:
        read = dict(zip(at.tolist(), sizes.tolist(), strict=True))
        return [read.get(hour) for hour in hours]
    found = np.interp(hours, at, sizes, left=np.nan, right=np.nan)
    return [None if math.isnan(size) else size for size in found.tolist()]


def _lines(judged: Judged, read: Line, now_h: float) -> list[tuple[str, str, Line]]:
    """Each line with its label and its kind; the fan lets the way so far go on."""
    lines: list[tuple[str, str, Line]] = [(translated("as read"), "read", read)]
    ends = [hour for hour, _ in read] + [now_h]
    course = judged.course
    if course is not None:
        past = course.past
        lines += [
            ("middle", "middle", [(one.service_h, one.middle_m) for one in past] + list(course.middle)),
            (
                translated("9 in 10 are better"),
                "edge",
                [(one.service_h, one.worst_m) for one in past] + list(course.cautious),
            ),
            (
                translated("1 in 10 is better"),
                "edge",
                [(one.service_h, one.best_m) for one in past] + list(course.hopeful),
            ),
        ]
        ends += [hour for _, _, line in lines for hour, _ in line]
    level = (
        (limit_called(judged), judged.limit_m),
        (in_english("new"), judged.new_m),
        (in_english("turn"), course.turn_m if course else None),
    )
    lines += [
        (translated(label), label, [(min(ends), size), (max(ends), size)])
        for label, size in level
        if size is not None
    ]
    return lines
