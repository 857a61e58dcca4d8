"""Undoing an import: machines it added go again, fields it changed go back, and what was touched since stays as it is."""

import uuid
from collections.abc import Iterable
from typing import Any

from django.db.models import F

from pitchline.desk.machine.actions import mark_for_judging
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, change_of, note
from pitchline.desk.trail.models import Change
from pitchline.trade.errors import phrase
from pitchline.trade.writing import as_figure
from pitchline.words import counted, translated

_CHUNK = 400


def newest_change(actor: Actor) -> int:
    """The number of the newest change in this business's trail; 0 where there is none."""
    return Change.objects.filter(business=actor.business).values_list("pk", flat=True).first() or 0


def undo_import(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words; inside the transaction of the caller."""
    touched = _touched_since(actor, before["change"])
    added = [uuid.UUID(one) for one in before["added"]]
    gone = _take_out(actor, [one for one in added if one not in touched])
    changed = {uuid.UUID(one): fields for one, fields in before.get("changed", {}).items()}
    back = sum(_put_back(actor, pk, fields) for pk, fields in changed.items() if pk not in touched)
    taken = counted("{n} machine taken out again", "{n} machines taken out again", gone)
    put = counted("{n} put back as it was", "{n} put back as they were", back)
    said = [taken.format(n=as_figure(gone, ","))] * bool(added) + [put.format(n=as_figure(back, ","))] * bool(
        changed
    )
    left = len(added) + len(changed) - gone - back
    kept = (
        translated(" {left} left as they are, because they were changed since.").format(left=as_figure(left, ","))
        if left
        else ""
    )
    return translated("Undone: {listed}.").format(listed=", ".join(said) or translated("nothing")) + kept


def _touched_since(actor: Actor, change: int) -> set[uuid.UUID]:
    later = Change.objects.filter(business=actor.business, pk__gt=change, machine_id__isnull=False)
    return {pk for pk in later.values_list("machine_id", flat=True) if pk is not None}


def _chunks(ids: list[uuid.UUID]) -> Iterable[list[uuid.UUID]]:
    return (ids[start : start + _CHUNK] for start in range(0, len(ids), _CHUNK))


def _take_out(actor: Actor, ids: list[uuid.UUID]) -> int:
    """How many machines were taken out, with their sheets; the trail keeps that they were here."""
    gone = 0
    for chunk in _chunks(ids):
        found = Machine.objects.filter(business=actor.business, pk__in=chunk)
        names = list(found.values_list("pk", "name"))
        found.update(judgement=None)
        found.delete()
        Change.objects.bulk_create(
            change_of(actor, pk, Told(phrase("machine taken out"), before=name, why=phrase("undone")))
            for pk, name in names
        )
        gone += len(names)
    return gone


def _put_back(actor: Actor, pk: uuid.UUID, fields: dict[str, list[Any]]) -> int:
    """Whether one machine's fields went back to what they were."""
    was = {name: pair[0] for name, pair in fields.items()}
    written = Machine.objects.filter(business=actor.business, pk=pk).update(version=F("version") + 1, **was)
    if written and {"name", "kind"} & was.keys():
        mark_for_judging(pk)
    told = [
        Told(phrase(name.replace("_", " ")), str(pair[1] or ""), str(pair[0] or ""), phrase("undone"))
        for name, pair in fields.items()
        if name != "hours_h"
    ]
    note(actor, pk, told if written else [])
    return written
