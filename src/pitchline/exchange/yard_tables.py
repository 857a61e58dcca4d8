"""Flat tables of a whole yard: what a verdict says in them, and files of them that other programs read.

See docs/reference/yard-tables.md.
"""

import datetime as dt
import io
from collections.abc import Sequence
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from pitchline.exchange.machine_list import Cell, machine_list_csv
from pitchline.exchange.yard_columns import DAY, MOMENT, NUMBER, TEXT, WHOLE, Column
from pitchline.exchange.yard_workbook import yard_workbook
from pitchline.money.amount import Money
from pitchline.trade.jobs import RENEWS
from pitchline.verdict import Verdict
from pitchline.words import say

_ARROW = {
    TEXT: pa.string(),
    NUMBER: pa.float64(),
    WHOLE: pa.int64(),
    DAY: pa.date32(),
    MOMENT: pa.timestamp("ms", tz="UTC"),
}
ENDINGS = ("csv", "xlsx", "parquet")


Row = tuple[Cell, ...]


def part_rows(verdict: Verdict) -> list[Row]:
    """What a verdict says of each part, in the order of PART_COLUMNS.

    Parameters
    ----------
    verdict : Verdict
        Of one machine.

    Returns
    -------
    list of tuple
        A row for each place.
    """
    found: list[Row] = []
    for one in verdict.parts:
        used = [each for each in one.judged if each.life_used is not None]
        worn = max(used, key=lambda each: each.life_used or 0.0, default=None)
        found.append((
            verdict.as_of, round(verdict.from_service_h, 1), one.place.part.value, one.place.side.value, one.place.position,
            one.call.value, one.stake.value if one.stake is not None else "", one.job.value if one.job is not None else "",
            worn.measurand.value if worn is not None else "",
            round(worn.life_used, 4) if worn is not None and worn.life_used is not None else None,
            round(1e3 * worn.value_m, 3) if worn is not None and worn.value_m is not None else None,
            *_hours(one.due, one.dates), int(one.looked_at), int(one.assumed_limit),
        ))  # fmt: skip
    return found


def job_rows(verdict: Verdict) -> list[Row]:
    """The jobs a verdict asks for, now or later, in the order of JOB_COLUMNS.

    Parameters
    ----------
    verdict : Verdict
        Of one machine.

    Returns
    -------
    list of tuple
        A row for each job.
    """
    return [
        (
            verdict.as_of, one.kind.value, one.part.value, "; ".join(place.key for place in one.places),
            one.pieces or len(one.places), int(one.kind in RENEWS), one.call.value,
            one.stake.value if one.stake is not None else "", round(one.chance_in_window, 4),
            *_hours(one.due, one.dates), one.labour_h,
            *price_cells(one.price),
            "; ".join(f"{count} {say(what)}" for what, count in one.parts_needed),
        )
        for one in verdict.jobs
    ]  # fmt: skip


def price_cells(price: Money | None) -> tuple[Cell, ...]:
    """Low, usual, high and currency; empty cells where there is no price."""
    return (None, None, None, "") if price is None else (price.low, price.usual, price.high, price.currency)


def _hours(due: Any, dates: Any) -> tuple[Cell, ...]:
    hours = (due.cautious, due.middle, due.hopeful) if due is not None else (None, None, None)
    days = (dates.cautious, dates.middle, dates.hopeful) if dates is not None else (None, None, None)
    return (*(None if each is None else round(each, 1) for each in hours), *days)


def table_file(
    name: str, columns: Sequence[Column], rows: Sequence[Sequence[Cell]], ending: str, sums: Sequence[str] = ()
) -> bytes:
    """A table as a file.

    Parameters
    ----------
    name : str
        What the table is called.
    columns : sequence of Column
        Its columns.
    rows : sequence of sequences
        Cells in their order; None where nothing is known.
    ending : str
        csv, xlsx or parquet.
    sums : sequence of str
        By which column a workbook adds up on its second sheet, then which columns; those that are not there are left out.

    Returns
    -------
    bytes
        The file's content. No row of it is a formula; Parquet has the types of the columns.

    References
    ----------
    RFC 4180; ECMA-376; Apache Parquet.
    """
    if ending == "xlsx":
        return yard_workbook(name, columns, rows, sums)
    if ending == "csv":
        return machine_list_csv(
            [[_told(cell) for cell in row] for row in rows], [column.name for column in columns]
        )
    schema = pa.schema([(column.name, _ARROW[column.kind]) for column in columns])
    table = pa.table(
        [pa.array([row[at] for row in rows], schema.types[at]) for at in range(len(columns))], schema=schema
    )
    stream = io.BytesIO()
    pq.write_table(table, stream)
    return stream.getvalue()


def _told(cell: Any) -> Cell:
    """A moment as a text."""
    return cell.isoformat(timespec="seconds") if isinstance(cell, dt.datetime) else cell
