"""A machine from the rows of fleet tables, where its own file says no more than its running gear.

See docs/reference/fleet-tables.md.
"""

import datetime as dt
import math
from collections import defaultdict
from dataclasses import replace

from pitchline.exchange.figures import date_of
from pitchline.exchange.fleet_from_machines import allowance_of
from pitchline.exchange.fleet_layout import TURNED
from pitchline.exchange.fleet_rows_in import Row, Sent
from pitchline.outlook.learned import kind_named
from pitchline.trade.dossier import Dossier, KindLife, Limit
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.ground import GroundClass, GroundSpan
from pitchline.trade.measurands import MEASURANDS, Direction, Measurand
from pitchline.trade.part_events import Because, Event, PartEvent
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import Reading, Tool, WalkRound
from pitchline.wear.copied import steps_by_others_m
from pitchline.wear.line import wear_line

Where = tuple[Place, Measurand]
_ROOT_12 = math.sqrt(12.0)
_STEPS_MM = (1.0, 0.5, 0.1, 0.05, 0.01)
_FINEST_M = 1e-9
"""A step too small to add to any doubt."""


def built(dossier: Dossier, sent: Sent, kinds: list[Row]) -> Dossier:
    """The machine with the limits, the history, the walk-rounds and the grounds of its rows.

    Parameters
    ----------
    dossier : Dossier
        What its own file says: its running gear, and maybe limits.
    sent : Sent
        Its rows.
    kinds : list of dict
        What is believed of kinds of part.

    Raises
    ------
    NotAllowedError
        What the machine's file cannot hold: a kind or a position it has no place for, a reading without its day, a part without
        its new size, or whose hours of fitting nobody knows.
    """
    where = places_of(dossier, sent.parts)
    limits = dossier.limits or _limits(sent.parts, where)
    known = {(limit.part, limit.measurand): limit for limit in limits}
    lives = tuple(_kind_life(row) for row in kinds) if not dossier.kind_lives else dossier.kind_lives
    spans = tuple(
        GroundSpan(row["from_h"], row["to_h"], GroundClass(int(row["ground"])))
        for row in sent.grounds
        if row["to_h"] > row["from_h"]
    )
    return replace(
        dossier,
        limits=limits,
        kind_lives=tuple(one for one in lives if (one.part, one.measurand) in known),
        events=_events(sent.parts, where),
        ground_spans=dossier.ground_spans or spans,
        walk_rounds=_walk_rounds(sent.readings, where, known),
    )


def places_of(dossier: Dossier, parts: list[Row]) -> dict[str, Where]:
    """The place and the quantity of each position.

    Raises
    ------
    NotAllowedError
        A kind that is not read here, or more positions of it on one side than the running gear has places.
    """
    groups: dict[tuple[str, str], list[str]] = defaultdict(list)
    for row in parts:
        if row["position"] not in groups[row["kind"], row["side"]]:
            groups[row["kind"], row["side"]].append(row["position"])
    found: dict[str, Where] = {}
    for (kind, side), positions in groups.items():
        part, measurand = _kind(kind)
        there = [
            one
            for one in dossier.gear.places()
            if one.part is part and one.side is (Side.LEFT if side == "L" else Side.RIGHT)
        ]
        named = {f"{place.key}:{measurand.value}": place for place in there}
        if not set(positions) <= named.keys():
            named = dict(zip(sorted(positions, key=_natural), there, strict=False))
        if len(positions) > len(named):
            seen = phrase("{n} positions of {kind} on one side", n=len(positions), kind=kind)
            allowed = phrase("{n}, as its running gear has", n=len(there))
            raise NotAllowedError(
                "position", seen, allowed, "Correct the running gear in its machine file, or the rows."
            )
        found |= {position: (named[position], measurand) for position in positions}
    return found


def _natural(word: str) -> tuple[bool, int, str]:
    return (not word.isdigit(), int(word) if word.isdigit() else 0, word)


def _kind(word: str) -> tuple[PartKind, Measurand]:
    known = kind_named(word)
    if known is None:
        step = "Use the word of a kind that is read here; the command learns from other words too."
        raise NotAllowedError("kind", word, "a kind of part the yard reads", step)
    return known


def _limits(parts: list[Row], where: dict[str, Where]) -> tuple[Limit, ...]:
    found: dict[tuple[PartKind, Measurand], Limit] = {}
    for row in parts:
        place, measurand = where[row["position"]]
        new_mm, allowance_mm = row.get("new_mm"), row["allowance_mm"]
        if new_mm is None:
            step = "Fill the column new_mm, or enter the limits in the machine file."
            raise NotAllowedError("new_mm", phrase("nothing"), "the size of a new part, in mm", step)
        limit_mm = (
            new_mm - allowance_mm if MEASURANDS[measurand].direction is Direction.FALLS else new_mm + allowance_mm
        )
        limit = Limit(
            place.part,
            measurand,
            new_mm / 1e3,
            round(limit_mm, 9) / 1e3,
            u_new_m=row["u_new_mm"] / 1e3,
            source="fleet tables",
        )
        known = found.setdefault((place.part, measurand), limit)
        if (known.new_m, known.limit_m) != (limit.new_m, limit.limit_m):
            allowed = phrase(
                "{allowance} mm, as another row of its kind on this machine", allowance=allowance_of(known)
            )
            raise NotAllowedError(
                "allowance_mm", allowance_mm, allowed, "A machine has one limit for each kind of part."
            )
    return tuple(found.values())


