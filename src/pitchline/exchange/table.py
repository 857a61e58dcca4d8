"""A head block of keys and values, an empty row, then a table with named columns: the layout of our sheets."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from pitchline.exchange.figures import text_of
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.grid_csv import Rows, csv_bytes, read_csv
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.words import hint, plain
from pitchline.trade.errors import phrase
from pitchline.words.catalogue import in_english

SUFFIXES = (".csv", ".xlsx")


@dataclass(frozen=True, slots=True)
class Layout:
    """What a kind of file looks like.

    Parameters
    ----------
    title : str
        Name of the sheet in a workbook.
    heads : tuple of str
        Keys of the head block.
    columns : tuple of str
        Columns we write.
    anchors : tuple of str
        Columns by which the header row is known.
    must : tuple of str
        Columns that have to be there besides.
    further : tuple of str
        Columns that are written only where they hold something.
    before : tuple of (str, str)
        What a column or a head's key was called in tables written before, and what it is called now.
    """

    title: str
    heads: tuple[str, ...]
    columns: tuple[str, ...]
    anchors: tuple[str, ...]
    must: tuple[str, ...] = ()
    further: tuple[str, ...] = ()
    before: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class TableLine:
    """One row of a table: its number in the file and its cells by column name."""

    row: int
    cells: Mapping[str, str]

    def word(self, column: str) -> str:
        """The cell without blanks around it; empty where there is none."""
        return self.cells.get(column, "").strip()

    def text(self, column: str) -> str:
        """The cell exactly as typed; empty where there is none."""
        return self.cells.get(column, "")


@dataclass(frozen=True, slots=True)
class Table:
    """A file taken apart: the head block with its rows, and the lines of the table."""

    head: Mapping[str, tuple[int, str]]
    header_row: int
    lines: tuple[TableLine, ...]

    def head_row(self, key: str) -> int:
        """Row of a head entry; the header's row where it is missing."""
        return self.head.get(key, (self.header_row, ""))[0]

    def head_text(self, key: str) -> str:
        """A head entry exactly as typed; empty where it is missing."""
        return self.head.get(key, (0, ""))[1]


@dataclass(slots=True)
class _Reading:
    """The state of taking one file apart."""

    layout: Layout
    rows: Rows
    gathering: Gathering
    columns: dict[int, str] = field(default_factory=dict)


def _squeezed(text: str) -> str:
    return plain(text).replace(" ", "").rstrip(":")


def _filled(cells: Sequence[str]) -> bool:
    return any(cell.strip() for cell in cells)


def _known(layout: Layout, names: Sequence[str]) -> dict[str, str]:
    """Names by how they are compared, those of before too."""
    known = {_squeezed(before): name for before, name in layout.before if name in names}
    return known | {_squeezed(name): name for name in names}


def _header_index(rows: Rows, layout: Layout, file: str) -> int:
    known = _known(layout, layout.anchors)
    for index, cells in enumerate(rows):
        if {known.get(_squeezed(cell)) for cell in cells}.issuperset(layout.anchors):
            return index
    allowed = phrase("one row with the column names {columns}", columns=", ".join(layout.columns))
    raise refuse(file, "table header", phrase("not found"), allowed, "Start from a blank made by pitchline.")


def _read_head(taking: _Reading, header: int) -> dict[str, tuple[int, str]]:
    known = _known(taking.layout, taking.layout.heads)
    head: dict[str, tuple[int, str]] = {}
    for row, cells in enumerate(taking.rows[:header], start=1):
        if not _filled(cells):
            continue
        key = known.get(_squeezed(cells[0]))
        if key is None:
            allowed = ", ".join(taking.layout.heads)
            step = hint(cells[0], taking.layout.heads, in_english("Use one of these names, or delete the row."))
            taking.gathering.add("head", cells[0] or phrase("nothing"), allowed, step, row)
        elif key in head:
            taking.gathering.add(key, phrase("given twice"), "each name once", "Delete one of the rows.", row)
        elif _filled(cells[2:]):
            seen = ", ".join(cell for cell in cells[1:] if cell)
            step = in_english("Put it in one cell; a decimal comma needs quotes or semicolons between the cells.")
            taking.gathering.add(key, seen, "one value in the second cell", step, row)
            head[key] = (row, "")
        else:
            head[key] = (row, cells[1] if len(cells) > 1 else "")
    return head


