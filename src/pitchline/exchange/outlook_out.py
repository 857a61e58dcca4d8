"""The outlook of a fleet as a table, written chunk by chunk: one row for the newest part in each position.

See docs/reference/fleet-tables.md.
"""

import io
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc
import pyarrow.csv
import pyarrow.parquet as pq

from pitchline.exchange.fleet_chunk import FleetChunk
from pitchline.exchange.grid_csv import shield
from pitchline.exchange.places import Place, put_whole
from pitchline.exchange.safe_write import not_writable, open_whole
from pitchline.outlook.fleet import LEVELS, Forecast
from pitchline.outlook.paths import IntArray
from pitchline.trade.errors import NotAllowedError
from pitchline.words.catalogue import in_english

SUSPECTED_FROM = 0.5
"""Chance from which something is said to be suspected [1]."""
CHANGED_WORDS = "part changed without a record"
DOUBT_WORDS = "a reading far from the rest"
ZERO_WORDS = "all readings of one walk-round off together"
GROUND_WORDS = "ground other than recorded"
HOURS = tuple(f"hours_left_p{round(100 * level):02d}" for level in LEVELS)
COLUMNS = (
    ("machine", pa.string()),
    ("position", pa.string()),
    ("part_no", pa.int64()),
    ("kind", pa.string()),
    ("side", pa.string()),
    ("meter_h", pa.float64()),
    ("ground", pa.int64()),
    ("life_used", pa.float64()),
    ("life_used_sd", pa.float64()),
    ("p_past_limit", pa.float64()),
    *((name, pa.float64()) for name in HOURS),
    ("p_unrecorded_change", pa.float64()),
    ("n_readings", pa.int64()),
    ("suspected", pa.string()),
)
GROUP_ROWS = 64 * 1024
ENDINGS = (".csv", ".parquet")
WORDED = [name for name, kind in COLUMNS if kind == pa.string()]
"""Columns in which the same is said again and again: packed as a list of what is said; no other gains by it."""
_PIECE = 1024 * 1024
_RUNS = "(^|[;\t\r\n])'*[=+\\-@\t\r\n＝＋－＠]"
_DIGITS = {"meter_h": 1, **dict.fromkeys(HOURS, 1)}
_SHARE_DIGITS = 6


def outlook_rows(chunk: FleetChunk, forecast: Forecast, ground: IntArray) -> Any:
    """The outlook of a chunk as rows.

    Parameters
    ----------
    chunk : FleetChunk
        n parts.
    forecast : Forecast
        Their outlook; it need only be there for the newest parts.
    ground : ndarray, shape (n,)
        Ground class assumed for the hours to come.

    Returns
    -------
    pyarrow.RecordBatch
        The columns of COLUMNS, one row for the newest part in each position.
    """
    now = np.flatnonzero(chunk.newest)
    at = pa.array(now)
    hours = {name: forecast.hours_left[now, column] for column, name in enumerate(HOURS)}
    columns = {
        "machine": chunk.machine.take(at),
        "position": chunk.position.take(at),
        "part_no": chunk.part_no[now],
        "kind": chunk.kind.take(at),
        "side": chunk.side.take(at),
        "meter_h": chunk.meter_h[now],
        "ground": ground[now],
        "life_used": forecast.life_used[now],
        "life_used_sd": forecast.life_used_u[now],
        "p_past_limit": forecast.chance_past_limit[now],
        **hours,
        "p_unrecorded_change": forecast.chance_changed[now],
        "n_readings": chunk.paths.count[now],
        "suspected": _suspected(forecast, now),
    }
    return pa.record_batch(columns, schema=pa.schema(COLUMNS))


def _suspected(forecast: Forecast, now: IntArray) -> Any:
    """What is suspected of each part in words, parted by semicolons."""
    told = (
        (forecast.chance_changed, CHANGED_WORDS),
        (forecast.doubt_reading, DOUBT_WORDS),
        (forecast.doubt_zero, ZERO_WORDS),
        (forecast.doubt_ground, GROUND_WORDS),
    )
    number = sum((chances[now] > SUSPECTED_FROM) * 2**place for place, (chances, _) in enumerate(told))
    every = [
        "; ".join(words for place, (_, words) in enumerate(told) if number >> place & 1)
        for number in range(2 ** len(told))
    ]
    return pa.array(every).take(pa.array(np.asarray(number, np.int64)))


def outlook_schema(plain_machines: bool, plain_positions: bool) -> Any:
    """What the table's columns hold; names that are plain whole numbers are numbers again."""
    numbers = {"machine": plain_machines, "position": plain_positions}
    return pa.schema([(name, pa.int64() if numbers.get(name) else kind) for name, kind in COLUMNS])


