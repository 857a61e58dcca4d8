"""The yard's shelf as one table, in and out."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from pitchline.exchange.figures import count_of, number_of
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.machine_list import LONGEST, Cell, machine_list_csv, machine_list_xlsx
from pitchline.exchange.table import Layout, TableLine, read_table
from pitchline.exchange.words import look_up
from pitchline.stops.shelf import SHELVED
from pitchline.trade.errors import phrase

COLUMNS = (
    "number", "what", "running gear", "count", "place", "depot", "condition", "reading", "cost", "note",
)  # fmt: skip
COST = "cost"
WORKED_OUT = ("promised",)
"""Written, and left alone when it comes back."""
_LAYOUT = Layout(title="shelf", heads=(), columns=COLUMNS, anchors=("number",), further=WORKED_OUT)
_WHAT = {one.replace("_", " "): str(one) for one in SHELVED}
_CONDITIONS = {"new": False, "used": True, "": False}
MOST_COST = 1e9


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One row of the table.

    Parameters
    ----------
    row : int
        Its number in the file.
    number, what, gear, place, depot, reading, note : str
        As typed; `what` is one of `SHELVED`, the others may be empty but for the number.
    count : int
        How many.
    used : bool
        Whether it ran before.
    cost : float or None
        Paid for a piece; None where the cell is empty.
    """

    row: int
    number: str
    what: str
    gear: str
    count: int
    place: str
    depot: str
    used: bool
    reading: str
    cost: float | None
    note: str


def read_shelf(path: Path) -> tuple[ShelfRow, ...]:
    """The rows of a table of the shelf.

    Parameters
    ----------
    path : Path
        CSV or a workbook's first sheet, with at least the columns number, what and count.

    Raises
    ------
    InputError
        Every cell that cannot be used, a number that stands twice, or a file that is no such table.
    """
    gathering = Gathering(path.name)
    table = read_table(path, _LAYOUT, gathering)
    gathering.raise_if_any()
    if not table.lines:
        gathering.add("table", phrase("no rows"), "one entry or more", "Fill in a row below the column names.")
    found = [_row(line, gathering) for line in table.lines]
    seen: set[str] = set()
    for line in table.lines:
        number = line.word("number")
        if number in seen:
            gathering.add("number", number, "each number once", "Add their counts up.", line.row)
        seen.add(number)
    gathering.raise_if_any()
    return tuple(one for one in found if one is not None)


def _row(line: TableLine, gathering: Gathering) -> ShelfRow | None:
    number = line.word("number")
    if not number:
        gathering.add("number", phrase("nothing"), "what you call it", "Give it a number.", line.row)
    for column in COLUMNS:
        if len(line.word(column)) > LONGEST:
            seen = phrase("{n} characters", n=len(line.word(column)))
            gathering.add(
                column, seen, phrase("up to {longest} characters", longest=LONGEST), "Shorten it.", line.row
            )
    what = gathering.attempt(partial(look_up, line.word("what"), _WHAT, "what"), line.row)
    count = gathering.attempt(partial(count_of, line.word("count"), "count"), line.row)
    used = gathering.attempt(
        partial(look_up, line.word("condition"), _CONDITIONS, "condition", "new, used"), line.row
    )
    cost = gathering.attempt(partial(number_of, line.word(COST), COST), line.row) if line.word(COST) else None
    if what is None or count is None or used is None:
        return None
    words = {name: line.word(name) for name in ("place", "depot", "reading", "note")}
    return ShelfRow(line.row, number, what, line.word("running gear"), count, used=used, cost=cost, **words)


def shelf_file(rows: Sequence[Sequence[Cell]], ending: str, with_cost: bool) -> bytes:
    """The shelf as a file that `read_shelf` reads back.

    Parameters
    ----------
    rows : sequence of sequences
        Cells in the order of `COLUMNS` and `WORKED_OUT`.
    ending : str
        csv or xlsx.
    with_cost : bool
        Whether costs are told; without them the column is left out.
    """
    columns = (*COLUMNS, *WORKED_OUT)
    kept = [at for at, name in enumerate(columns) if with_cost or name != COST]
    write = machine_list_csv if ending == "csv" else machine_list_xlsx
    return write([[row[at] for at in kept] for row in rows], [columns[at] for at in kept])
