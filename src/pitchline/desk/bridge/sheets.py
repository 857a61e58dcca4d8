"""A sheet's rows and its walk-round; every reading as typed goes there and comes back unchanged."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from pydantic import ValidationError

from pitchline.desk.bridge.sheet_rows import LOOKED, NOTHING_SEEN, ReadingRow, SeenRow, Sheet
from pitchline.desk.problems import in_language
from pitchline.exchange.figures import count_of, date_of, hours_of
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.machine_model import FindingEntry, ReadingEntry
from pitchline.exchange.machine_out import finding_entry, reading_entry
from pitchline.exchange.readings_in import finding, reading
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError, Problem, phrase
from pitchline.trade.findings import Finding
from pitchline.trade.machine import RunningGear
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.meter import service_hours
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, Tool, WalkRound
from pitchline.words import in_english, translated

DAY, JOINTS = in_english("day"), in_english("over joints")
_OWN_COLUMNS = ("part", "side", "position", "measurand", "read", "unit", "over_joints", "tool", "kept_because")


@dataclass(frozen=True, slots=True)
class Rows:
    """The lines of one sheet."""

    readings: tuple[ReadingRow, ...] = ()
    seen: tuple[SeenRow, ...] = ()


def place_of(row: ReadingRow | SeenRow) -> Place:
    """Where a line of a sheet stands."""
    return Place(PartKind(row.part), Side(row.side), row.position)


def line_number(gear: RunningGear, place: Place, measurand: Measurand | None = None) -> int:
    """Where a line stands on its sheet: in walking order, at one part in the order of what is read there."""
    of_all = list(Measurand)
    return gear.places().index(place) * len(of_all) + (of_all.index(measurand) if measurand is not None else 0)


def tools_of(dossier: Dossier) -> list[Tool]:
    """The tools a machine may be read with: the project's own, and the yard's in their place."""
    return list((DEFAULT_TOOLS | {tool.name: tool for tool in dossier.tools}).values())


def reading_of(row: ReadingRow, dossier: Dossier) -> Reading | None:
    """What one line says was read; None where nothing was typed.

    Raises
    ------
    NotAllowedError
        What was typed cannot be used.
    """
    if not row.typed and "read_m" not in row.beyond:
        return None
    entry: dict[str, Any] = {
        "part": row.part,
        "side": row.side,
        "position": row.position,
        "measurand": row.measurand,
    }
    entry |= {"unit": row.unit, "kept_because": row.kept_because} | row.beyond
    if row.typed:
        entry["read"] = list(row.typed)
    if row.tool:
        entry["tool"] = row.tool
    if MEASURANDS[Measurand(row.measurand)].spans_joints:
        entry["over_joints"] = _joints(row.over_joints, dossier)
    try:
        return reading(dossier.gear, tools_of(dossier), ReadingEntry.model_validate(entry))
    except ValidationError as error:
        first = error.errors()[0]
        field = " ".join(str(bit) for bit in first["loc"])
        raise NotAllowedError(field, str(first.get("input", "")), first["msg"], "Type it again.") from None


def _joints(text: str, dossier: Dossier) -> int:
    allowed = translated("a whole number from 1 to {joints_per_side}").format(
        joints_per_side=dossier.gear.joints_per_side
    )
    if not text.strip():
        raise NotAllowedError(JOINTS, "", allowed, "Say how many joints the length spans.")
    return count_of(text, JOINTS, allowed)


def finding_of(row: SeenRow, dossier: Dossier) -> Finding | None:
    """What one line says was seen; None where it was taken back, or says that there is nothing to see."""
    if not row.how_bad or row.kind == NOTHING_SEEN:
        return None
    entry = {"part": row.part, "side": row.side, "position": row.position, "seen": row.kind}
    entry |= {"how_bad": row.how_bad, "count": row.count, "note": row.note, "on_one": row.on_one}
    day = row.last_seen_on.isoformat() if row.last_seen_on is not None else None
    return finding(dossier.gear, FindingEntry.model_validate(entry | {"last_seen_on": day}))


def problem_of(row: ReadingRow, dossier: Dossier) -> Problem | None:
    """Why what was typed on a line cannot be used; None where it can."""
    try:
        reading_of(row, dossier)
    except NotAllowedError as error:
        return error.problem
    return None


def problem_said(problem: Problem) -> str:
    """Why something typed cannot be used, in a sentence or two beside its field."""
    one = in_language(problem)
    if not one.seen:
        return f"{one.next_step.rstrip('.')}: {one.allowed}."
    said = translated("“{seen}” cannot be used. It has to be {allowed}. {next_step}")
    return said.format(seen=one.seen, allowed=one.allowed, next_step=one.next_step).rstrip()


def set_value(row: ReadingRow, dossier: Dossier) -> None:
    """Nothing comes out; afterwards the row holds its value in metres, or in words why it has none."""
    row.repeats_m, row.value_m, row.problem = [], None, ""
    try:
        found = reading_of(row, dossier)
    except NotAllowedError as error:
        row.problem = problem_said(error.problem)
        return
    if found is not None:
        row.repeats_m, row.value_m = list(found.repeats_m), found.value_m


def walk_round_of(sheet: Sheet, rows: Rows, dossier: Dossier, strict: bool = True) -> WalkRound:
    """The walk-round a sheet tells.

    Parameters
    ----------
    sheet : Sheet
        Its head, date and hours known.
    rows : Rows
        Its lines.
    dossier : Dossier
        The machine.
    strict : bool
        Whether a line that cannot be used is an error, or left out.

    Returns
    -------
    WalkRound
        Readings, findings and parts looked over in the order of the rows.

    Raises
    ------
    InputError
        With every line that cannot be used, where strict.
    NotAllowedError
        No date or no hours.
    """
    if sheet.date is None or sheet.service_h is None:
        raise NotAllowedError("walk-round", translated("no day or no hours"), "a day and the hours", "Enter both.")
    gathering = Gathering("")
    read = [gathering.attempt(partial(reading_of, row, dossier)) for row in rows.readings]
    seen = [gathering.attempt(partial(finding_of, row, dossier)) for row in rows.seen]
    if strict:
        gathering.raise_if_any()
    readings = tuple(one for one in read if one is not None)
    findings = tuple(one for one in seen if one is not None)
    looked = _looked_over(rows.seen, findings)
    return WalkRound(sheet.date, sheet.service_h, readings, findings, sheet.by, sheet.source, looked)


def _looked_over(rows: Sequence[SeenRow], findings: Sequence[Finding]) -> tuple[Place, ...]:
    """Places somebody said there is nothing to see on; a finding there counts whatever that says."""
    found = {finding.place for finding in findings}
    said = (place_of(row) for row in rows if row.kind == NOTHING_SEEN and row.how_bad)
    return tuple(place for place in said if place not in found)


def rows_of(walk_round: WalkRound, dossier: Dossier) -> tuple[Sheet, Rows]:
    """Unsaved rows for a walk-round from a file, already finished."""
    sheet = Sheet(
        state=Sheet.FINISHED,
        date=walk_round.date,
        date_text=walk_round.date.isoformat(),
        service_h=walk_round.service_h,
        hours_text=f"{walk_round.service_h!r}".removesuffix(".0"),
        hours_are="service",
        by=walk_round.by,
        source=walk_round.source,
    )
    tools = tools_of(dossier)
    readings = [_reading_row(one, number, tools) for number, one in enumerate(walk_round.readings)]
    seen = (*_seen_rows(walk_round.findings), *_looked_rows(walk_round))
    return sheet, Rows(tuple(readings), seen)


def _reading_row(one: Reading, number: int, tools: list[Tool]) -> ReadingRow:
    entry = reading_entry(one, tools)
    return ReadingRow(
        part=one.place.part.value,
        side=one.place.side.value,
        position=one.place.position,
        measurand=one.measurand.value,
        number=number,
        typed=entry.get("read", []),
        unit=entry.get("unit", "mm"),
        over_joints=str(entry.get("over_joints") or ""),
        tool=entry.get("tool") or "",
        kept_because=entry.get("kept_because", ""),
        beyond={key: value for key, value in entry.items() if key not in _OWN_COLUMNS},
        repeats_m=list(one.repeats_m),
        value_m=one.value_m,
    )


def _seen_rows(findings: Sequence[Finding]) -> Iterable[SeenRow]:
    met: dict[tuple[str, str], int] = {}
    for number, one in enumerate(findings):
        key = (one.place.key, one.kind.value)
        met[key] = met.get(key, -1) + 1
        entry = finding_entry(one)
        yield SeenRow(
            part=one.place.part.value,
            side=one.place.side.value,
            position=one.place.position,
            number=number,
            kind=entry["seen"],
            nth=met[key],
            how_bad=entry["how_bad"],
            count=one.count,
            on_one=one.on_one,
            last_seen_on=one.last_seen_on,
            note=one.note,
        )


def _looked_rows(walk_round: WalkRound) -> Iterable[SeenRow]:
    for number, place in enumerate(walk_round.looked_over, start=len(walk_round.findings)):
        yield SeenRow(
            part=place.part.value,
            side=place.side.value,
            position=place.position,
            number=number,
            kind=NOTHING_SEEN,
            how_bad=LOOKED,
        )


def set_head(sheet: Sheet, dossier: Dossier) -> list[Problem]:
    """What cannot be used of the day and the hours as typed; afterwards the sheet holds both as far as they can be read."""
    gathering = Gathering("")
    sheet.date, sheet.service_h = None, None
    if sheet.date_text:
        sheet.date = gathering.attempt(lambda: date_of(sheet.date_text, DAY))
    if sheet.hours_text:
        sheet.service_h = gathering.attempt(lambda: _service_h(sheet, dossier))
    return gathering.problems


def _service_h(sheet: Sheet, dossier: Dossier) -> float | None:
    shown_h = hours_of(sheet.hours_text, phrase("{hours_are} hours", hours_are=sheet.hours_are))
    if sheet.hours_are == "service":
        return shown_h
    return service_hours(shown_h, sheet.date, dossier.meter_changes) if sheet.date is not None else None
