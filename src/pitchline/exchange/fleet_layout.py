"""The fleet tables: which columns each has, what a cell may hold, and a problem told with its table and row.

See docs/reference/fleet-tables.md.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from pitchline.exchange.gathering import MOST_PROBLEMS, Gathering
from pitchline.trade.errors import InputError, Phrase, Problem
from pitchline.trade.part_events import Because

MOST_HOURS_H = 1_000_000.0
LEAST_U_MM = 1e-6
MOST_PART_NO = 9_999
TURNED = "turned"
"""Not removed at all: bushes were turned, and the other face or the shortened pitch begins anew."""
REASONS = (*(one.value for one in Because), TURNED)


@dataclass(frozen=True, slots=True)
class Number:
    """A column of numbers.

    Parameters
    ----------
    low, high : float
        Smallest and largest number allowed, in the unit of the column.
    words : str
        The same for a person.
    whole : bool
        Whether only whole numbers are.
    optional : bool
        Whether a cell may be empty.
    """

    low: float
    high: float
    words: str
    whole: bool = False
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Word:
    """A column of words.

    Parameters
    ----------
    allowed : tuple of str
        The words allowed; empty for any.
    optional : bool
        Whether a cell may be empty, and the whole column missing.
    """

    allowed: tuple[str, ...] = ()
    optional: bool = False


@dataclass(frozen=True, slots=True)
class TableLayout:
    """One of the fleet tables.

    Parameters
    ----------
    name : str
        Its file name without the ending.
    columns : dict of str to Number or Word
        The columns that are read; any others are left alone.
    required : bool
        Whether a fleet must have it.
    """

    name: str
    columns: dict[str, Number | Word] = field(default_factory=dict)
    required: bool = True

    def found_in(self, header: tuple[str, ...]) -> "TableLayout":
        """The same without the columns that may be missing and are."""
        columns = {
            name: allowed
            for name, allowed in self.columns.items()
            if name in header or not (isinstance(allowed, Word) and allowed.optional)
        }
        return TableLayout(self.name, columns, self.required)


_HOURS = Number(0.0, MOST_HOURS_H, "hours from 0 to 1,000,000")
_PART_NO = Number(0.0, MOST_PART_NO, "a whole number from 0 to 9,999", whole=True)
_FITTED = Number(0.0, MOST_HOURS_H, "hours from 0 to 1,000,000, or empty where unknown", optional=True)

PARTS = TableLayout(
    "parts",
    {
        "machine": Word(),
        "position": Word(),
        "part_no": _PART_NO,
        "kind": Word(),
        "side": Word(("L", "R")),
        "fitted_h": _FITTED,
        "allowance_mm": Number(1e-3, 1e4, "a wear allowance from 0.001 to 10,000 mm"),
        "u_new_mm": Number(0.0, 1e4, "a standard uncertainty from 0 to 10,000 mm"),
        "removed_because": Word(REASONS, optional=True),
    },
)
READINGS = TableLayout(
    "readings",
    {
        "machine": Word(),
        "position": Word(),
        "part_no": _PART_NO,
        "meter_h": _HOURS,
        "wear_mm": Number(-1e4, 1e4, "a wear from -10,000 to 10,000 mm"),
        "u_mm": Number(LEAST_U_MM, 1e4, "a standard uncertainty above 0 and up to 10,000 mm"),
    },
)
GROUNDS = TableLayout(
    "grounds",
    {
        "machine": Word(),
        "from_h": _HOURS,
        "to_h": _HOURS,
        "ground": Number(0.0, 4.0, "a ground class, 0 (kind) to 4 (harsh)", whole=True),
    },
)
KINDS = TableLayout(
    "kinds",
    {
        "kind": Word(),
        "typical_life_h": Number(1.0, MOST_HOURS_H, "a typical life from 1 to 1,000,000 h"),
        "log_spread": Number(0.01, 3.0, "the spread of its logarithm, 0.01 to 3"),
    },
    required=False,
)
TABLES = (PARTS, READINGS, GROUNDS, KINDS)


FILE_ROWS = 2**40
"""What the row is higher by in a table's second file, in its third once more: so that a row knows its file."""


class Telling:
    """Problems of one table, noted in the gathering of the whole fleet.

    Parameters
    ----------
    gathering : Gathering
        Where they go.
    files : str
        Names of the table's files, in order.
    """

    def __init__(self, gathering: Gathering, *files: str) -> None:
        self.gathering = gathering
        self.files = files

    @property
    def file(self) -> str:
        """The first file, which stands for the table."""
        return self.files[0]

    def add(self, field_: str, seen: object, allowed: str, next_step: str, row: int | None = None) -> None:
        """Note one problem of the table."""
        file, row = (0, row) if row is None else divmod(row, FILE_ROWS)
        shown = seen if isinstance(seen, Phrase) else str(seen)
        self.gathering.take(Problem(field_, shown, allowed, next_step, self.files[file]), row)

    def each(
        self, field_: str, seen: Iterable[object], allowed: str, next_step: str, rows: npt.NDArray[np.int64]
    ) -> None:
        """Note the same problem for many rows, as far as there is room for it."""
        for value, row in zip(seen, rows[:MOST_PROBLEMS].tolist(), strict=False):
            self.add(field_, value, allowed, next_step, row)


def raise_all(gathering: Gathering) -> None:
    """Nothing when no problem was noted; else all of them are raised, table by table and row by row."""
    if gathering.problems:
        order = sorted(gathering.problems, key=lambda problem: (problem.file, problem.row or 0))
        raise InputError(tuple(order))