def put_part(rows: Any, schema: Any, to: Place) -> None:
    """Nothing comes out; afterwards a part of the table stands in a file of its own, as its ending says.

    Parameters
    ----------
    rows : pyarrow.RecordBatch
        As outlook_rows gives them.
    schema : pyarrow.Schema
        As outlook_schema gives it.
    to : Path or Stored
        A file ending in .csv (without column names), .arrow or .parquet.

    Raises
    ------
    InputError
        It cannot be written there.
    """
    table, stream = pa.Table.from_batches([rows.cast(schema)]), io.BytesIO()
    if to.suffix == ".csv":
        options = pa.csv.WriteOptions(include_header=False, quoting_style="needed")
        pa.csv.write_csv(_as_text(table), stream, options)
    elif to.suffix == ".arrow":
        with pa.ipc.new_file(stream, schema) as file:
            file.write_table(table)
    else:
        pq.write_table(table, stream, use_dictionary=WORDED)
    put_whole(to, stream.getvalue(), settled=to.suffix == ".parquet")


class OutlookWriter:
    """One file being put together of its parts.

    Parameters
    ----------
    path : Path
        Where it will stand, for the errors.
    stream : BinaryIO
        Where the bytes go.
    schema : pyarrow.Schema
        As outlook_schema gives it.
    """

    def __init__(self, path: Path, stream: BinaryIO, schema: Any) -> None:
        self._path, self._stream, self._schema = path, stream, schema
        self._held: list[Any] = []
        self._held_rows = 0
        self.part_ending = ".csv" if path.suffix.lower() == ".csv" else ".arrow"
        if self.part_ending == ".csv":
            stream.write((",".join(schema.names) + "\n").encode())
        else:
            self._sink = pq.ParquetWriter(stream, schema, use_dictionary=WORDED)

    def take(self, part: Path) -> None:
        """Add what `put_part` has put into a file, which is gone afterwards.

        Raises
        ------
        InputError
            The disk is full.
        """
        with _told(self._path):
            if self.part_ending == ".csv":
                with part.open("rb") as text:
                    shutil.copyfileobj(text, self._stream, _PIECE)
            else:
                self._hold(pa.ipc.open_file(pa.py_buffer(part.read_bytes())).read_all())
            part.unlink()

    def _hold(self, rows: Any) -> None:
        """Rows are written in groups of one size, so that the file is the same for any chunking."""
        self._held += rows.to_batches()
        self._held_rows += rows.num_rows
        if self._held_rows >= GROUP_ROWS:
            self._release(self._held_rows - self._held_rows % GROUP_ROWS)

    def _release(self, count: int) -> None:
        held = pa.Table.from_batches(self._held, schema=self._schema)
        for start in range(0, count, GROUP_ROWS):
            self._sink.write_table(held.slice(start, min(GROUP_ROWS, count - start)).combine_chunks())
        rest = held.slice(count).combine_chunks()
        self._held, self._held_rows = rest.to_batches(), rest.num_rows

    def close(self) -> None:
        """Write what is still held back."""
        if self.part_ending == ".arrow":
            with _told(self._path):
                self._release(self._held_rows)
                self._sink.close()


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise not_writable(path, error) from None


def _as_text(rows: Any) -> Any:
    """Rows for a CSV file: figures rounded, words shielded."""
    columns = {}
    for name, column in zip(rows.schema.names, rows.columns, strict=True):
        if pa.types.is_floating(column.type):
            column = pc.round(column, _DIGITS.get(name, _SHARE_DIGITS))
        elif pa.types.is_string(column.type):
            column = shield_column(column)
        columns[name] = column
    return pa.table(columns, schema=rows.schema)


def shield_column(column: Any) -> Any:
    """Words no spreadsheet runs as formulas, as `grid_csv.shield` does for one.

    Examples
    --------
    >>> shield_column(pa.array(["=1+1", "EX-07"])).to_pylist()
    ["'=1+1", 'EX-07']
    """
    runs = pc.match_substring_regex(column, _RUNS)
    if not pc.any(runs, min_count=0).as_py():
        return column
    return pa.array([None if one is None else shield(one) for one in column.to_pylist()], column.type)


@contextmanager
def write_outlook(path: Path, schema: Any) -> Iterator[OutlookWriter]:
    """A writer of outlooks; afterwards the file is whole, or what it was before.

    Parameters
    ----------
    path : Path
        The file, .csv or .parquet, new or replaced.
    schema : pyarrow.Schema
        As outlook_schema gives it.

    Yields
    ------
    OutlookWriter
        To be given parts.

    Raises
    ------
    NotAllowedError
        Another ending.
    InputError
        The place cannot be written to.
    """
    check_ending(path)
    with open_whole(path) as stream:
        writer = OutlookWriter(path, stream, schema)
        yield writer
        writer.close()


def check_ending(path: Place) -> None:
    """Nothing when an outlook can be written under this name; asked before a long run rather than after it."""
    if path.suffix.lower() not in (*ENDINGS, "") or (path.suffix and not isinstance(path, Path)):
        allowed = in_english("a file name ending in .csv or .parquet, or a folder: a name without an ending")
        raise NotAllowedError("--out", path.name, allowed, "Change the ending of the name.")