def _kind_life(row: Row) -> KindLife:
    return KindLife(*_kind(row["kind"]), row["typical_life_h"], row["log_spread"])


def _events(parts: list[Row], where: dict[str, Where]) -> tuple[PartEvent, ...]:
    """What began each part's life; the first of a position may be as old as the machine."""
    found: dict[tuple[Place, float], PartEvent] = {}
    before: dict[str, Row] = {}
    for row in sorted(parts, key=lambda each: (each["position"], each["part_no"])):
        place, last = where[row["position"]][0], before.get(row["position"])
        before[row["position"]] = row
        why = (last.get("removed_because") or Because.UNKNOWN.value) if last is not None else Because.UNKNOWN.value
        if row["fitted_h"] is None:
            if last is not None:
                raise NotAllowedError("fitted_h", phrase("nothing"), "the hours when it was fitted", "Fill it in.")
            continue
        did = Event.TURNED if why == TURNED else Event.FITTED_NEW
        because = Because.UNKNOWN if why == TURNED else Because(why)
        at = Place(PartKind.BUSH, place.side) if did is Event.TURNED else place
        found.setdefault((at, row["fitted_h"]), PartEvent(at, did, row["fitted_h"], because=because))
    return tuple(sorted(found.values(), key=lambda one: one.service_h))


def _walk_rounds(
    readings: list[Row], where: dict[str, Where], limits: dict[tuple[PartKind, Measurand], Limit]
) -> tuple[WalkRound, ...]:
    by_day: dict[dt.date, list[Row]] = defaultdict(list)
    for row in readings:
        if not row.get("day"):
            raise NotAllowedError(
                "day", phrase("nothing"), "the day it was read, such as 2026-03-14", "Fill the column day."
            )
        by_day[date_of(row["day"], "day")].append(row)
    return tuple(_walk_round(day, rows, where, limits) for day, rows in sorted(by_day.items()))


def _walk_round(
    day: dt.date, rows: list[Row], where: dict[str, Where], limits: dict[tuple[PartKind, Measurand], Limit]
) -> WalkRound:
    hours = sorted({row["meter_h"] for row in rows})
    if len(hours) > 1:
        seen = phrase("{first:g} and {last:g} h on {day:day}", first=hours[0], last=hours[-1], day=day.isoformat())
        raise NotAllowedError(
            "meter_h", seen, "one figure for all that was read on a day", "Correct the hours, or the day."
        )
    fine = defaultdict[str, float](lambda: _FINEST_M)
    for row in rows:
        fine[_tool_name(row)] = max(fine[_tool_name(row)], _written_step_m(rows, _tool_name(row)))
    plain = WalkRound(day, hours[0], tuple(_reading(row, where, limits, fine[_tool_name(row)]) for row in rows))
    for one, step_m in zip(plain.readings, steps_by_others_m(plain).values(), strict=True):
        fine[one.tool.name] = max(fine[one.tool.name], step_m)
    return replace(plain, readings=tuple(_reading(row, where, limits, fine[_tool_name(row)]) for row in rows))


def _tool_name(row: Row) -> str:
    return row.get("tool") or "unknown"


def _written_step_m(rows: list[Row], tool: str) -> float:
    """The coarsest step in which all wear read with a tool is written."""
    wear_mm = [row["wear_mm"] for row in rows if _tool_name(row) == tool]
    return next(
        (step / 1e3 for step in _STEPS_MM if all(abs(one / step - round(one / step)) < 1e-6 for one in wear_mm)),
        0.0,
    )


def _reading(
    row: Row, where: dict[str, Where], limits: dict[tuple[PartKind, Measurand], Limit], step_m: float
) -> Reading:
    """The size that means this wear, by a tool with this doubt: what of it is the step it was read in is said apart."""
    place, measurand = where[row["position"]]
    limit, u_m = limits[place.part, measurand], row["u_mm"] / 1e3
    step_m = step_m if u_m > step_m / _ROOT_12 else _FINEST_M
    tool = Tool(_tool_name(row), "", step_m, 0.0, math.sqrt(max(u_m**2 - step_m**2 / 12.0, 0.0)))
    size_m = float(wear_line(limit).size_m([row["wear_mm"] / allowance_of(limit)])[0])
    return Reading(place, measurand, (round(size_m, 12),), tool)
