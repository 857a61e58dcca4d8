"""Every write to the shelf: counted, corrected, taken from, brought in as a table, put away, undone."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone

from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Depot
from pitchline.desk.people.who import Actor
from pitchline.desk.shelf.models import ShelfItem
from pitchline.desk.spoken import later
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure
from pitchline.words import translated

UNDO = later("shelf")
_FIELDS = (
    "number",
    "what",
    "entry_id",
    "count",
    "depot_id",
    "place",
    "used",
    "reading",
    "cost",
    "note",
    "put_away_at",
)


class OldItemError(Exception):
    """Somebody else changed it meanwhile; what they wrote stands."""

    def __init__(self, now: ShelfItem) -> None:
        self.now = now
        super().__init__("changed meanwhile")


@dataclass(frozen=True, slots=True)
class Counted:
    """What is said of one entry of the shelf.

    Parameters
    ----------
    number, what : str
        The yard's own number, and one of `SHELVED`.
    count : int
        How many.
    entry : BookEntry or None
        The running gear of the gear list it is for.
    depot : Depot or None
        Where it lies.
    place, reading, note : str
        The rack or bin, what a used one reads, anything else.
    used : bool
        Whether it ran before.
    cost : float or None
        What was paid for a piece, in the currency of the price list.
    """

    number: str
    what: str
    count: int
    entry: BookEntry | None = None
    depot: Depot | None = None
    place: str = ""
    used: bool = False
    reading: str = ""
    cost: float | None = None
    note: str = ""

    @property
    def values(self) -> dict[str, Any]:
        """By column."""
        return {name: getattr(self, name) for name in self.__dataclass_fields__}


def keep_item(
    actor: Actor, said: Counted, why: str, *, item_id: uuid.UUID, seen_version: int | None
) -> Undoable | None:
    """What was done, to be undone for a day; None where it stood so already.

    Parameters
    ----------
    actor : Actor
        Who.
    said : Counted
        What is to stand.
    why : str
        The reason of a count that is corrected.
    item_id : uuid.UUID
        Of a new one too, so that a form sent twice counts once.
    seen_version : int or None
        The version somebody saw; None for a new one.

    Raises
    ------
    NotAllowedError
        The number is taken, or a count is changed without a reason.
    OldItemError
        Somebody else was faster.
    """
    with transaction.atomic():
        row = ShelfItem.objects.select_for_update(of=("self",)).filter(business=actor.business, pk=item_id).first()
        if row is not None and seen_version is None:
            return None
        if row is not None and row.version != seen_version:
            raise OldItemError(row)
        taken = ShelfItem._base_manager.filter(business=actor.business, number=said.number).exclude(pk=item_id)
        if taken.exists():
            step = translated("Change the count of that one, or give this another number.")
            raise NotAllowedError("number", said.number, "one that no other entry of the shelf has", step)
        before = _kept(row)
        if row is not None and row.count != said.count and not why.strip():
            step = "Say in a few words how the count came to change."
            raise NotAllowedError("why", phrase("nothing"), "a reason for another count", step)
        if row is not None and all(getattr(row, name) == value for name, value in said.values.items()):
            return None
        row = _written(actor, row or ShelfItem(pk=item_id, business=actor.business, version=0), said)
        note(actor, None, [_told(row, before["count"] if before else None, why)])
        told = translated("{number}: {n} on the shelf.").format(number=row.number, n=as_figure(row.count, ","))
        return remember(actor, way=UNDO, said=told, before={"rows": [[str(row.pk), row.version, before]]})


def take(actor: Actor, machine: Machine, counts: Mapping[uuid.UUID, int], why: str) -> Undoable | None:
    """What was taken for a machine, to be undone for a day; None where it is nothing.

    Raises
    ------
    NotAllowedError
        There are not so many.
    """
    with transaction.atomic():
        rows = ShelfItem.objects.select_for_update(of=("self",)).filter(business=actor.business, pk__in=counts)
        before, told = [], []
        for row in rows:
            count = counts[row.pk]
            if count > row.count:
                there = phrase("0 to {n}", n=row.count)
                raise NotAllowedError(row.number, count, there, "Count the shelf, and correct it first.")
            if count == 0:
                continue
            kept = _kept(row)
            row.count -= count
            row.version += 1
            row.save(update_fields=["count", "version"])
            before.append([str(row.pk), row.version, kept])
            told.append(_told(row, row.count + count, why))
        if not before:
            return None
        note(actor, machine.pk, told)
        said = translated("Taken from the shelf for {machine}.").format(machine=machine.name)
        return remember(actor, way=UNDO, said=said, before={"rows": before, "machine": str(machine.pk)})


def bring(actor: Actor, rows: Sequence[Counted], why: str) -> Undoable | None:
    """What a table changed, to be undone for a day; None where all of it stood so already. What it does not name stays."""
    with transaction.atomic():
        numbers = [one.number for one in rows]
        known = {
            one.number: one
            for one in ShelfItem.objects.select_for_update(of=("self",)).filter(
                business=actor.business, number__in=numbers
            )
        }
        before, told = [], []
        for said in rows:
            row = known.get(said.number)
            kept = _kept(row)
            same = row is not None and all(getattr(row, name) == value for name, value in said.values.items())
            if same and row is not None and row.put_away_at is None:
                continue
            row = _written(actor, row or ShelfItem(business=actor.business, version=0), said)
            before.append([str(row.pk), row.version, kept])
            told.append(_told(row, kept["count"] if kept else None, why))
        if not before:
            return None
        note(actor, None, told)
        said_all = translated("{n} entries of the shelf brought in.").format(n=as_figure(len(before), ","))
        return remember(actor, way=UNDO, said=said_all, before={"rows": before})


def set_put_away(actor: Actor, row: ShelfItem, *, away: bool) -> Undoable | None:
    """What was done, to be undone for a day; None where it is so already."""
    if (row.put_away_at is not None) is away:
        return None
    with transaction.atomic():
        before = _kept(row)
        row.put_away_at = timezone.now() if away else None
        row.version += 1
        row.save(update_fields=["put_away_at", "version"])
        what = phrase("off the shelf’s list") if away else phrase("back on the shelf’s list")
        note(actor, None, [Told(what, "", row.number)])
        said = translated("{number} put away." if away else "{number} brought back.").format(number=row.number)
        return remember(actor, way=UNDO, said=said, before={"rows": [[str(row.pk), row.version, before]]})


def undo_shelf(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words; inside the transaction of the caller.

    Raises
    ------
    NotAllowedError
        Somebody changed one of them since.
    """
    for pk, version, kept in before["rows"]:
        row = ShelfItem._base_manager.select_for_update().filter(business=actor.business, pk=pk).first()
        if row is None or row.version != version:
            step = translated("Correct the count by hand.")
            raise NotAllowedError("undo", row.number if row else "?", "what nobody changed since", step)
        was = row.count
        if kept is None:
            row.delete()
            note(actor, None, [Told(phrase("shelf"), row.number, "", phrase("undone"))])
            continue
        for name, value in kept.items():
            setattr(row, name, value)
        row.version += 1
        row.save()
        note(actor, None, [_told(row, was, phrase("undone"))])
    return translated("Undone: the shelf is as it was.")


def _written(actor: Actor, row: ShelfItem, said: Counted) -> ShelfItem:
    for name, value in said.values.items():
        setattr(row, name, value)
    row.put_away_at = None
    row.version += 1
    row.save()
    return row


def _kept(row: ShelfItem | None) -> dict[str, Any] | None:
    """A row as it stood, for undoing; None where there was none."""
    if row is None:
        return None
    kept = {name: getattr(row, name) for name in _FIELDS}
    ids = {name: str(kept[name]) if kept[name] else None for name in ("entry_id", "depot_id")}
    return kept | ids | {"put_away_at": kept["put_away_at"].isoformat() if kept["put_away_at"] else None}


def _told(row: ShelfItem, before: int | None, why: str) -> Told:
    was = as_figure(before, ",") if before is not None else ""
    return Told(phrase("on the shelf: {number}", number=row.number), was, as_figure(row.count, ","), why)
