"""Every write to the yard's tables of parts. A table is never overwritten: a newer one of its name puts it away."""

import tempfile
import uuid
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django.db import transaction
from django.utils import timezone

from pitchline.desk.partfit.models import PartsTable
from pitchline.desk.partfit.queries import table_by, tables_of, with_columns
from pitchline.desk.partfit.stored import columns_packed, fill
from pitchline.desk.people.who import Actor
from pitchline.desk.spoken import later
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.desk.uploads import Upload
from pitchline.exchange.parts_file import Column
from pitchline.exchange.parts_own_table import guessed_columns, read_own_table
from pitchline.trade.errors import phrase
from pitchline.words import translated

UNDO = later("table of parts")


def bring_table(actor: Actor, sent: Upload, replaces: PartsTable | None) -> tuple[PartsTable, Undoable]:
    """The table, kept as it came; read at once where its columns are ours, or those of a table that was brought in before.

    Raises
    ------
    InputError
        The file cannot be read.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / sent.name
        path.write_bytes(sent.content)
        table = read_own_table(path)
    name = replaces.name if replaces is not None else Path(sent.name).stem
    row = PartsTable(
        business=actor.business,
        name=name,
        header=table.header,
        rows=[list(one) for one in table.rows],
        headings=list(table.headings),
        who=actor.name,
    )
    known = with_columns(actor.business, table.headings)
    if table.is_ours:
        row.columns = columns_packed(guessed_columns(table))
    elif known is not None:
        row.columns, row.every = known.columns, known.every
    if row.columns:
        fill(row)
    with transaction.atomic():
        before = tables_of(actor.business).filter(name=name, put_away_at=None)
        put_away = [str(pk) for pk in before.values_list("pk", flat=True)]
        before.update(put_away_at=timezone.now())
        row.save(force_insert=True)
        note(actor, None, [Told(phrase("table of parts"), name if put_away else "", name)])
        said = translated("Table {name} replaced." if put_away else "Table {name} brought in.").format(name=name)
        done = remember(actor, way=UNDO, said=said, before={"away": [str(row.pk)], "back": put_away})
    return row, done


def set_columns(actor: Actor, *, table_id: uuid.UUID, columns: Sequence[Column], every: str) -> Undoable:
    """What the columns hold, kept for every table with the same ones that comes later.

    Raises
    ------
    InputError
        A thousand rows cannot be read by it.
    """
    with transaction.atomic():
        row = table_by(actor.business, table_id)
        before = {"table": str(row.pk), "columns": row.columns, "every": row.every}
        _with_columns(row, columns_packed(columns), every)
        note(actor, None, [Told(phrase("columns of the table of parts"), "", row.name)])
        said = translated("The columns of {name} are kept.").format(name=row.name)
        return remember(actor, way=UNDO, said=said, before=before)


def set_put_away(actor: Actor, *, table_id: uuid.UUID, away: bool) -> Undoable | None:
    """What was done, to be undone for a day; None where it is so already."""
    with transaction.atomic():
        row = table_by(actor.business, table_id)
        if (row.put_away_at is not None) is away:
            return None
        _put(actor, [row.pk], away)
        said = translated("Table {name} put away." if away else "Table {name} brought back.").format(name=row.name)
        before = {"away": [], "back": [str(row.pk)]} if away else {"away": [str(row.pk)], "back": []}
        return remember(actor, way=UNDO, said=said, before=before)


def undo_table(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words; inside the transaction of the caller."""
    if "table" in before:
        row = table_by(actor.business, uuid.UUID(before["table"]))
        _with_columns(row, before["columns"], before["every"])
        return translated("Undone: the columns of {name} are as they were.").format(name=row.name)
    _put(actor, [uuid.UUID(one) for one in before["away"]], True)
    _put(actor, [uuid.UUID(one) for one in before["back"]], False)
    return translated("Undone: the tables of parts are as they were.")


def _with_columns(row: PartsTable, columns: list[dict[str, str]], every: str) -> None:
    row.columns, row.every, row.parts, row.not_used = columns, every, [], 0
    if columns:
        fill(row)
    row.save(update_fields=["columns", "every", "parts", "not_used"])


def _put(actor: Actor, tables: Sequence[uuid.UUID], away: bool) -> None:
    rows = tables_of(actor.business).filter(pk__in=tables)
    what = phrase("table of parts put away") if away else phrase("table of parts brought back")
    note(actor, None, [Told(what, "", name) for name in rows.values_list("name", flat=True)])
    rows.update(put_away_at=timezone.now() if away else None)
