"""The tables of a yard: which there are, their columns, and their rows as whoever asks may see them."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Q, QuerySet
from django.http import Http404

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machines_of
from pitchline.desk.meter.models import MeterHours
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import prices_seen
from pitchline.desk.spoken import later
from pitchline.desk.tables.models import JobRow, LayUpRow, PartRow, PriceRow, WorkRow
from pitchline.desk.walkround.models import ReadingRow, SeenRow, Sheet
from pitchline.exchange.machine_list import Cell
from pitchline.exchange.yard_columns import (
    FINDING_COLUMNS,
    JOB_COLUMNS,
    LAY_UP_COLUMNS,
    MACHINE_COLUMNS,
    MONEY,
    PART_COLUMNS,
    PRICE_COLUMNS,
    READING_COLUMNS,
    SHOWN_COLUMNS,
    TEXT,
    VERDICT_COLUMNS,
    WORK_COLUMNS,
    Column,
)
from pitchline.trade.findings import Severity

PAGE = 500


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
        After the head that all of machines have.
    rows : type
        The model a row is of.
    machine : str or None
        The way from a row to its machine; empty for the machines themselves, None for what is of no machine.
    changed : str
        The field that says when a row was written.
    order : tuple of str
        How rows of one machine stand.
    of : mapping
        The field of each column that is called otherwise.
    sums : tuple of str
        By which column a workbook adds up, then which columns.
    is_money : bool
        Whether whoever sees no prices sees nothing of it.
    only : Q
        Which rows of the model are rows of the table, beside those of archived machines and unfinished walk-rounds.
    """

    name: str
    about: str
    columns: tuple[Column, ...]
    rows: Any
    machine: str | None
    changed: str
    order: tuple[str, ...] = ()
    of: Mapping[str, str] = field(default_factory=dict)
    sums: tuple[str, ...] = ()
    is_money: bool = False
    only: Q = field(default_factory=Q)

    @property
    def holds(self) -> Q:
        """Which rows of the model are rows of it."""
        if self.machine is None:
            return self.only
        way = f"{self.machine}__" if self.machine else ""
        told = self.only & Q(**{f"{way}archived_at": None})
        return told & Q(sheet__state=Sheet.FINISHED) if way.startswith("sheet") else told

    @property
    def whole(self) -> tuple[Column, ...]:
        """All its columns."""
        return self.columns if self.machine is None else (*MACHINE_COLUMNS, *self.columns)

    @property
    def seen(self) -> tuple[Column, ...]:
        """All its columns but, for whoever sees no prices, those."""
        return self.whole if prices_seen() else tuple(one for one in self.whole if one.name not in MONEY)

    def path(self, name: str) -> str:
        """The field behind a column."""
        head = {"machine_id": "pk", "machine": "name", "short_name": "short_name", "kind": "kind", "customer": "customer",
                "site": "place", "depot": "depot__name"}  # fmt: skip
        if name == "changed_at":
            return self.changed
        if name in head and self.machine is not None:
            return f"{self.machine}__{head[name]}" if self.machine else head[name]
        return self.of.get(name, name)


_ON_SHEET = {"walked_on": "sheet__date", "service_h": "sheet__service_h", "by": "sheet__by"}
_SHEET = ("sheet__date", "sheet_id", "number", "pk")
_REALLY_SEEN = Q(how_bad__in=[one.value for one in Severity])
"""Neither what was taken back nor places looked over where nothing was."""
_THEIRS = ("machine", "changed_at", ("number",))
TABLES = {
    one.name: one
    for one in (
        Table("machines", later("a machine with its last verdict"), VERDICT_COLUMNS, Machine, "", "judgement__made_at",
              sums=("call", "money_low", "money_usual", "money_high", "worth_usual")),
        Table("parts", later("a part with its call and hours"), PART_COLUMNS, PartRow, *_THEIRS, sums=("part",)),
        Table("jobs", later("a job that falls due, now or later"), JOB_COLUMNS, JobRow, *_THEIRS,
              sums=("part", "pieces", "labour_h", "price_low", "price_usual", "price_high")),
        Table("readings", later("a size read on a finished walk-round"), READING_COLUMNS,
              ReadingRow, "sheet__machine", "sheet__finished_at", _SHEET,
              {**_ON_SHEET, "quantity": "measurand", "value_mm": "value_m"}, ("quantity",)),
        Table("findings", later("something seen on a finished walk-round"), FINDING_COLUMNS,
              SeenRow, "sheet__machine", "sheet__finished_at", _SHEET,
              {**_ON_SHEET, "seen": "kind", "severity": "how_bad"}, ("seen",), only=_REALLY_SEEN),
        Table("hours", later("what a meter showed between walk-rounds"), SHOWN_COLUMNS, MeterHours, "machine", "made_at",
              ("at",), sums=("state",)),
        Table("lay_ups", later("a job at a lay-up of the plan in force, or what the lay-up costs beside its jobs"),
              LAY_UP_COLUMNS, LayUpRow, *_THEIRS,
              sums=("job", "pieces", "labour_h", "price_low", "price_usual", "price_high"), is_money=True),
        Table("work", later("work that was done and written down"), WORK_COLUMNS, WorkRow, *_THEIRS,
              sums=("did", "pieces", "cost_labour", "cost_parts")),
        Table("prices", later("a line of the price list in force, or a figure beside its lines"), PRICE_COLUMNS, PriceRow, None,
              "changed_at", ("number",), is_money=True),
    )
}  # fmt: skip


def tables_seen() -> list[Table]:
    """The tables that whoever asks may see."""
    return [one for one in TABLES.values() if prices_seen() or not one.is_money]


def table_seen(name: str) -> Table:
    """One of them; not found where there is none, or it is not for whoever asks."""
    found = next((one for one in tables_seen() if one.name == name), None)
    if found is None:
        raise Http404("No such table.")
    return found


def rows_of(business: Business, table: Table, wanted: Wanted) -> QuerySet[Any]:
    """The rows of a table as lists of cells, those of archived machines left out; of what is of no machine, by its own kind."""
    paths = [table.path(column.name) for column in table.seen]
    told = table.holds
    if wanted.changed_since is not None:
        told &= Q(**{f"{table.changed}__gte": wanted.changed_since})
    if table.machine is None:
        told &= Q(for_kind__in=("", wanted.kind)) if wanted.kind else Q()
        listed: QuerySet[Any] = table.rows.objects.filter(told, business=business)
        return listed.order_by(*table.order).values_list(*paths)
    machine = f"{table.machine}__" if table.machine else ""
    for name, path in (("depot", "depot__name"), ("customer", "customer"), ("kind", "kind")):
        if getattr(wanted, name):
            told &= Q(**{machine + path: getattr(wanted, name)})
    mine = machines_of(business)
    found: QuerySet[Any] = table.rows.objects.filter(told, **{f"{table.machine or 'pk'}__in": mine})
    return found.order_by(f"{machine}name", f"{machine}pk", *table.order).values_list(*paths)


def cells_of(table: Table, found: Iterable[Any]) -> Iterator[list[Cell]]:
    """Rows as a file or an answer has them: ids as text, sizes in mm."""
    kinds = [(column.name == "value_mm", column.kind == TEXT) for column in table.seen]
    for row in found:
        yield [
            (None if cell is None else round(1e3 * cell, 3)) if is_size else str(cell or "") if is_text else cell
            for cell, (is_size, is_text) in zip(row, kinds, strict=True)
        ]
