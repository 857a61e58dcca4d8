"""One fleet table as a stream of pieces: the wanted columns of some thousand rows at a time, as they stand in the file.

See docs/reference/fleet-tables.md.
"""

from collections.abc import Callable, Iterator
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
from pitchline.exchange.words import hint
from pitchline.trade.errors import phrase
from pitchline.words.catalogue import in_english

BLOCK_BYTES = 4 * 1024 * 1024
BLOCK_ROWS = 64 * 1024
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


def pieces(path: Path, layout: TableLayout, telling: Telling, folder: Path) -> Iterator[Piece]:
    """A table, piece by piece.

    Parameters
    ----------
    path : Path
        The file, .csv or .parquet.
    layout : TableLayout
        The columns wanted.
    telling : Telling
        Where problems go; a table without the wanted columns gives no piece.
    folder : Path
        A temporary folder.

    Yields
    ------
    Piece
        In order of rows; rows of a CSV file that are blank in every wanted column are no rows.

    Raises
    ------
    InputError
        The file cannot be read at all.
    """
    try:
        if path.stat().st_size == 0:
            raise refuse(telling.file, "file", phrase("an empty file"), "a table", "Check that it was saved.")
        if path.suffix.lower() == ".parquet":
            yield from _parquet(path, layout, telling)
        else:
            table = csv_table(path, telling.file, folder, tuple(layout.columns))
            yield from _csv(table, layout.found_in(table.header), telling)
    except _BROKEN as error:
        seen = str(error).split("\n")[0] or type(error).__name__
        step = in_english("Save the table again.")
        raise refuse(telling.file, "file", seen, "a table that can be read from end to end", step) from None


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


def _csv(table: CsvTable, layout: TableLayout, telling: Telling) -> Iterator[Piece]:
    if not _has_columns(table.header, layout, telling):
        return
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
    skipped: list[int] = []
    with table.path.open("rb") as stream:
        stream.seek(table.start)
        if not _has_rows(table):
            return
        reader = pa.csv.open_csv(stream, **_csv_options(table, layout, _row_noter(telling, skipped)))
        read = 2
        for batch in reader:
            logical = np.arange(read, read + batch.num_rows, dtype=np.int64)
            read += batch.num_rows
            yield _without_blanks(
                Piece(rows_of(logical, skipped), dict(zip(layout.columns, batch.columns, strict=True)))
            )


def _has_rows(table: CsvTable) -> bool:
    """Whether anything follows the header row; the library takes a table of a bare header for a broken one."""
    with table.path.open("rb") as stream:
        stream.seek(table.start)
        stream.readline()
        return bool(stream.read(1))


def _csv_options(table: CsvTable, layout: TableLayout, noter: Callable[[Any], str]) -> dict[str, Any]:
    names = [name if name in layout.columns else f"{number}\x00" for number, name in enumerate(table.header)]
    text = {name: pa.string() for name in layout.columns}
    return {
        "read_options": pa.csv.ReadOptions(
            use_threads=False, skip_rows=1, column_names=names, block_size=BLOCK_BYTES
        ),
        "parse_options": pa.csv.ParseOptions(
            delimiter=table.delimiter, ignore_empty_lines=False, invalid_row_handler=noter
        ),
        "convert_options": pa.csv.ConvertOptions(
            column_types=text, include_columns=list(layout.columns), strings_can_be_null=False, null_values=[]
        ),
    }


def _row_noter(telling: Telling, skipped: list[int]) -> Callable[[Any], str]:
    """What is done with a row of too few or too many cells: noted as a problem, unless it is blank."""

    def note(row: Any) -> str:
        number = int(row.number) if row.number is not None else 0
        skipped.append(number)
        if row.text.strip(' "\t;,\r\n') and len(telling.gathering.problems) < MOST_PROBLEMS - 1:
            allowed = phrase("{expected_columns} cells, as in the header", expected_columns=row.expected_columns)
            telling.add(
                "row",
                phrase("{actual_columns} cells", actual_columns=row.actual_columns),
                allowed,
                "Mend the row.",
                number or None,
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


def _parquet(path: Path, layout: TableLayout, telling: Telling) -> Iterator[Piece]:
    with pq.ParquetFile(path, memory_map=False, pre_buffer=False) as file:
        layout = layout.found_in(tuple(file.schema_arrow.names))
        if not _has_columns(tuple(file.schema_arrow.names), layout, telling):
            return
        groups = [file.metadata.row_group(number) for number in range(file.metadata.num_row_groups)]
        largest = max((group.total_byte_size for group in groups), default=0)
        if largest > LARGEST_ROW_GROUP:
            seen = phrase("a row group of {size:,.1f} GB", size=largest / 1024**3)
            allowed = phrase("row groups up to {size} GB", size=LARGEST_ROW_GROUP // 1024**3)
            raise refuse(telling.file, "file", seen, allowed, "Write it in smaller row groups.")
        read = 2
        for batch in file.iter_batches(BLOCK_ROWS, columns=list(layout.columns), use_threads=False):
            rows = np.arange(read, read + batch.num_rows, dtype=np.int64)
            read += batch.num_rows
            yield Piece(rows, {name: batch.column(batch.schema.names.index(name)) for name in layout.columns})
