"""From a sheet's head and lines to a walk-round, with every problem placed at its row."""

import datetime as dt
from dataclasses import dataclass, field
from functools import partial

from pitchline.exchange.figures import count_of, date_of, number_of, typed_length
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.sheet_layout import (
    CONTENT_COLUMNS,
    MORE_READING_COLUMNS,
    NOTHING_WORDS,
    READING_COLUMNS,
    UNITS,
)
from pitchline.exchange.table import Table, TableLine
from pitchline.exchange.words import (
    finding_of,
    measurand_of,
    on_one_of,
    part_of,
    place_on,
    plain,
    severity_of,
    side_of,
    tool_of,
)
from pitchline.trade.dossier import HOURS_PER_DAY, Dossier
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.findings import Finding
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.meter import service_hours
from pitchline.trade.parts import Place
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, Tool, WalkRound
from pitchline.trade.writing import as_figure
from pitchline.words.catalogue import in_english


@dataclass(slots=True)
class _Taking:
    """What is known while the rows of one sheet are read."""

    dossier: Dossier
    gathering: Gathering
    unit: str
    readings: list[Reading] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    looked_over: dict[Place, int] = field(default_factory=dict)
    first_row: dict[tuple[Place, Measurand], int] = field(default_factory=dict)

    @property
    def tools(self) -> list[Tool]:
        return list((DEFAULT_TOOLS | {tool.name: tool for tool in self.dossier.tools}).values())


def _check_machine(table: Table, dossier: Dossier, gathering: Gathering) -> None:
    seen, own = table.head_text("machine").strip(), dossier.machine.machine_id.strip()
    if seen != own:
        step = in_english("Use this machine's sheet, or judge the other machine.")
        gathering.add("machine", seen or phrase("nothing"), own, step, table.head_row("machine"))


def _unit(table: Table, gathering: Gathering) -> str:
    unit = table.head_text("unit").strip().casefold() or "mm"
    if unit not in UNITS:
        step = in_english("Write mm or in; single readings may carry another unit.")
        gathering.add("unit", unit, " or ".join(UNITS), step, table.head_row("unit"))
    return unit if unit in UNITS else "mm"


def _service_h(table: Table, day: dt.date | None, dossier: Dossier, gathering: Gathering) -> float | None:
    """Service hours from the head block: from the meter, or stated as such."""
    key = "service hours" if "service hours" in table.head else "hours on the meter"
    row = table.head_row(key)
    if {"service hours", "hours on the meter"} <= table.head.keys():
        gathering.add(
            "hours",
            phrase("hours on the meter and service hours"),
            "one of the two",
            "Delete one of the rows.",
            row,
        )
    shown_h = gathering.attempt(partial(number_of, table.head_text(key), key), row)
    if shown_h is None or day is None or key == "service hours":
        return shown_h
    return gathering.attempt(partial(service_hours, shown_h, day, dossier.meter_changes), row)


def _check_hours(service_h: float, day: dt.date, dossier: Dossier, gathering: Gathering, row: int) -> None:
    """Hours must lie between those of the walk-rounds before and after."""
    before = [each for each in dossier.walk_rounds if each.date < day and each.service_h > service_h]
    after = [each for each in dossier.walk_rounds if each.date > day and each.service_h < service_h]
    step = in_english("If the meter was changed, enter the change in the machine file; else correct the hours.")
    seen = phrase("{service_h} h on {day}", service_h=as_figure(service_h, "g"), day=day)
    refused = partial(gathering.add, "hours on the meter", seen, next_step=step, row=row)
    for other in before[-1:]:
        refused(
            phrase(
                "at least the {service_h} h of {date}", service_h=as_figure(other.service_h, "g"), date=other.date
            )
        )
    earlier = [each for each in dossier.walk_rounds if each.date < day]
    for other in earlier[-1:]:
        most_h = other.service_h + HOURS_PER_DAY * (day - other.date).days
        if service_h > most_h:
            allowed = phrase(
                "at most {most_h} h, because {day} had {had_h} h and a day has 24",
                most_h=as_figure(most_h, "g"),
                day=other.date,
                had_h=as_figure(other.service_h, "g"),
            )
            refused(allowed)
    for other in after[:1]:
        refused(
            phrase(
                "at most the {service_h} h of {date}", service_h=as_figure(other.service_h, "g"), date=other.date
            )
        )


