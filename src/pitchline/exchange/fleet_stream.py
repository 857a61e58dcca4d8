"""One fleet table as a stream of pieces: the wanted columns of some thousand rows at a time, as they stand in the file.

See docs/reference/fleet-tables.md.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.csv
import pyarrow.parquet as pq

from pitchline.exchange.fleet_layout import TableLayout, Telling
from pitchline.exchange.fleet_text import CsvTable, csv_table, rows_of
from pitchline.exchange.gathering import MOST_PROBLEMS, refuse
from pitchline.exchange.hands import Hands
from pitchline.exchange.places import Place
from pitchline.exchange.words import hint
from pitchline.trade.errors import phrase
from pitchline.words.catalogue import in_english

BLOCK_BYTES = 4 * 1024 * 1024
BLOCK_ROWS = 64 * 1024
SHARE_ROWS = 4 * BLOCK_ROWS
"""At most so many rows of Parquet are read in one task."""
LARGEST_ROW_GROUP = 4 * 1024**3
MOST_COLUMNS = 1_000
_BROKEN = (pa.ArrowException, OSError, ValueError, KeyError, TypeError, MemoryError, OverflowError)


@dataclass(frozen=True, slots=True)
class Piece:
    """Some rows of a table.

    Parameters
    ----------
    rows : ndarray, shape (n,)
        Row of each in the file, as a spreadsheet counts, the header being row 1.
    columns : dict of str to pyarrow array
        The wanted columns, text or whatever type a Parquet file gives them.
    """

    rows: npt.NDArray[np.int64]
    columns: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Share:
    """A stretch of a table's rows, to be read in one task.

    Parameters
    ----------
    path : Path or Stored
        The file.
    file : str
        Its name for the errors.
    number : int
        Which of the table's files it is, from 0.
    layout : TableLayout
        The columns wanted that are there.
    table : CsvTable or None
        Its header and delimiter; None where it is Parquet.
    start, stop : int
        From which byte up to which; of Parquet, from which row of the group up to which.
    row : int
        The first of them in the file.
    group : int
        Which row group of Parquet.
    """

    path: Place
    file: str
    number: int
    layout: TableLayout
    table: CsvTable | None
    start: int
    stop: int
    row: int
    group: int = 0


def shares(
    path: Place, number: int, layout: TableLayout, telling: Telling, folder: Path, hands: Hands
) -> list[Share]:
    """What a file is cut into, in order of rows.

    Parameters
    ----------
    path : Path or Stored
        The file, .csv or .parquet.
    number : int
        Which of the table's files it is, from 0.
    layout : TableLayout
        The columns wanted.
    telling : Telling
        Where problems go; a table without the wanted columns has no share.
    folder : Path
        A temporary folder.
    hands : Hands
        Who looks a CSV file through.

    Raises
    ------
    InputError
        The file cannot be read at all.
    """
    with _readable(telling.file):
        with path.open("rb") as stream:
            if not stream.read(1):
                raise refuse(telling.file, "file", phrase("an empty file"), "a table", "Check that it was saved.")
        if path.suffix.lower() == ".parquet":
            return _parquet_shares(path, number, layout, telling)
        table = csv_table(path, telling.file, folder, tuple(layout.columns), hands)
        return _csv_shares(table, number, layout.found_in(table.header), telling)


def pieces(share: Share, telling: Telling) -> Iterator[Piece]:
    """A share of a table, piece by piece.

    Parameters
    ----------
    share : Share
        What is to be read.
    telling : Telling
        Where problems go.

    Yields
    ------
    Piece
        In order of rows; rows of a CSV file that are blank in every wanted column are no rows.

    Raises
    ------
    InputError
        The file cannot be read at all.
    """
    with _readable(share.file):
        yield from _parquet(share) if share.table is None else _csv(share, share.table, telling)


@contextmanager
def _readable(file: str) -> Iterator[None]:
    try:
        yield
    except _BROKEN as error:
        seen = str(error).split("\n")[0] or type(error).__name__
        step = in_english("Save the table again.")
        raise refuse(file, "file", seen, "a table that can be read from end to end", step) from None


def _has_columns(header: tuple[str, ...], layout: TableLayout, telling: Telling) -> bool:
    """Whether every wanted column is there, once; those that are not are noted."""
    missing = [name for name in layout.columns if name not in header]
    twice = [name for name in layout.columns if header.count(name) > 1]
    extra = [name for name in header if name not in layout.columns][:MOST_COLUMNS]
    for name in missing:
        telling.add(
            name,
            phrase("no such column"),
            phrase("the columns {columns}", columns=", ".join(layout.columns)),
            hint(name, extra, in_english("Add it.")),
            1,
        )
    for name in twice:
        telling.add(name, phrase("the same column twice"), "each column once", "Delete one of the two.", 1)
    return not missing and not twice


def _csv_shares(table: CsvTable, number: int, layout: TableLayout, telling: Telling) -> list[Share]:
    if not _has_columns(table.header, layout, telling):
        return []
    if len(table.header) > MOST_COLUMNS:
        seen = phrase("{n:,} columns", n=len(table.header))
        raise refuse(
            telling.file,
            "table size",
            seen,
            phrase("up to {most_columns}", most_columns=f"{MOST_COLUMNS:,}"),
            "Delete the others.",
            1,
        )
    return [Share(table.path, telling.file, number, layout, table, *stretch) for stretch in table.shares]


def _csv(share: Share, table: CsvTable, telling: Telling) -> Iterator[Piece]:
    skipped: list[int] = []
    with share.path.open("rb") as stream:
        stream.seek(share.start)
        text = pa.BufferReader(stream.read(share.stop - share.start))
    names = list(share.layout.columns)
    read = share.row
    for batch in pa.csv.open_csv(text, **_csv_options(table, names, _row_noter(share.row, telling, skipped))):
        logical = np.arange(read, read + batch.num_rows, dtype=np.int64)
        read += batch.num_rows
        yield _without_blanks(Piece(rows_of(logical, skipped), dict(zip(names, batch.columns, strict=True))))


def _csv_options(table: CsvTable, wanted: list[str], noter: Callable[[Any], str]) -> dict[str, Any]:
    names = [name if name in wanted else f"{number}\x00" for number, name in enumerate(table.header)]
    text = {name: pa.string() for name in wanted}
    return {
        "read_options": pa.csv.ReadOptions(use_threads=False, column_names=names, block_size=BLOCK_BYTES),
        "parse_options": pa.csv.ParseOptions(
            delimiter=table.delimiter, ignore_empty_lines=False, invalid_row_handler=noter
        ),
        "convert_options": pa.csv.ConvertOptions(
            column_types=text, include_columns=wanted, strings_can_be_null=False, null_values=[]
        ),
    }


def _row_noter(first: int, telling: Telling, skipped: list[int]) -> Callable[[Any], str]:
    """What is done with a row of too few or too many cells: noted as a problem, unless it is blank."""

    def note(row: Any) -> str:
        number = first - 1 + int(row.number)
        skipped.append(number)
        if row.text.strip(' "\t;,\r\n') and len(telling.gathering.problems) < MOST_PROBLEMS - 1:
            allowed = phrase("{expected_columns} cells, as in the header", expected_columns=row.expected_columns)
            telling.add(
                "row",
                phrase("{actual_columns} cells", actual_columns=row.actual_columns),
                allowed,
                "Mend the row.",
                number,
            )
        return "skip"

    return note


def _without_blanks(piece: Piece) -> Piece:
    empty = [pc.equal(pc.utf8_trim_whitespace(column), "") for column in list(piece.columns.values())[:1]]
    if not pc.any(empty[0]).as_py():
        return piece
    for column in list(piece.columns.values())[1:]:
        empty[0] = pc.and_(empty[0], pc.equal(pc.utf8_trim_whitespace(column), ""))
    kept = pc.invert(empty[0])
    columns = {name: column.filter(kept) for name, column in piece.columns.items()}
    return Piece(piece.rows[kept.to_numpy(zero_copy_only=False)], columns)


def _parquet_file(path: Place) -> Any:
    return pq.ParquetFile(path if isinstance(path, Path) else path.open("rb"), memory_map=False, pre_buffer=False)


def _parquet_shares(path: Place, number: int, layout: TableLayout, telling: Telling) -> list[Share]:
    with _parquet_file(path) as file:
        layout = layout.found_in(tuple(file.schema_arrow.names))
        if not _has_columns(tuple(file.schema_arrow.names), layout, telling):
            return []
        groups = [file.metadata.row_group(number) for number in range(file.metadata.num_row_groups)]
    largest = max((group.total_byte_size for group in groups), default=0)
    if largest > LARGEST_ROW_GROUP:
        seen = phrase("a row group of {size:,.1f} GB", size=largest / 1024**3)
        allowed = phrase("row groups up to {size} GB", size=LARGEST_ROW_GROUP // 1024**3)
        raise refuse(telling.file, "file", seen, allowed, "Write it in smaller row groups.")
    found, row = [], 2
    for at, group in enumerate(groups):
        for start in range(0, group.num_rows, SHARE_ROWS):
            stop = min(start + SHARE_ROWS, group.num_rows)
            found.append(Share(path, telling.file, number, layout, None, start, stop, row + start, at))
        row += group.num_rows
    return found


def _parquet(share: Share) -> Iterator[Piece]:
    """Rows of a large group before the share's own are read and let go: they cannot be skipped."""
    names, at = list(share.layout.columns), 0
    with _parquet_file(share.path) as file:
        for batch in file.iter_batches(BLOCK_ROWS, row_groups=[share.group], columns=names, use_threads=False):
            low, high = max(share.start - at, 0), min(share.stop - at, batch.num_rows)
            if low < high:
                rows = np.arange(share.row - share.start + at + low, share.row - share.start + at + high)
                kept = batch.slice(low, high - low)
                yield Piece(rows, {name: kept.column(kept.schema.names.index(name)) for name in names})
            at += batch.num_rows
            if at >= share.stop:
                return
