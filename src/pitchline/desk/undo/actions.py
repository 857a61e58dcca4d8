"""Remembering what was done, and taking it back; both inside the transaction of the change itself."""

import datetime as dt
import uuid
from collections.abc import Callable
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.http import Http404
from django.utils import timezone

from pitchline.desk.people.rights import CHANGE
from pitchline.desk.people.who import Actor
from pitchline.desk.undo.models import Undoable
from pitchline.trade.errors import NotAllowedError
from pitchline.words import translated

LASTS, FORGOTTEN_AFTER = dt.timedelta(days=1), dt.timedelta(days=30)


Way = Callable[[Actor, dict[str, Any]], str]
"""Takes the actor and what was remembered, and says what it did."""
_WAYS: dict[str, Way] = {}


def undoes(way: str, take_back: Way) -> None:
    """An app joins when the desk starts: from now on what it remembers under this name is taken back by this function."""
    if _WAYS.setdefault(way, take_back) is not take_back:
        raise ValueError(f"{way!r} is taken back by two functions")


def remember(actor: Actor, *, way: str, said: str, before: dict[str, Any]) -> Undoable:
    """What was done just now, so that it can be taken back; `way` is a name given to `undoes`, `before` what that way needs."""
    Undoable.objects.filter(business=actor.business, at__lt=timezone.now() - FORGOTTEN_AFTER).delete()
    return Undoable.objects.create(business=actor.business, who=actor.name, way=way, said=said, before=before)


def _of(actor: Actor) -> QuerySet[Undoable]:
    """What somebody may take back: whoever may not change everything, and whoever is held to depots, only their own."""
    rows = Undoable.objects.filter(business=actor.business)
    return rows if CHANGE in actor.rights and actor.depots is None else rows.filter(who=actor.name)


def standing(actor: Actor) -> list[Undoable]:
    """What can still be taken back, newest first."""
    return list(_of(actor).filter(undone_at=None, at__gte=timezone.now() - LASTS)[:200])


def undo(actor: Actor, *, undoable_id: uuid.UUID) -> str:
    """What was taken back, in words; a second time changes nothing.

    Raises
    ------
    Http404
        Another business's, or nothing at all.
    NotAllowedError
        More than a day has passed, or what came after stands in the way.
    """
    with transaction.atomic():
        known = _of(actor).select_for_update().filter(pk=undoable_id).first()
        if known is None:
            raise Http404("Nothing of this yard to undo.")
        if known.undone_at is not None:
            return translated("That was undone already.")
        if timezone.now() - known.at > LASTS:
            step = translated("What it changed can still be changed by hand.")
            raise NotAllowedError(
                "undo", translated("done more than a day ago"), "what was done within a day", step
            )
        told = _WAYS[known.way](actor, known.before)
        known.undone_at = timezone.now()
        known.save(update_fields=["undone_at"])
    return told
