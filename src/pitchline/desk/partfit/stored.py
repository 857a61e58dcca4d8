"""A table and its parts as their row holds them, and back."""

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from pitchline.desk.partfit.models import PartsTable
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.parts_file import Column, parts_of_lines
from pitchline.exchange.parts_own_table import OwnTable
from pitchline.match.parts import Part
from pitchline.trade.errors import Problem
from pitchline.trade.part_sizes import PartSize
from pitchline.trade.parts import PartKind


def table_of(row: PartsTable) -> OwnTable:
    """The table as it came."""
    return OwnTable(tuple(map(tuple, row.rows)), row.header)


def columns_of(row: PartsTable) -> tuple[Column, ...]:
    """What its columns hold; empty where nobody has said it yet."""
    return tuple(Column(**one) for one in row.columns)


def read_anew(row: PartsTable) -> tuple[dict[int, Part], tuple[Problem, ...]]:
    """The parts of the rows that can be read, and what is wrong with the others.

    Raises
    ------
    InputError
        A thousand things are wrong.
    """
    gathering = Gathering(row.name)
    every = PartKind(row.every) if row.every else None
    found = parts_of_lines(table_of(row).lines, columns_of(row), every, gathering)
    return found, tuple(gathering.problems)


def fill(row: PartsTable) -> None:
    """Nothing comes out; afterwards the row holds the parts of its table, not saved yet.

    Raises
    ------
    InputError
        A thousand things are wrong.
    """
    found, problems = read_anew(row)
    row.parts = [_packed(part) for part in found.values()]
    row.not_used = len({one.row for one in problems})


def _packed(part: Part) -> dict[str, Any]:
    return {name: value for name, value in asdict(part).items() if value}


def parts_of(rows: Iterable[PartsTable], kind: PartKind) -> list[tuple[Part, PartsTable]]:
    """Parts of one kind, each with the table it stands in."""
    return [(part_of(one), row) for row in rows for one in row.parts if one["part"] == kind]


def part_of(one: dict[str, Any]) -> Part:
    """A part as a row holds it."""
    sizes, worn = (
        {PartSize(size): value for size, value in one.get(name, {}).items()} for name in ("sizes", "allowances_m")
    )
    return Part(one["number"], PartKind(one["part"]), sizes, worn, one.get("note", ""))


def columns_packed(columns: Iterable[Column]) -> list[dict[str, str]]:
    """Columns as their row holds them."""
    return [asdict(one) for one in columns]
