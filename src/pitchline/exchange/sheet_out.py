"""From a machine and a walk-round to the head and lines of a sheet."""

from collections.abc import Iterable, Sequence

from pitchline.exchange.figures import exact_length, exact_number, meter_h_of, reads_back
from pitchline.exchange.sheet_layout import MORE_READING_COLUMNS, NOTHING_SEEN, READING_COLUMNS, UNITS
from pitchline.trade.dossier import Dossier
from pitchline.trade.findings import Finding
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import Place
from pitchline.trade.readings import Reading, WalkRound
from pitchline.trade.units import Typed, UnitSystem
from pitchline.trade.writing import PLAIN, writing
from pitchline.words.carried import note_said
from pitchline.words.names import named

Line = dict[str, str]
Spot = tuple[Place, Measurand | None]


def _unit_for(walk_round: WalkRound | None, units: UnitSystem) -> str:
    """The unit of the sheet: the one asked for, unless the texts as typed all need the other."""
    asked = "in" if units is UnitSystem.IMPERIAL else "mm"
    if walk_round is None:
        return asked
    every = [typed for reading in walk_round.readings for typed in reading.typed]
    counts = {unit: sum(reads_back(typed, unit) for typed in every) for unit in (asked, *UNITS)}
    return max(counts, key=lambda unit: counts[unit])


def sheet_head(dossier: Dossier, walk_round: WalkRound | None, units: UnitSystem) -> list[tuple[str, str]]:
    """The head block: machine, day, hours on the meter, who, unit."""
    hours = ("hours on the meter", "")
    if walk_round is not None:
        meter_h = meter_h_of(walk_round.service_h, walk_round.date, dossier.meter_changes)
        hours = ("service hours", exact_number(walk_round.service_h))
        if meter_h is not None:
            hours = ("hours on the meter", exact_number(meter_h))
    return [
        ("machine", dossier.machine.machine_id),
        ("day", walk_round.date.isoformat() if walk_round else ""),
        hours,
        ("who", walk_round.by if walk_round else ""),
        ("unit", _unit_for(walk_round, units)),
    ]


def _spot_line(spot: Spot) -> Line:
    place, measurand = spot
    return {
        "side": place.side.value,
        "part": named(place.part),
        "number": str(place.position or ""),
        "quantity": named(measurand) if measurand else "",
    }


def _text(typed: Typed, unit: str) -> str:
    """The text as typed where it reads back the same on this sheet, else with its unit, else the value."""
    if reads_back(typed, unit):
        return typed.text
    named = f"{typed.text} {typed.unit}"
    return named if reads_back(Typed(named, typed.unit, typed.si), unit) else exact_length(typed.si)


def _reading_texts(reading: Reading, unit: str) -> list[str]:
    if tuple(typed.si for typed in reading.typed) != reading.repeats_m:
        return [exact_length(repeat) for repeat in reading.repeats_m]
    return [_text(typed, unit) for typed in reading.typed]


def _reading_line(reading: Reading, unit: str) -> Line:
    line = _spot_line((reading.place, reading.measurand))
    columns = (*READING_COLUMNS, *MORE_READING_COLUMNS)
    line |= dict(zip(columns, _reading_texts(reading, unit), strict=False))
    if MEASURANDS[reading.measurand].spans_joints:
        line["over joints"] = str(reading.joints)
    line |= {"tool": reading.tool.name, "keep because": reading.kept_because}
    if reading.extra_u_m:
        line["extra doubt"] = exact_length(reading.extra_u_m)
    return line


def _finding_cells(finding: Finding) -> Line:
    return {
        "seen": named(finding.kind),
        "how bad": finding.severity.value,
        "how many": str(finding.count),
        "on one": {True: "yes", False: "no", None: ""}[finding.on_one],
        "note": _note(finding),
    }


def _note(finding: Finding) -> str:
    with writing(PLAIN):
        return note_said(finding)


def _lines_at(spot: Spot, readings: Iterable[Reading], seen: list[Line], unit: str) -> list[Line]:
    """The lines of one spot; what was seen waits in the list until a line of its place has room."""
    lines = [_reading_line(reading, unit) for reading in readings] or [_spot_line(spot)]
    for line in lines:
        if seen:
            line |= seen.pop(0)
    return lines


def sheet_lines(order: Sequence[Spot], walk_round: WalkRound | None, unit: str) -> list[Line]:
    """The lines of a sheet: those of the machine in walking order, each finding on a line of its own."""
    readings: dict[Spot, list[Reading]] = {}
    seen: dict[Place, list[Line]] = {}
    for reading in walk_round.readings if walk_round else ():
        readings.setdefault((reading.place, reading.measurand), []).append(reading)
    for finding in walk_round.findings if walk_round else ():
        seen.setdefault(finding.place, []).append(_finding_cells(finding))
    for place in walk_round.looked_over if walk_round else ():
        seen.setdefault(place, [{"seen": NOTHING_SEEN}])
    spots = list(dict.fromkeys([*order, *readings]))
    lines = [
        line for spot in spots for line in _lines_at(spot, readings.get(spot, ()), seen.get(spot[0], []), unit)
    ]
    for place, left in seen.items():
        lines += [_spot_line((place, None)) | cells for cells in left]
    return lines