def _place(line: TableLine, taking: _Taking) -> Place | None:
    gathering, row = taking.gathering, line.row
    part = gathering.attempt(partial(part_of, line.word("part")), row)
    side = gathering.attempt(partial(side_of, line.word("side")), row)
    words = line.word("number")
    position: int | None = 0
    if words:
        position = gathering.attempt(
            partial(count_of, words, "number", in_english("a whole number, counted from the front")), row
        )
    if part is None or side is None or position is None:
        return None
    return gathering.attempt(partial(place_on, taking.dossier.gear, part, side, position), row)


def _joints(line: TableLine, measurand: Measurand, taking: _Taking) -> int:
    words, most = line.word("over joints"), taking.dossier.gear.joints_per_side
    if not MEASURANDS[measurand].spans_joints:
        return count_of(words, "over joints", "empty or 1, for this quantity") if words else 1
    allowed = phrase("how many joints the length spans, 1 to {most}", most=most)
    joints = count_of(words, "over joints", allowed)
    if not 1 <= joints <= most:
        raise NotAllowedError("over joints", joints, allowed, "Count the joints again.")
    return joints


def _measurand(line: TableLine, place: Place | None, taking: _Taking) -> Measurand | None:
    part = place.part if place else None
    return taking.gathering.attempt(partial(measurand_of, line.word("quantity"), part), line.row)


def _note_reading(reading: Reading, row: int, taking: _Taking) -> None:
    key = (reading.place, reading.measurand)
    first = taking.first_row.setdefault(key, row)
    if first != row:
        seen = phrase(
            "{quantity:quantity} of {place:place} again", quantity=reading.measurand, place=reading.place.key
        )
        step = in_english("Put repeats in reading 1, 2 and 3 of one row, or delete one row.")
        taking.gathering.add(
            "reading", seen, phrase("once; it stands in row {first} already", first=first), step, row
        )
    taking.readings.append(reading)


_BESIDE_A_READING = ("over joints", "tool", "extra doubt")
"""Columns that say nothing without a reading on their row."""


def _take_reading(line: TableLine, place: Place | None, taking: _Taking) -> None:
    gathering, row = taking.gathering, line.row
    columns = [name for name in (*READING_COLUMNS, *MORE_READING_COLUMNS) if line.word(name)]
    if not columns:
        if line.word("keep because"):
            step = in_english("Type the reading, or empty this cell.")
            gathering.add("keep because", line.text("keep because"), "a reason beside a reading", step, row)
        for column in _BESIDE_A_READING:
            if line.word(column):
                step = in_english("Type the reading under reading 1, or empty this cell.")
                gathering.add(column, line.text(column), "empty, where there is no reading on the row", step, row)
        return
    typed = [gathering.attempt(partial(typed_length, line.word(each), taking.unit, each), row) for each in columns]
    extra = gathering.attempt(partial(typed_length, line.word("extra doubt") or "0", "mm", "extra doubt"), row)
    tool = gathering.attempt(partial(tool_of, line.word("tool"), taking.tools), row)
    measurand = _measurand(line, place, taking)
    joints = None
    if measurand is not None:
        joints = gathering.attempt(partial(_joints, line, measurand, taking), row)
    lengths = tuple(each for each in typed if each is not None)
    if place is None or measurand is None or joints is None or tool is None or extra is None:
        return
    if len(lengths) < len(typed):
        return
    repeats_m, why = tuple(each.si for each in lengths), line.text("keep because")
    build = partial(Reading, place, measurand, repeats_m, tool, joints, lengths, why, extra.si)
    reading = gathering.attempt(build, row)
    if reading is not None:
        _note_reading(reading, row, taking)


