"""A list of machines as one table, in and out: what a yard keeps of each in a few columns."""

import datetime as dt
import io
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TypeAlias

import xlsxwriter

from pitchline.exchange.figures import exact_number, number_of
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.grid_csv import csv_bytes
from pitchline.exchange.table import Layout, TableLine, read_table
from pitchline.exchange.words import look_up
from pitchline.trade.errors import NotAllowedError, Problem, phrase
from pitchline.trade.machine import MachineKind
from pitchline.trade.writing import as_figure
from pitchline.words.names import named

Cell: TypeAlias = str | float | dt.date | None
OWN_COLUMNS = (
    "short name", "name", "kind", "hours", "customer", "site", "serial number", "year built", "owner's number",
)  # fmt: skip
"""What can be brought in."""
WORKED_OUT = (
    "call", "call about", "falls due first", "hours left, cautious", "hours left, middle", "hours left, hopeful", "due about",
    "cost of the work due, low", "cost of the work due, usual", "cost of the work due, high",
    "running gear worth now, cautious", "running gear worth now, middle", "running gear worth now, hopeful", "currency",
    "asking price", "asking price in", "last walk-round", "judged for", "hours carried on", "parts looked at", "parts in all",
    "archived", "invented",
)  # fmt: skip
"""What the desk works out, and the asking price: written, and left alone when it comes back."""
ALL_COLUMNS = (*OWN_COLUMNS, *WORKED_OUT)
MACHINE_LIST = Layout(
    title="machines",
    heads=(),
    columns=OWN_COLUMNS,
    anchors=("name",),
    further=WORKED_OUT,
    before=(
        ("place", "site"),
        *((f"money, {end}", f"cost of the work due, {end}") for end in ("low", "usual", "high")),
    ),
)
LONGEST = 200
MOST_MACHINES = 5_000
_KIND_WORDS = {named(kind): kind for kind in MachineKind} | {kind.value: kind for kind in MachineKind}


@dataclass(frozen=True, slots=True)
class ListedMachine:
    """One row of a list, as far as it can be used.

    Parameters
    ----------
    row : int
        Its number in the file.
    short_name, name, kind, customer, place : str
        Empty where the cell was.
    hours_text : str
        As typed.
    hours_h : float or None
        Hours on the meter [h]; None where the cell was empty.
    serial_number, owner_number : str
        Empty where the cell was.
    year_built : int or None
        None where the cell was empty.
    problems : tuple of Problem
        What cannot be used of it; a row with a problem is left out as a whole.
    """

    row: int
    short_name: str
    name: str
    kind: str
    hours_text: str
    hours_h: float | None
    customer: str
    place: str
    serial_number: str = ""
    year_built: int | None = None
    owner_number: str = ""
    problems: tuple[Problem, ...] = ()


def read_machine_list(path: Path) -> tuple[ListedMachine, ...]:
    """The rows of a machine list, those with problems included.

    Parameters
    ----------
    path : Path
        CSV in any usual encoding, cells parted by comma, semicolon or tab; or a workbook's first sheet.

    Returns
    -------
    tuple of ListedMachine
        In the order of the file; blank rows are left out.

    Raises
    ------
    InputError
        The file is not such a list, is not safe to open, or has nothing in it.
    """
    gathering = Gathering(path.name)
    table = read_table(path, MACHINE_LIST, gathering)
    by_row: dict[int, list[Problem]] = {}
    for problem in gathering.problems:
        by_row.setdefault(problem.row or 0, []).append(problem)
    about_the_file = [one for one in gathering.problems if one.row in (None, table.header_row)]
    if about_the_file or not table.lines:
        gathering.problems = about_the_file
        if not table.lines:
            gathering.add(
                "table", phrase("no rows"), "one machine or more", "Fill in a row below the column names."
            )
        gathering.raise_if_any()
    if len(table.lines) > MOST_MACHINES:
        allowed = phrase("up to {most_machines} machines at a time", most_machines=as_figure(MOST_MACHINES, ","))
        raise refuse(
            path.name,
            "table",
            phrase("{lines} rows", lines=as_figure(len(table.lines), ",")),
            allowed,
            "Part the list in two.",
        )
    return tuple(_listed(line, path.name, by_row.get(line.row, [])) for line in table.lines)