def _name_columns(taking: _Reading, header: int) -> None:
    names = (*taking.layout.columns, *taking.layout.further)
    known = _known(taking.layout, names)
    for index, cell in enumerate(taking.rows[header]):
        name = known.get(_squeezed(cell))
        if name is None and cell.strip():
            step = hint(cell, names, in_english("Use one of these names, or delete the column."))
            taking.gathering.add("column", cell, ", ".join(names), step, header + 1)
        elif name is not None and name in taking.columns.values():
            taking.gathering.add(
                "column", phrase("{name} twice", name=name), "each column once", "Delete one of them.", header + 1
            )
        elif name is not None:
            taking.columns[index] = name
    for name in (*taking.layout.anchors, *taking.layout.must):
        if name not in taking.columns.values():
            taking.gathering.add(
                "column", phrase("nothing"), phrase("a column {name}", name=name), "Add the column.", header + 1
            )


def _line(taking: _Reading, row: int, header: int) -> TableLine:
    cells, names = taking.rows[row - 1], taking.rows[header]
    step = in_english("Move it under a column name; a decimal comma needs quotes or semicolons between the cells.")
    if len(cells) > len(names):
        seen = phrase("{n} cells", n=len(cells))
        taking.gathering.add("cells", seen, phrase("{n} cells, as in the header row", n=len(names)), step, row)
        return TableLine(row, {})
    for name, cell in zip(names, cells, strict=False):
        if cell.strip() and not name.strip():
            taking.gathering.add("cells", cell, "nothing outside the named columns", step, row)
    found: dict[str, str] = {}
    for index, column in taking.columns.items():
        text = cells[index] if index < len(cells) else ""
        found[column] = taking.gathering.attempt(partial(text_of, text, column), row) or ""
    return TableLine(row, found)


def rows_of_file(path: Path, layout: Layout) -> Rows:
    """Every row of a file, cell by cell.

    Raises
    ------
    InputError
        It cannot be read at all.
    """
    suffix = path.suffix.casefold()
    if suffix == ".xlsx":
        from pitchline.exchange.grid_xlsx import read_xlsx  # slow to load, and a CSV file needs none of it

        return read_xlsx(path)
    if suffix in (".csv", ".txt", ".tsv"):
        return read_csv(path, [plain(anchor) for anchor in layout.anchors], dict(layout.before))
    raise refuse(
        path.name,
        "file ending",
        path.suffix or "none",
        "a file ending in .csv or .xlsx",
        "Save it as CSV or as .xlsx.",
    )


def read_table(path: Path, layout: Layout, gathering: Gathering) -> Table:
    """A file taken apart into its head block and the filled lines of its table.

    Returns
    -------
    Table
        Head block and lines; blank rows are left out.

    Raises
    ------
    InputError
        The file cannot be read at all, or has no header row.
    """
    rows = rows_of_file(path, layout)
    header = _header_index(rows, layout, path.name)
    taking = _Reading(layout, rows, gathering)
    head = _read_head(taking, header)
    _name_columns(taking, header)
    filled = [row for row in range(header + 2, len(rows) + 1) if _filled(rows[row - 1])]
    return Table(head, header + 1, tuple(_line(taking, row, header) for row in filled))


def write_table(
    path: Path,
    layout: Layout,
    head: Sequence[tuple[str, str]],
    lines: Sequence[Mapping[str, str]],
    columns: Sequence[str],
    lists: Mapping[str, Sequence[str]],
) -> None:
    """Nothing comes out; afterwards the file holds the head block and the table.

    Parameters
    ----------
    path : Path
        The file, .csv or .xlsx, new or replaced.
    layout : Layout
        Gives a workbook's sheet its name.
    head : sequence of (str, str)
        Keys and values of the head block.
    lines : sequence of mapping
        Cells by column name, row by row.
    columns : sequence of str
        Column names in order.
    lists : mapping of str to sequence of str
        Words offered as a drop-down list in a workbook, by column name.

    Raises
    ------
    InputError
        Another file ending, a place that cannot be written to, or a text no sheet can hold.
    """
    rows = [*([key, text] for key, text in head), [], list(columns)]
    rows += [[line.get(column, "") for column in columns] for line in lines]
    gathering = Gathering(path.name)
    for number, row in enumerate(rows, start=1):
        for text in row:
            gathering.attempt(partial(text_of, text), number)
    gathering.raise_if_any()
    suffix = path.suffix.casefold()
    if suffix not in SUFFIXES:
        raise refuse(
            path.name, "file ending", path.suffix or "none", ".csv or .xlsx", "Choose one of these endings."
        )
    if suffix == ".csv":
        write_whole(path, csv_bytes(rows))
        return
    from pitchline.exchange.grid_xlsx import xlsx_bytes

    widths = {name: _width([name, *(line.get(name, "") for line in lines)]) for name in columns}
    write_whole(path, xlsx_bytes(layout.title, rows, len(head) + 2, widths, lists))


def _width(texts: Sequence[str]) -> float:
    return min(max(len(text) for text in texts) + 3, 44)
