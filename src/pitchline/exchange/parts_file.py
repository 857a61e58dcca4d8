"""A list of parts with their new sizes, from a table of one's own: CSV or workbook.

See docs/howto/find-which-part-fits.md.
"""

from functools import partial
from pathlib import Path

from pitchline.exchange.figures import count_of, typed_length
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.table import Layout, TableLine, read_table
from pitchline.exchange.words import part_of
from pitchline.match.parts import Part
from pitchline.trade.part_sizes import PART_SIZES, PartSize, Told
from pitchline.words.names import named

_SIZES = {named(size): size for size in PartSize}
_WEARING = {f"{named(size)} limit": size for size, facts in PART_SIZES.items() if facts.wears is not None}
PARTS_TABLE = Layout(
    title="parts",
    heads=("unit",),
    columns=("number", "part", *_SIZES, "note"),
    anchors=("number", "part"),
    further=tuple(_WEARING),
)
_UNITS = ("mm", "in")


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
    found = [one for line in table.lines if (one := _part(line, unit, gathering)) is not None]
    gathering.raise_if_any()
    return tuple(found)


def _part(line: TableLine, unit: str, gathering: Gathering) -> Part | None:
    kind = gathering.attempt(partial(part_of, line.word("part")), line.row)
    sizes: dict[PartSize, float | str] = {}
    for column, size in _SIZES.items():
        text = line.word(column)
        value = gathering.attempt(partial(_size, text, size, column, unit), line.row) if text else None
        if value is not None:
            sizes[size] = value
    allowances = {}
    for column, size in _WEARING.items():
        text, new = line.word(column), sizes.get(size)
        limit = gathering.attempt(partial(typed_length, text, unit, column), line.row) if text else None
        if limit is not None and isinstance(new, float) and limit.si != new:
            allowances[size] = abs(limit.si - new)
    if kind is None:
        return None
    return gathering.attempt(
        partial(Part, line.word("number"), kind, sizes, allowances, line.word("note")), line.row
    )


def _size(text: str, size: PartSize, column: str, unit: str) -> float | str:
    told = PART_SIZES[size].told
    if told is Told.WORD:
        return text
    if told is Told.COUNT:
        return float(count_of(text, column))
    return typed_length(text, unit, column).si
