"""A list of parts with their new sizes, from a table of one's own: CSV or workbook.

See docs/howto/find-which-part-fits.md.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from pitchline.exchange.figures import count_of, exact_length, typed_length
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.table import Layout, TableLine, read_table
from pitchline.exchange.words import part_of
from pitchline.match.parts import Part
from pitchline.trade.measurands import Direction
from pitchline.trade.part_sizes import PART_SIZES, PartSize, Told
from pitchline.trade.parts import PartKind
from pitchline.words.names import named

NUMBER, PART, NOTE, OUT = "number", "part", "note", ""
"""What a column may hold beside sizes and their limits; what is left out is not read."""
SIZES = {named(size): size for size in PartSize}
LIMITS = {f"{named(size)} limit": size for size, facts in PART_SIZES.items() if facts.wears is not None}
PARTS_TABLE = Layout(
    title="parts",
    heads=("unit",),
    columns=(NUMBER, PART, *SIZES, NOTE),
    anchors=(NUMBER, PART),
    further=tuple(LIMITS),
)
_UNITS = ("mm", "in")


@dataclass(frozen=True, slots=True)
class Column:
    """What one column of a table holds.

    Parameters
    ----------
    heading : str
        Its name in the table.
    meaning : str
        NUMBER, PART, NOTE, OUT, or a name of SIZES or LIMITS.
    unit : str
        Unit of its bare lengths.
    """

    heading: str
    meaning: str
    unit: str = "mm"


def read_parts(path: Path) -> tuple[Part, ...]:
    """The parts of a table.

    Parameters
    ----------
    path : Path
        CSV or workbook: a head with the unit of bare figures, then one row a part.

    Returns
    -------
    tuple of Part
        In the order of the rows.

    Raises
    ------
    InputError
        With every problem of the table, by its row.
    """
    gathering = Gathering(path.name)
    table = read_table(path, PARTS_TABLE, gathering)
    unit = table.head_text("unit").strip() or "mm"
    if unit not in _UNITS:
        gathering.add("unit", unit, ", ".join(_UNITS), "Choose one of these.", table.head_row("unit"))
    own = [Column(name, name, unit) for name in (*PARTS_TABLE.columns, *PARTS_TABLE.further)]
    found = tuple(parts_of_lines(table.lines, own, None, gathering).values())
    gathering.raise_if_any()
    return found


def parts_of_lines(
    lines: Iterable[TableLine], columns: Sequence[Column], every: PartKind | None, gathering: Gathering
) -> dict[int, Part]:
    """The parts of rows that can be read, by their row; what is wrong with the others is gathered.

    Parameters
    ----------
    lines : iterable of TableLine
        The rows, their cells by heading.
    columns : sequence of Column
        What the columns hold.
    every : PartKind or None
        What each row is, where no column says it.
    gathering : Gathering
        Takes the problems.
    """
    found = {}
    for line in lines:
        before = len(gathering.problems)
        part = _part(line, columns, every, gathering)
        if part is not None and len(gathering.problems) == before:
            found[line.row] = part
    return found


def _part(line: TableLine, columns: Sequence[Column], every: PartKind | None, gathering: Gathering) -> Part | None:
    kind, number, notes = every, "", []
    sizes: dict[PartSize, float | str] = {}
    limits: dict[PartSize, float] = {}
    for column in columns:
        text, meaning = line.word(column.heading), column.meaning
        if meaning == PART and every is None:
            kind = gathering.attempt(partial(part_of, text), line.row)
        elif meaning == NUMBER:
            number = text
        elif meaning == NOTE and text:
            notes.append(text if column.heading.casefold() == NOTE else f"{column.heading}: {text}")
        elif text and meaning in SIZES:
            size = SIZES[meaning]
            value = gathering.attempt(partial(_size, text, size, column), line.row)
            if value is not None:
                sizes[size] = value
        elif text and meaning in LIMITS:
            limit = gathering.attempt(partial(typed_length, text, column.unit, column.heading), line.row)
            if limit is not None:
                limits[LIMITS[meaning]] = limit.si
    if kind is None:
        return None
    worn = {size: abs(limit - sizes[size]) for size, limit in limits.items() if sizes.get(size, limit) != limit}  # type: ignore[operator]  # what wears is a length
    return gathering.attempt(partial(Part, number, kind, sizes, worn, "; ".join(notes)), line.row)


def _size(text: str, size: PartSize, column: Column) -> float | str:
    told = PART_SIZES[size].told
    if told is Told.WORD:
        return text
    if told is Told.COUNT:
        return float(count_of(text, column.heading))
    return typed_length(text, column.unit, column.heading).si


def part_cells(part: Part) -> Mapping[str, str]:
    """A part as cells of our own table."""
    cells = {NUMBER: part.number, PART: named(part.part), NOTE: part.note}
    for name, size in SIZES.items():
        value = part.sizes.get(size)
        if isinstance(value, float):
            cells[name] = exact_length(value) if PART_SIZES[size].told is Told.LENGTH else f"{value:.0f}"
        elif value is not None:
            cells[name] = str(value)
    for name, size in LIMITS.items():
        worn, new = part.allowances_m.get(size), part.sizes.get(size)
        if worn is not None and isinstance(new, float):
            falls = PART_SIZES[size].wears is Direction.FALLS
            cells[name] = exact_length(round(new - worn if falls else new + worn, 9))
    return cells
