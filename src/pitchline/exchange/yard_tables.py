"""Flat tables of a whole yard: their columns, what a verdict says in them, and files of them that other programs read.

See docs/reference/yard-tables.md.
"""

import datetime as dt
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from pitchline.exchange.machine_list import Cell, machine_list_csv, machine_list_xlsx
from pitchline.money.amount import Money
from pitchline.trade.jobs import RENEWS
from pitchline.verdict import Verdict
from pitchline.words import say

TEXT, NUMBER, WHOLE, DAY, MOMENT = "text", "number", "whole", "day", "moment"
_ARROW = {
    TEXT: pa.string(),
    NUMBER: pa.float64(),
    WHOLE: pa.int64(),
    DAY: pa.date32(),
    MOMENT: pa.timestamp("ms", tz="UTC"),
}
ENDINGS = ("csv", "xlsx", "parquet")


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Parameters
    ----------
    name : str
        In small letters, the unit at its end.
    kind : str
        TEXT, NUMBER, WHOLE, DAY or MOMENT.
    about : str
        What it holds.
    """

    name: str
    kind: str
    about: str


MACHINE_COLUMNS = (
    Column("machine_id", TEXT, "id of the machine, the same in every table"),
    Column("machine", TEXT, "its name"),
    Column("short_name", TEXT, "its short name"),
    Column("kind", TEXT, "family of machine"),
    Column("customer", TEXT, "whose it is"),
    Column("depot", TEXT, "the depot it stands at"),
    Column("site", TEXT, "where it works"),
    Column("changed_at", MOMENT, "when this row was written"),
)
"""The head of every table."""
HOURS_COLUMNS = (
    Column("cautious_h", NUMBER, "1 in 10 is due before [h]"),
    Column("middle_h", NUMBER, "as many are due before as after [h]"),
    Column("hopeful_h", NUMBER, "9 in 10 are due before [h]"),
    Column("cautious_on", DAY, "the same as a day; empty without hours a week"),
    Column("middle_on", DAY, "the same as a day"),
    Column("hopeful_on", DAY, "the same as a day"),
)
PART_COLUMNS = (
    Column("judged_for", DAY, "day of the verdict"),
    Column("hours_h", NUMBER, "service hours then [h]"),
    Column("part", TEXT, "kind of part"),
    Column("side", TEXT, "left or right; empty where there is none"),
    Column("position", WHOLE, "number along the side, from the front; 0 for the whole side"),
    Column("call", TEXT, "stop, book, run or unjudged"),
    Column("stake", TEXT, "what the call is about"),
    Column("job", TEXT, "what falls due first"),
    Column("quantity", TEXT, "the quantity that is worn most"),
    Column("life_used", NUMBER, "of it, as judged [1]"),
    Column("size_mm", NUMBER, "of it, as read last [mm]"),
    *HOURS_COLUMNS,
    Column("looked_at", WHOLE, "1 where it was read or looked over on the last walk-round"),
    Column("assumed_limit", WHOLE, "1 where a figure rests on an assumed limit"),
)
JOB_COLUMNS = (
    Column("judged_for", DAY, "day of the verdict"),
    Column("job", TEXT, "what is done"),
    Column("part", TEXT, "to what"),
    Column("places", TEXT, "where, parted by semicolons"),
    Column("pieces", WHOLE, "joints, shoes, pads or bolts where they are counted, else places"),
    Column("renews", WHOLE, "1 where new parts are needed"),
    Column("call", TEXT, "stop: before it works again; book: inside the booking window; run: later"),
    Column("stake", TEXT, "what the call is about"),
    Column("chance_in_window", NUMBER, "chance that it falls due inside the booking window [1]"),
    *HOURS_COLUMNS,
    Column("labour_h", NUMBER, "labour [h]; empty where it is not priced"),
    Column("price_low", NUMBER, "parts and labour, without tax [currency]"),
    Column("price_usual", NUMBER, "the same [currency]"),
    Column("price_high", NUMBER, "the same [currency]"),
    Column("currency", TEXT, "three letters"),
    Column("takes", TEXT, "what it takes and how many, parted by semicolons"),
)
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
            *_price(one.price),
            "; ".join(f"{count} {say(what)}" for what, count in one.parts_needed),
        )
        for one in verdict.jobs
    ]  # fmt: skip


def _price(price: Money | None) -> tuple[Cell, ...]:
    return (None, None, None, "") if price is None else (price.low, price.usual, price.high, price.currency)


def _hours(due: Any, dates: Any) -> tuple[Cell, ...]:
    hours = (due.cautious, due.middle, due.hopeful) if due is not None else (None, None, None)
    days = (dates.cautious, dates.middle, dates.hopeful) if dates is not None else (None, None, None)
    return (*(None if each is None else round(each, 1) for each in hours), *days)


def table_file(columns: Sequence[Column], rows: Sequence[Sequence[Cell]], ending: str) -> bytes:
    """A table as a file.

    Parameters
    ----------
    columns : sequence of Column
        Its columns.
    rows : sequence of sequences
        Cells in their order; None where nothing is known.
    ending : str
        csv, xlsx or parquet.

    Returns
    -------
    bytes
        The file's content. In CSV and workbooks nothing is a formula; Parquet has the types of the columns.

    References
    ----------
    RFC 4180; ECMA-376; Apache Parquet.
    """
    if ending != "parquet":
        plain = [[_told(cell) for cell in row] for row in rows]
        write = machine_list_csv if ending == "csv" else machine_list_xlsx
        return write(plain, [column.name for column in columns])
    schema = pa.schema([(column.name, _ARROW[column.kind]) for column in columns])
    table = pa.table(
        [pa.array([row[at] for row in rows], schema.types[at]) for at in range(len(columns))], schema=schema
    )
    stream = io.BytesIO()
    pq.write_table(table, stream)
    return stream.getvalue()


def _told(cell: Any) -> Cell:
    """A moment as a text; spreadsheets know no time zones."""
    return cell.isoformat(timespec="seconds") if isinstance(cell, dt.datetime) else cell
