"""Making a link for a buyer, taking it back, and counting who opens it."""

import datetime as dt
import hashlib
import secrets
import uuid
from typing import Any

from django.db import transaction
from django.db.models import Case, F, Value, When
from django.http import Http404
from django.utils import timezone

from pitchline.desk.buyer.models import BuyerLink
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.trade.errors import phrase
from pitchline.words import translated

MOST_A_MINUTE = 60
"""Requests one link answers in a minute, page, paper and photos together: our own choice."""
_RANDOM_BYTES = 32
_MINUTE = dt.timedelta(minutes=1)


def make_link(actor: Actor, machine: Machine, *, called: str, days: int) -> tuple[str, Undoable]:
    """The secret of a new link, shown once, and what was done."""
    secret = secrets.token_urlsafe(_RANDOM_BYTES)
    with transaction.atomic():
        made = BuyerLink.objects.create(
            business=actor.business, machine=machine, called=called, mark=_mark_of(secret), made_by=actor.name,
            ends_at=timezone.now() + dt.timedelta(days=days),
        )  # fmt: skip
        note(actor, machine.pk, [Told(phrase("link for a buyer made"), "", called)])
        said = translated("{name}: link for a buyer made.").format(name=machine.name)
        return secret, remember(actor, way="buyer link", said=said, before={"link": str(made.pk), "open": False})


def take_back(actor: Actor, link: BuyerLink) -> Undoable | None:
    """What was done; None where it led nowhere already."""
    with transaction.atomic():
        if not _set_open(actor, link, is_open=False):
            return None
        said = translated("{name}: link for a buyer taken back.").format(name=link.machine.name)
        return remember(actor, way="buyer link", said=said, before={"link": str(link.pk), "open": True})


def as_before(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words."""
    link = BuyerLink.objects.select_related("machine").filter(
        business=actor.business, pk=uuid.UUID(before["link"])
    )
    found = link.first()
    if found is None:
        raise Http404("No such link.")
    _set_open(actor, found, is_open=before["open"])
    return translated("The link is open again.") if before["open"] else translated("The link leads nowhere now.")


def _set_open(actor: Actor, link: BuyerLink, *, is_open: bool) -> bool:
    rows = BuyerLink.objects.filter(pk=link.pk, taken_back_at__isnull=not is_open)
    if not rows.update(taken_back_at=None if is_open else timezone.now()):
        return False
    said = phrase("link for a buyer open again") if is_open else phrase("link for a buyer taken back")
    note(actor, link.machine_id, [Told(said, link.called)])
    return True


def link_by(secret: str) -> BuyerLink | None:
    """The link that has a secret, while it is open."""
    found = (
        BuyerLink.objects.select_related("business", "machine__judgement", "machine__business")
        .filter(mark=_mark_of(secret))
        .first()
    )
    return found if found is not None and found.is_open else None


def counted(link: BuyerLink, *, opening: bool) -> bool:
    """Whether it still answers in this minute; an opening of its page is counted. One statement, so that none is lost."""
    now = timezone.now()
    fresh = {"minute__isnull": True}, {"minute__lte": now - _MINUTE}
    rows = BuyerLink.objects.filter(pk=link.pk)
    rows.update(
        in_minute=Case(*(When(**one, then=Value(1)) for one in fresh), default=F("in_minute") + 1),
        minute=Case(*(When(**one, then=Value(now)) for one in fresh), default=F("minute")),
    )
    if rows.values_list("in_minute", flat=True)[0] > MOST_A_MINUTE:
        return False
    if opening:
        rows.update(openings=F("openings") + 1, opened_at=now)
    return True


def _mark_of(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()