def _listed(line: TableLine, file: str, before: list[Problem]) -> ListedMachine:
    gathering = Gathering(file)
    gathering.problems = list(before)
    for column in ("short name", "name", "customer", "site", "serial number", "owner's number"):
        if len(line.word(column)) > LONGEST:
            seen = phrase("{n} characters", n=len(line.word(column)))
            gathering.add(
                column, seen, phrase("up to {longest} characters", longest=LONGEST), "Shorten it.", line.row
            )
    kind, hours = line.word("kind"), line.word("hours").removesuffix("h").strip()
    found = (
        gathering.attempt(partial(look_up, kind, _KIND_WORDS, "kind", _kinds_said()), line.row) if kind else None
    )
    hours_h = gathering.attempt(partial(number_of, hours, "hours"), line.row) if hours else None
    year = line.word("year built")
    built = gathering.attempt(partial(year_of, year), line.row) if year else None
    if not line.word("short name") and not line.word("name") and not before:
        gathering.add(
            "name", phrase("nothing"), "a name, or a short name that is in the yard", "Name it.", line.row
        )
    return ListedMachine(
        row=line.row,
        short_name=line.word("short name")[:LONGEST],
        name=line.word("name")[:LONGEST],
        kind=found.value if found is not None else "",
        hours_text=line.word("hours")[:40],
        hours_h=hours_h,
        customer=line.word("customer")[:LONGEST],
        place=line.word("site")[:LONGEST],
        serial_number=line.word("serial number")[:LONGEST],
        year_built=built,
        owner_number=line.word("owner's number")[:LONGEST],
        problems=tuple(gathering.problems),
    )


def year_of(text: str) -> int:
    """A year a machine can be of, from its four digits.

    Raises
    ------
    NotAllowedError
        Anything else.
    """
    year = text.strip()
    if len(year) == 4 and year.isdecimal() and year.isascii() and 1900 <= int(year) <= 2100:
        return int(year)
    raise NotAllowedError("year built", text, "a year from 1900 to 2100", "Type all four digits of the year.")


def _kinds_said() -> str:
    return ", ".join(named(kind) for kind in MachineKind)


def missing_of_new(listed: ListedMachine) -> tuple[Problem, ...]:
    """What a machine that is not in the yard yet still needs: its name, its kind and its hours."""
    wanted = (
        ("name", listed.name, "a name"),
        ("kind", listed.kind, _kinds_said()),
        ("hours", listed.hours_text, "hours on the meter"),
    )
    return tuple(
        Problem(
            field,
            phrase("nothing"),
            allowed,
            "A machine that is new to the yard needs it: fill it in.",
            row=listed.row,
        )
        for field, seen, allowed in wanted
        if not seen
    )


def _plain(cell: Cell) -> str:
    if isinstance(cell, float | int):
        return exact_number(float(cell))
    return cell.isoformat() if isinstance(cell, dt.date) else cell or ""


def machine_list_csv(rows: Sequence[Sequence[Cell]], columns: Sequence[str] = ALL_COLUMNS) -> bytes:
    """A machine list as CSV: UTF-8 that spreadsheets know, nothing in it that they would run.

    Returns
    -------
    bytes
        The file's content; `read_machine_list` reads it back.

    References
    ----------
    RFC 4180.
    """
    return csv_bytes([list(columns), *([_plain(cell) for cell in row] for row in rows)])


def machine_list_xlsx(rows: Sequence[Sequence[Cell]], columns: Sequence[str] = ALL_COLUMNS) -> bytes:
    """A machine list as a workbook: numbers as numbers, days as days, every text a text and never a formula.

    Returns
    -------
    bytes
        The file's content; `read_machine_list` reads it back.

    References
    ----------
    ECMA-376 (Office Open XML); the layout is our own.
    """
    stream = io.BytesIO()
    settings = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(stream, {"in_memory": True} | settings) as book:
        sheet = book.add_worksheet(MACHINE_LIST.title)
        head, text = book.add_format({"bold": True}), book.add_format({"num_format": "@", "quote_prefix": True})
        day, number = book.add_format({"num_format": "yyyy-mm-dd"}), book.add_format({"num_format": "0.##"})
        for column, name in enumerate(columns):
            sheet.write_string(0, column, name, head)
        sheet.set_column(0, 1, 24)
        sheet.set_column(2, len(columns) - 1, 16)
        sheet.freeze_panes(1, 2)
        for at, row in enumerate(rows, start=1):
            for column, cell in enumerate(row):
                if isinstance(cell, str) and cell:
                    sheet.write_string(at, column, cell, text)
                elif isinstance(cell, float | int):
                    sheet.write_number(at, column, cell, number)
                elif isinstance(cell, dt.date):
                    sheet.write_datetime(at, column, dt.datetime(cell.year, cell.month, cell.day), day)  # noqa: DTZ001
    return stream.getvalue()
