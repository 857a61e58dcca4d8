"""Out of the yard's list and back in it, one machine or several, and undoing that."""

import uuid
from collections.abc import Sequence
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, change_of
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.trade.errors import phrase
from pitchline.trade.writing import as_figure
from pitchline.words import translated


def archive_several(actor: Actor, *, machine_ids: Sequence[uuid.UUID], archived: bool) -> Undoable | None:
    """What was done, to be undone for a day; None where every machine was as wanted already, or is not this business's."""
    with transaction.atomic():
        moved = _move(actor, machine_ids, archived)
        if not moved:
            return None
        one = moved[0].name if len(moved) == 1 else translated("{n} machines").format(n=as_figure(len(moved), ","))
        said = (
            translated("{one} archived: out of the yard's list.").format(one=one)
            if archived
            else translated("{one} back in the yard's list.").format(one=one)
        )
        before = {"machines": [str(each.pk) for each in moved], "archived": not archived}
        return remember(actor, way="archive", said=said, before=before)


def _move(actor: Actor, machine_ids: Sequence[uuid.UUID], archived: bool, why: str = "") -> list[Machine]:
    """The machines that were moved; inside a transaction of the caller."""
    wanted = Machine.objects.filter(business=actor.business, archived_at__isnull=archived)
    found = wanted.filter(pk__in=list(machine_ids)).only("id", "name")
    moved = list(found.select_for_update().order_by("pk"))
    when = timezone.now() if archived else None
    Machine.objects.filter(pk__in=[one.pk for one in moved]).update(archived_at=when, version=F("version") + 1)
    what = phrase("archived") if archived else phrase("brought back")
    Change.objects.bulk_create(change_of(actor, one.pk, Told(what, why=why)) for one in moved)
    return moved


def undo_archive(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words."""
    ids = [uuid.UUID(one) for one in before["machines"]]
    moved = _move(actor, ids, before["archived"], phrase("undone"))
    one = moved[0].name if len(moved) == 1 else translated("{n} machines").format(n=as_figure(len(moved), ","))
    told = translated(
        "Undone: {one} archived again." if before["archived"] else "Undone: {one} back in the yard’s list."
    )
    return told.format(one=one)
