"""Opening the door for phones, letting one in, and putting it out again."""

import datetime as dt
import secrets
import uuid

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from pitchline.desk.people.who import Actor
from pitchline.desk.phones.codes import mark_of, new_code
from pitchline.desk.phones.models import Asking, Door, Phone, WrongCode
from pitchline.desk.phones.queries import the_door
from pitchline.desk.trail.actions import Told, note
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated

CODE_MINUTES = 10
WRONG_AN_HOUR = 20
"""Wrong codes in an hour, from all addresses together, after which the door rests (limits by address alone are got round)."""
REST_MINUTES = 60
_SEEN_EVERY = dt.timedelta(hours=1)


def open_door(actor: Actor, *, is_open: bool, port: int) -> Door:
    """The door, open or shut from now on; whoever was let in before can come in again while it is open."""
    with transaction.atomic():
        door = Door.objects.select_for_update().get(pk=the_door().pk)
        if (door.is_open, door.port) != (is_open, port):
            door.is_open, door.port, door.problem = is_open, port, ""
            door.save(update_fields=("is_open", "port", "problem"))
            said = phrase("door for phones opened") if is_open else phrase("door for phones shut")
            note(actor, None, [Told(said)])
    return door


def wake_door(actor: Actor) -> None:
    """Nothing comes out; afterwards codes are taken again, though many wrong ones were tried."""
    with transaction.atomic():
        Door.objects.filter(pk=the_door().pk).update(resting_until=None)
        WrongCode.objects.all().delete()
        note(actor, None, [Told(phrase("door for phones takes codes again"))])


def new_asking(actor: Actor, user: User | None = None) -> tuple[Asking, str]:
    """A new code, and what waits for the phone that sends it; a code the same person made before is void from now on."""
    now, code = timezone.now(), new_code()
    with transaction.atomic():
        Asking.objects.filter(
            business=actor.business, who=actor.name, state__in=(Asking.OPEN, Asking.ASKED)
        ).update(state=Asking.ENDED)
        Asking.objects.filter(made_at__lt=now - dt.timedelta(days=1)).delete()
        asking = Asking.objects.create(
            business=actor.business, user=user, who=actor.name, code_mark=mark_of(code), made_at=now,
            ends_at=now + dt.timedelta(minutes=CODE_MINUTES),
        )  # fmt: skip
    return asking, code


def ask_in(code: str, *, name: str, person: str, asked_from: str) -> tuple[Asking, str] | None:
    """What a phone asked by a code, and the secret it keeps from now on; None where the code leads nowhere, for whatever reason.

    Parameters
    ----------
    code : str
        Eight letters; empty where what was typed can be none.
    name, person : str
        What the phone is called, and whose it is.
    asked_from : str
        Its address.
    """
    now = timezone.now()
    with transaction.atomic():
        door = Door.objects.select_for_update().get(pk=the_door().pk)  # one at a time, in whichever process
        if door.resting_until is not None and door.resting_until > now:
            return None
        secret, digits = secrets.token_urlsafe(32), f"{secrets.randbelow(90) + 10}"
        asked = Asking.objects.filter(
            code_mark=mark_of(code), state=Asking.OPEN, ends_at__gt=now, tries_left__gt=0
        ).update(
            state=Asking.ASKED,
            name=name,
            person=person,
            asked_from=asked_from,
            mark=mark_of(secret),
            digits=digits,
        )
        if asked:
            return Asking.objects.get(code_mark=mark_of(code)), secret
        _wrong(door, asked_from, now)
    return None


def _wrong(door: Door, asked_from: str, now: dt.datetime) -> None:
    open_now = Asking.objects.filter(state=Asking.OPEN, ends_at__gt=now, tries_left__gt=0)
    for one in open_now.filter(tries_left=1).select_related("business"):
        note(
            Actor(one.business),
            None,
            [Told(phrase("code for a phone void after wrong tries"), after=asked_from)],
        )
    open_now.update(tries_left=F("tries_left") - 1)
    WrongCode.objects.filter(at__lt=now - dt.timedelta(days=1)).delete()
    WrongCode.objects.create(at=now, asked_from=asked_from)
    if WrongCode.objects.filter(at__gt=now - dt.timedelta(hours=1)).count() >= WRONG_AN_HOUR:
        Door.objects.filter(pk=door.pk).update(resting_until=now + dt.timedelta(minutes=REST_MINUTES))


def answer_asking(actor: Actor, asking_id: uuid.UUID, *, let_in: bool) -> Phone | None:
    """The phone that is in from now on; None where it was refused.

    Raises
    ------
    NotAllowedError
        Nobody asks by it any more: it took too long, or was answered before.
    """
    now = timezone.now()
    with transaction.atomic():
        asking = Asking.objects.select_for_update().filter(business=actor.business, pk=asking_id).first()
        if asking is None or asking.state != Asking.ASKED or asking.ends_at <= now:
            raise NotAllowedError(
                "phone",
                translated("no phone asks by this code any more"),
                "a phone that asks now",
                "Make a new code.",
            )
        asking.state = Asking.LET_IN if let_in else Asking.REFUSED
        asking.save(update_fields=("state",))
        said = f"{asking.name}, {asking.person}"
        if not let_in:
            note(actor, None, [Told(phrase("phone refused"), after=said)])
            return None
        phone = Phone.objects.create(
            business=asking.business, user=asking.user, name=asking.name, person=asking.person, mark=asking.mark,
            let_in_by=actor.name, let_in_at=now,
        )  # fmt: skip
        note(actor, None, [Told(phrase("phone let in"), after=said)])
    return phone


def put_out(actor: Actor, phone_id: uuid.UUID) -> Phone | None:
    """The phone that is out from its next request on; None where it is not in."""
    with transaction.atomic():
        phone = (
            Phone.objects.select_for_update().filter(business=actor.business, pk=phone_id, ended_at=None).first()
        )
        if phone is not None:
            phone.ended_at, phone.ended_by = timezone.now(), actor.name
            phone.save(update_fields=("ended_at", "ended_by"))
            note(actor, None, [Told(phrase("phone put out"), before=f"{phone.name}, {phone.person}")])
    return phone


def seen(phone: Phone, seen_from: str) -> bool:
    """Whether it is the first time in an hour that it was seen; then that is written down."""
    now = timezone.now()
    if phone.seen_at is not None and now - phone.seen_at < _SEEN_EVERY and phone.seen_from == seen_from:
        return False
    Phone.objects.filter(pk=phone.pk).update(seen_at=now, seen_from=seen_from)
    return True