def _one_for_each(text: str, many: int, column: str) -> list[str]:
    """As many words as findings: one for all, or one for each."""
    words = [word.strip() for word in text.split(";")]
    if len(words) not in (1, many):
        allowed = phrase("one word for all, or {many} parted by semicolons", many=many)
        raise NotAllowedError(column, text, allowed, "Give one for each thing seen.")
    return words * many if len(words) == 1 else words


def _take_findings(line: TableLine, place: Place | None, taking: _Taking) -> None:
    gathering, row = taking.gathering, line.row
    seen = [word.strip() for word in line.word("seen").split(";") if word.strip()]
    if not seen:
        for column in ("how bad", "how many", "on one", "note"):
            if line.word(column):
                step = in_english("Say in 'seen' what was seen, or empty this cell.")
                gathering.add(column, line.text(column), "empty where nothing was seen", step, row)
        return
    if any(plain(word) in NOTHING_WORDS for word in seen):
        _take_looked_over(line, place, len(seen), taking)
        return
    badly = gathering.attempt(partial(_one_for_each, line.word("how bad"), len(seen), "how bad"), row)
    many = gathering.attempt(partial(_one_for_each, line.word("how many"), len(seen), "how many"), row)
    pieces = gathering.attempt(partial(_one_for_each, line.word("on one"), len(seen), "on one"), row)
    blank = [""] * len(seen)
    for word, bad, number, one in zip(seen, badly or blank, many or blank, pieces or blank, strict=True):
        kind = gathering.attempt(partial(finding_of, word), row)
        severity = gathering.attempt(partial(severity_of, bad), row) if badly else None
        count = gathering.attempt(
            partial(count_of, number or "1", "how many", in_english("a whole number from 1")), row
        )
        on_one = gathering.attempt(partial(on_one_of, one), row)
        if place is None or kind is None or severity is None or count is None:
            continue
        note = line.text("note")
        finding = gathering.attempt(partial(Finding, place, kind, severity, count, note, on_one), row)
        if finding is not None:
            taking.findings.append(finding)


def _take_looked_over(line: TableLine, place: Place | None, words: int, taking: _Taking) -> None:
    """Somebody looked and saw nothing: no finding, and nothing else can stand beside it."""
    for column in ("how bad", "how many", "note"):
        if line.word(column):
            taking.gathering.add(
                column, line.text(column), "empty where nothing was seen", "Empty this cell.", line.row
            )
    if words > 1:
        step = in_english("Leave 'nothing' out where something was seen.")
        taking.gathering.add("seen", line.text("seen"), "'nothing', or what was seen", step, line.row)
    if place is not None:
        taking.looked_over.setdefault(place, line.row)


def sheet_walk_round(table: Table, dossier: Dossier, gathering: Gathering) -> WalkRound | None:
    """The walk-round a sheet tells, or None when its head has problems.

    Returns
    -------
    WalkRound or None
        None when date or hours are missing; the problems say so.
    """
    _check_machine(table, dossier, gathering)
    day = gathering.attempt(partial(date_of, table.head_text("day")), table.head_row("day"))
    service_h = _service_h(table, day, dossier, gathering)
    taking = _Taking(dossier, gathering, _unit(table, gathering))
    for line in table.lines:
        if any(line.word(column) for column in (*CONTENT_COLUMNS, *_BESIDE_A_READING)):
            place = _place(line, taking)
            _take_reading(line, place, taking)
            _take_findings(line, place, taking)
    if day is None or service_h is None:
        return None
    _check_hours(service_h, day, dossier, gathering, table.head_row("hours on the meter"))
    for finding in taking.findings:
        if finding.place in taking.looked_over:
            step = in_english("Leave 'nothing' out where something was seen.")
            row = taking.looked_over[finding.place]
            gathering.add(
                "seen",
                phrase("nothing, and {kind:finding} on another row", kind=finding.kind),
                "one of the two",
                step,
                row,
            )
    readings, findings, at = tuple(taking.readings), tuple(taking.findings), tuple(taking.looked_over)
    build = partial(WalkRound, day, service_h, readings, findings, table.head_text("who"), gathering.file, at)
    return gathering.attempt(build, table.head_row("day"))
