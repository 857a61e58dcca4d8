"""The walk-round sheet: blank or filled, out and in, as CSV or workbook.

See docs/reference/walk-round-sheet.md.
"""

import datetime as dt
from collections.abc import Collection, Container, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from pitchline.exchange.gathering import Gathering
from pitchline.exchange.sheet_in import sheet_walk_round
from pitchline.exchange.sheet_layout import NOTHING_SEEN, SHEET
from pitchline.exchange.sheet_out import sheet_head, sheet_lines
from pitchline.exchange.table import read_table, write_table
from pitchline.trade.dossier import Dossier, Event
from pitchline.trade.errors import phrase
from pitchline.trade.findings import CONSEQUENCES, FindingKind, Severity
from pitchline.trade.measurands import Measurand, measurands_of
from pitchline.trade.parts import PartKind, Place, Side, at
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, WalkRound
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.wear.history import renewals
from pitchline.words import translated, worded
from pitchline.words.catalogue import in_english
from pitchline.words.how_read import HOW_TURNED, how_read
from pitchline.words.labels import label
from pitchline.words.names import named
from pitchline.words.readings import reading_said

SIDES_WITH_BUSHES = (Side.LEFT, Side.RIGHT)
Line = tuple[Place, Measurand]


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One line of a sheet.

    Parameters
    ----------
    place : Place
        Where to look.
    measurand : Measurand or None
        What to read; None for a part that is only looked at.
    how : str
        How to read it, or what to look for.
    previous : str
        The newest earlier reading with its day, in words; empty when there is none.
    """

    place: Place
    measurand: Measurand | None
    how: str
    previous: str


def _look_for(part: PartKind) -> str:
    kinds = [label(kind) for kind in FindingKind if part in CONSEQUENCES[kind].parts]
    return worded("Look for: {kinds}.", kinds=", ".join(kinds)) if kinds else translated("Look at it.")


def turned_sides(dossier: Dossier) -> tuple[Side, ...]:
    """Sides whose bushes were turned and have not been renewed since."""
    bushes = (Place(PartKind.BUSH, side) for side in SIDES_WITH_BUSHES)
    last = {place.side: renewals(dossier.part_events, place)[-1:] for place in bushes}
    return tuple(side for side, event in last.items() if event and event[0].event is Event.TURNED)


def _how(dossier: Dossier, measurand: Measurand) -> str:
    """How a quantity is read on this machine: turned bushes otherwise than bushes on their first face."""
    sides = turned_sides(dossier) if measurand is Measurand.BUSH_OD_FORWARD else ()
    if not sides:
        return how_read(measurand)
    how = translated(HOW_TURNED)
    if len(sides) == len(SIDES_WITH_BUSHES):
        return worded("Turned bushes (left and right): {how}", how=how)
    turned = worded("Turned bushes ({side:side}): {how}", side=sides[0], how=how)
    return f"{how_read(measurand)} {turned}"


def _previous(dossier: Dossier) -> dict[tuple[Place, Measurand], str]:
    """The newest reading of each quantity of each place, with its day."""
    newest: dict[tuple[Place, Measurand], tuple[Reading, dt.date]] = {}
    for walk_round in reversed(dossier.walk_rounds):
        for reading in walk_round.readings:
            newest.setdefault((reading.place, reading.measurand), (reading, walk_round.date))
    return {
        where: worded("{reading} on {day}", reading=reading_said(reading), day=day.isoformat())
        for where, (reading, day) in newest.items()
    }


def _measurands_at(dossier: Dossier, place: Place, read: Container[Line]) -> tuple[Measurand, ...]:
    """What is read there on this machine: no grouser height where rubber takes the ground, nor a flange left out of the limits.

    Of a part whose limits are entered, an empty one says that nobody asks for it; where none is, they may still come.
    """
    limited = {limit.measurand for limit in dossier.limits if limit.part is place.part}

    def is_asked(each: Measurand) -> bool:
        if each is Measurand.GROUSER_HEIGHT:
            return dossier.gear.has_grousers
        left_out = each is Measurand.FLANGE_THICKNESS and limited and each not in limited
        return not left_out or (place, each) in read

    return tuple(filter(is_asked, measurands_of(place.part)))


def sheet_rows(dossier: Dossier, written: Collection[Line] = ()) -> tuple[SheetRow, ...]:
    """The lines of a sheet for one machine, in walking order.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    written : collection of (Place, Measurand)
        What stands on the sheet already: it has its line whatever is asked for.

    Returns
    -------
    tuple of SheetRow
        One for each quantity, and one for each part that is only looked at.
    """
    rows, previous = [], _previous(dossier)
    for place in dossier.gear.walked():
        measurands = _measurands_at(dossier, place, {*previous, *written})
        for measurand in measurands:
            how = _how(dossier, measurand)
            rows.append(SheetRow(place, measurand, how, previous.get((place, measurand), "")))
        if not measurands:
            rows.append(SheetRow(place, None, _look_for(place.part), ""))
    return tuple(rows)


def read_sheet(path: Path, dossier: Dossier) -> WalkRound:
    """What a filled sheet says about one machine.

    Returns
    -------
    WalkRound
        Readings, findings and parts looked over in the order of the rows; rows left empty are not in it.

    Raises
    ------
    InputError
        With every problem of the file: its row as a spreadsheet counts, the field, the value seen, what is allowed and what
        to do.
    """
    gathering = Gathering(path.name)
    table = read_table(path, SHEET, gathering)
    walk_round = sheet_walk_round(table, dossier, gathering)
    gathering.raise_if_any()
    if walk_round is None:
        raise AssertionError("a sheet without problems gives a walk-round")
    return walk_round


def _lists(dossier: Dossier) -> dict[str, Sequence[str]]:
    tools = DEFAULT_TOOLS | {tool.name: tool for tool in dossier.tools}
    return {
        "tool": list(tools),
        "seen": [NOTHING_SEEN, *map(named, FindingKind)],
        "how bad": [severity.value for severity in Severity],
    }


def write_sheet(
    dossier: Dossier,
    path: Path,
    walk_round: WalkRound | None = None,
    units: UnitSystem = UnitSystem.METRIC,
) -> None:
    """Nothing comes out; afterwards the file holds a blank or filled sheet for exactly this machine's parts.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    path : Path
        The sheet, .csv or .xlsx, new or replaced.
    walk_round : WalkRound or None
        What to fill in; None for a blank.
    units : UnitSystem
        Unit taken for readings that carry none.

    Raises
    ------
    InputError
        Another file ending, a place that cannot be written to, or a text no sheet can hold.
    """
    written = [(one.place, one.measurand) for one in walk_round.readings] if walk_round is not None else ()
    order = [(row.place, row.measurand) for row in sheet_rows(dossier, written)]
    head = sheet_head(dossier, walk_round, units)
    sides = turned_sides(dossier)
    if sides and walk_round is None:
        head.append(("turned bushes", f"{translated(' and ').join(map(label, sides))}: {translated(HOW_TURNED)}"))
    lines = sheet_lines(order, walk_round, dict(head)["unit"])
    further = [name for name in SHEET.further if any(line.get(name) for line in lines)]
    columns = [*SHEET.columns, *further]
    write_table(path, SHEET, head, lines, columns, _lists(dossier))


def _same(one: WalkRound, other: WalkRound) -> bool:
    """Whether two walk-rounds say the same, whatever file they came from and in whatever order."""
    lists = ("readings", "findings", "looked_over")
    none: dict[str, Any] = dict.fromkeys(lists, ())
    if replace(one, source="", **none) != replace(other, source="", **none):
        return False
    return all(sorted(map(repr, getattr(one, name))) == sorted(map(repr, getattr(other, name))) for name in lists)


def _merged(
    known: Sequence[WalkRound], added: Sequence[WalkRound], problems: list[Gathering]
) -> tuple[WalkRound, ...]:
    by_date = {walk_round.date: walk_round for walk_round in known}
    for walk_round in added:
        there = by_date.setdefault(walk_round.date, walk_round)
        if not _same(there, walk_round):
            gathering = Gathering(walk_round.source)
            step = in_english("Correct the date of one of them, or put both on one sheet.")
            allowed = phrase(
                "one walk-round a day; there is another in {words}",
                words=there.source or phrase("the machine file"),
            )
            gathering.add("date", walk_round.date.isoformat(), allowed, step)
            problems.append(gathering)
    return tuple(by_date[date] for date in sorted(by_date))


def with_walk_rounds(dossier: Dossier, walk_rounds: Sequence[WalkRound]) -> Dossier:
    """The dossier with walk-rounds from sheets added, in order of date.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    walk_rounds : sequence of WalkRound
        In any order; one that says the same as one already there counts once.

    Raises
    ------
    InputError
        Two different walk-rounds of one day, hours on the meter that fall from one day to a later one, or a place
        this machine does not have; every problem of every sheet at once.
    """
    found: list[Gathering] = []
    merged = _merged(dossier.walk_rounds, walk_rounds, found)
    new = {walk_round.source for walk_round in walk_rounds}
    for before, after in pairwise(merged):
        if after.service_h < before.service_h:
            gathering = Gathering(after.source if after.source in new else before.source)
            allowed = phrase(
                "at least the {service_h} h of {date}",
                service_h=as_figure(before.service_h, "g"),
                date=before.date,
            )
            step = in_english(
                "If the meter was changed, enter the change in the machine file; else correct the hours."
            )
            gathering.add(
                "hours on the meter",
                phrase("{service_h} h on {date}", service_h=as_figure(after.service_h, "g"), date=after.date),
                allowed,
                step,
            )
            found.append(gathering)
    places = set(dossier.gear.places())
    for walk_round in walk_rounds:
        gathering = Gathering(walk_round.source)
        stood_at = [reading.place for reading in walk_round.readings]
        stood_at += [finding.place for finding in walk_round.findings]
        for place in (*stood_at, *walk_round.looked_over):
            if place not in places:
                gathering.add("place", at(place), "a place this machine has", "Correct the place.")
        found.append(gathering)
    everything = Gathering("")
    everything.problems = [problem for gathering in found for problem in gathering.problems]
    everything.raise_if_any()
    return replace(dossier, walk_rounds=merged)
