"""The tables of a yard: which there are, their columns, and their rows as whoever asks may see them."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Q, QuerySet

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machines_of
from pitchline.desk.meter.models import MeterHours
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import prices_seen
from pitchline.desk.spoken import later
from pitchline.desk.tables.models import JobRow, PartRow
from pitchline.desk.walkround.models import ReadingRow, SeenRow, Sheet
from pitchline.exchange.machine_list import Cell
from pitchline.exchange.yard_tables import (
    DAY,
    JOB_COLUMNS,
    MACHINE_COLUMNS,
    MOMENT,
    NUMBER,
    PART_COLUMNS,
    TEXT,
    WHOLE,
    Column,
)

PAGE = 500
PRICES = frozenset((
    "price_low", "price_usual", "price_high", "currency", "money_low", "money_usual", "money_high", "worth_usual",
))  # fmt: skip
"""Columns that whoever sees no prices does not see."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which rows of a table.

    Parameters
    ----------
    depot, customer, kind : str
        Of these machines alone; empty for all.
    changed_since : datetime.datetime or None
        Written from then on.
    """

    depot: str = ""
    customer: str = ""
    kind: str = ""
    changed_since: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """One table.

    Parameters
    ----------
    name : str
        In addresses and files.
    about : str
        What a row is.
    columns : tuple of Column
        After the head that all have.
    rows : type
        The model a row is of.
    machine : str
        The way from a row to its machine; empty for the machines themselves.
    changed : str
        The field that says when a row was written.
    order : tuple of str
        How rows of one machine stand.
    of : mapping
        The field of each column that is called otherwise.
    """

    name: str
    about: str
    columns: tuple[Column, ...]
    rows: Any
    machine: str
    changed: str
    order: tuple[str, ...] = ()
    of: Mapping[str, str] = field(default_factory=dict)

    @property
    def seen(self) -> tuple[Column, ...]:
        """All its columns but, for whoever sees no prices, those."""
        whole = (*MACHINE_COLUMNS, *self.columns)
        return whole if prices_seen() else tuple(one for one in whole if one.name not in PRICES)

    def path(self, name: str) -> str:
        """The field behind a column."""
        head = {"machine_id": "pk", "machine": "name", "short_name": "short_name", "kind": "kind", "customer": "customer",
                "site": "place", "depot": "depot__name"}  # fmt: skip
        if name == "changed_at":
            return self.changed
        if name in head:
            return f"{self.machine}__{head[name]}" if self.machine else head[name]
        return self.of.get(name, name)


_PLACE = (
    Column("part", TEXT, "kind of part"),
    Column("side", TEXT, "left or right; empty where there is none"),
    Column("position", WHOLE, "number along the side, from the front; 0 for the whole side"),
)
_WALKED = (
    Column("walked_on", DAY, "day of the walk-round"),
    Column("service_h", NUMBER, "service hours then [h]"),
    Column("by", TEXT, "who went round"),
)
_VERDICT = (
    Column("hours_h", NUMBER, "service hours last seen [h]"),
    Column("last_walk_on", DAY, "day of the last walk-round"),
    Column("judged_for", DAY, "day of the verdict"),
    Column("call", TEXT, "stop, book or run; empty where it is not judged"),
    Column("stake", TEXT, "what the call is about"),
    Column("due_cautious_h", NUMBER, "1 in 10 is due before [h]"),
    Column("due_middle_h", NUMBER, "as many are due before as after [h]"),
    Column("due_hopeful_h", NUMBER, "9 in 10 are due before [h]"),
    Column("due_on", DAY, "the middle figure as a day"),
    Column("money_low", NUMBER, "falls due inside the booking window [currency]"),
    Column("money_usual", NUMBER, "the same [currency]"),
    Column("money_high", NUMBER, "the same [currency]"),
    Column("worth_usual", NUMBER, "worth left in its running gear [currency]"),
    Column("currency", TEXT, "three letters"),
    Column("looked_at", WHOLE, "parts looked at on the last walk-round"),
    Column("looked_of", WHOLE, "of so many"),
)
_ON_SHEET = {"walked_on": "sheet__date", "service_h": "sheet__service_h", "by": "sheet__by"}
_READ = (
    Column("quantity", TEXT, "what was read"),
    Column("value_mm", NUMBER, "its size [mm]"),
    Column("not_read_because", TEXT, "why it was not read"),
)
_SEEN = (
    Column("seen", TEXT, "what was seen"),
    Column("severity", TEXT, "how bad"),
    Column("count", WHOLE, "how many"),
    Column("note", TEXT, "what was noted"),
)
_SHOWN = (
    Column("at", MOMENT, "when"),
    Column("meter_h", NUMBER, "on the meter [h]"),
    Column("idle_h", NUMBER, "of them idle since new [h]"),
    Column("latitude", NUMBER, "[degrees]"),
    Column("longitude", NUMBER, "[degrees]"),
    Column("source", TEXT, "where it is from"),
    Column("state", TEXT, "taken, asked or left"),
)
_SHEET = ("sheet__date", "sheet_id", "number", "pk")
TABLES = {
    one.name: one
    for one in (
        Table("machines", later("a machine with its last verdict"), _VERDICT, Machine, "", "judgement__made_at"),
        Table("parts", later("a part with its call and hours"), PART_COLUMNS, PartRow, "machine", "changed_at", ("number",)),
        Table("jobs", later("a job that falls due, now or later"), JOB_COLUMNS, JobRow, "machine", "changed_at", ("number",)),
        Table(
            "readings", later("a size read on a finished walk-round"), (*_WALKED, *_PLACE, *_READ),
            ReadingRow, "sheet__machine", "sheet__finished_at", _SHEET,
            {**_ON_SHEET, "quantity": "measurand", "value_mm": "value_m"},
        ),
        Table(
            "findings", later("something seen on a finished walk-round"), (*_WALKED, *_PLACE, *_SEEN),
            SeenRow, "sheet__machine", "sheet__finished_at", _SHEET, {**_ON_SHEET, "seen": "kind", "severity": "how_bad"},
        ),
        Table("hours", later("what a meter showed between walk-rounds"), _SHOWN, MeterHours, "machine", "made_at", ("at",)),
    )
}  # fmt: skip


def rows_of(business: Business, table: Table, wanted: Wanted) -> QuerySet[Any]:
    """The rows of a table as lists of cells, those of archived machines left out."""
    machine = f"{table.machine}__" if table.machine else ""
    told = Q(**{f"{machine}archived_at": None})
    for name, path in (("depot", "depot__name"), ("customer", "customer"), ("kind", "kind")):
        if getattr(wanted, name):
            told &= Q(**{machine + path: getattr(wanted, name)})
    if wanted.changed_since is not None:
        told &= Q(**{f"{table.changed}__gte": wanted.changed_since})
    if table.machine.startswith("sheet"):
        told &= Q(sheet__state=Sheet.FINISHED)
    mine = machines_of(business)
    found: QuerySet[Any] = table.rows.objects.filter(told, **{f"{table.machine or 'pk'}__in": mine})
    paths = [table.path(column.name) for column in table.seen]
    return found.order_by(f"{machine}name", f"{machine}pk", *table.order).values_list(*paths)


def cells_of(table: Table, found: Iterable[Any]) -> Iterator[list[Cell]]:
    """Rows as a file or an answer has them: ids as text, sizes in mm."""
    kinds = [(column.name == "value_mm", column.kind == TEXT) for column in table.seen]
    for row in found:
        yield [
            (None if cell is None else round(1e3 * cell, 3)) if is_size else str(cell or "") if is_text else cell
            for cell, (is_size, is_text) in zip(row, kinds, strict=True)
        ]
