"""A table of parts in somebody's own columns: its rows as they are, and which column probably holds what."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from pitchline.exchange.figures import text_of
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.grid_csv import HEADER_WITHIN, Rows, csv_bytes, words_in
from pitchline.exchange.parts_file import LIMITS, NOTE, NUMBER, PART, PARTS_TABLE, SIZES, Column, part_cells
from pitchline.exchange.table import Layout, TableLine, rows_of_file
from pitchline.exchange.words import plain
from pitchline.match.parts import Part
from pitchline.trade.errors import phrase

UNITS = ("mm", "cm", "m", "in")
_ANY = Layout("parts", (), (), ())
_OWN = {plain(name): name for name in (*PARTS_TABLE.columns, *PARTS_TABLE.further)}
_NUMBERS = frozenset(("number", "no", "no.", "part number", "part no", "part no.", "article", "item", "code"))


@dataclass(frozen=True, slots=True)
class OwnTable:
    """A table as it came.

    Parameters
    ----------
    rows : tuple of tuple of str
        Every cell.
    header : int
        Row of the column names, from 1.
    """

    rows: Rows
    header: int

    @property
    def headings(self) -> tuple[str, ...]:
        """The column names, each once; a column without one is called by its place where a row has something in it."""
        found: list[str] = []
        for at in range(max(map(len, self.rows[self.header - 1 :]))):
            cells = [row[at].strip() if at < len(row) else "" for row in self.rows[self.header - 1 :]]
            name = cells[0] or f"#{at + 1}"
            found.append(f"{name} #{at + 1}" if name in found else name)
        return tuple(found)

    @property
    def lines(self) -> tuple[TableLine, ...]:
        """The rows that hold something, their cells by heading."""
        names = self.headings
        return tuple(
            TableLine(number, dict(zip(names, row, strict=False)))
            for number, row in enumerate(self.rows[self.header :], self.header + 1)
            if any(cell.strip() for cell in row)
        )

    def example(self, heading: str) -> str:
        """The first thing that stands in a column."""
        return next((line.word(heading) for line in self.lines if line.word(heading)), "")

    @property
    def is_ours(self) -> bool:
        """Whether its columns are those of our blank, so that nobody need be asked."""
        names = [plain(one) for one in self.headings if not one.startswith("#")]
        return {NUMBER, PART} <= set(names) <= _OWN.keys()


def read_own_table(path: Path) -> OwnTable:
    """A table with whatever columns it has.

    Parameters
    ----------
    path : Path
        CSV or workbook.

    Raises
    ------
    InputError
        It cannot be read at all, has no row of column names, or a cell holds what is no text.
    """
    rows = rows_of_file(path, _ANY)
    named_by = max(range(min(len(rows), HEADER_WITHIN)), key=lambda at: words_in(rows[at]), default=None)
    if named_by is None or words_in(rows[named_by]) < 2:
        wanted = phrase("a row of column names, two or more, within the first {n} rows", n=HEADER_WITHIN)
        raise refuse(
            path.name, "table header", phrase("not found"), wanted, "Put the column names above the rows."
        )
    gathering = Gathering(path.name)
    for number, row in enumerate(rows, 1):
        for cell in row:
            gathering.attempt(partial(text_of, cell), number)
    gathering.raise_if_any()
    wide = max(
        at for row in rows for at, cell in enumerate(row, 1) if cell.strip()
    )  # a workbook's rows come padded
    return OwnTable(tuple(row[:wide] for row in rows), named_by + 1)


def guessed_columns(table: OwnTable) -> tuple[Column, ...]:
    """What each column probably holds, to be looked at by somebody: what is not known goes into the note, so nothing is lost."""
    found: list[Column] = []
    standing = _unit_above(table)
    for heading in table.headings:
        name, unit = _parted(heading, standing)
        meaning = _OWN.get(name, NUMBER if name in _NUMBERS else NOTE)
        taken = meaning != NOTE and any(one.meaning == meaning for one in found)
        found.append(Column(heading, NOTE if taken else meaning, unit))
    return tuple(found)


def _unit_above(table: OwnTable) -> str:
    """The unit our own head says."""
    for row in table.rows[: table.header - 1]:
        if len(row) > 1 and plain(row[0]).rstrip(":") == "unit" and row[1].strip() in UNITS:
            return row[1].strip()
    return "mm"


def _parted(heading: str, unit: str) -> tuple[str, str]:
    """A heading without the unit it ends in, and that unit: "Tread diameter (in)", "Tread diameter, mm"."""
    words = (
        plain(heading).replace("(", " ").replace(")", " ").replace("[", " ").replace("]", " ").replace(",", " ")
    )
    name, _, last = " ".join(words.split()).rpartition(" ")
    return (name, last) if name and last in UNITS else (" ".join(words.split()), unit)


def parts_csv(parts: Sequence[Part]) -> bytes:
    """Parts as a table of our own columns, each length with its unit; columns of limits where one is known."""
    cells = [part_cells(part) for part in parts]
    used = [name for name in (*SIZES, *LIMITS) if any(name in row for row in cells)] if cells else list(SIZES)
    columns = [NUMBER, PART, *used, NOTE]
    rows = [["unit", "mm"], [], columns, *([row.get(name, "") for name in columns] for row in cells)]
    return csv_bytes(rows)
