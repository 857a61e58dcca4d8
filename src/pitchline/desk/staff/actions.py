"""Letting people in, changing what they are, putting them out; depots. The actor first, every change in the trail."""

import datetime as dt
import hashlib
import secrets
import uuid
from collections.abc import Collection
from typing import Any

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from pitchline.desk.api.tokens import end_tokens
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.adding import check_new_name
from pitchline.desk.people.models import Depot, Member
from pitchline.desk.people.rights import OWNER
from pitchline.desk.people.who import Actor
from pitchline.desk.staff.models import Invitation
from pitchline.desk.staff.names import ROLE_NAMES
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated

LINK_DAYS = 7
_RANDOM_BYTES = 32


def _mark_of(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()


def invite(actor: Actor, *, called: str, role: str, depots: Collection[Depot], user: User | None = None) -> str:
    """The secret of a new link, shown once; for somebody known it sets a new password, and links made before end."""
    secret, now = secrets.token_urlsafe(_RANDOM_BYTES), timezone.now()
    with transaction.atomic():
        if user is not None:
            Invitation.objects.filter(user=user, used_at=None).update(ends_at=now)
        made = Invitation.objects.create(
            business=actor.business, user=user, called=called, role=role, mark=_mark_of(secret), made_by=actor.name,
            ends_at=now + dt.timedelta(days=LINK_DAYS),
        )  # fmt: skip
        made.depots.set(depots)
        said = phrase("link for a new password made") if user is not None else phrase("invitation made")
        note(actor, None, [Told(said, "", called)])
    return secret


def invitation_by(secret: str) -> Invitation | None:
    """The link that has a secret, while it is good."""
    found = Invitation.objects.select_related("business", "user").filter(
        mark=_mark_of(secret), used_at=None, ends_at__gt=timezone.now()
    )
    return found.first()


def take_back(actor: Actor, invitation: Invitation) -> None:
    """Nothing comes out; afterwards the link leads nowhere."""
    with transaction.atomic():
        Invitation.objects.filter(pk=invitation.pk, used_at=None).update(ends_at=timezone.now())
        note(actor, None, [Told(phrase("invitation taken back"), invitation.called)])


def accept(secret: str, *, name: str, password: str) -> Member:
    """Whoever has the link, as a person who signs in; it is good once.

    Raises
    ------
    NotAllowedError
        The link is used or too old, the name is taken, or the password is guessed too easily.
    """
    with transaction.atomic():
        link = invitation_by(secret)
        good = Invitation.objects.filter(pk=link.pk, used_at=None) if link is not None else None
        if link is None or good is None or not good.update(used_at=timezone.now()):
            step = translated("Ask whoever sent it for a new one.")
            raise NotAllowedError("link", translated("used, taken back or too old"), "a link that is good", step)
        user = link.user
        if user is None:
            check_new_name(name)
            user = User(username=name)
        try:
            validate_password(password, user)
        except ValidationError as error:
            told = " ".join(map(str, error.messages))
            raise NotAllowedError("password", translated("what was typed"), "another one", told) from None
        user.set_password(password)
        user.save()
        member = Member.objects.filter(user=user).first()
        if member is None:
            member = Member.objects.create(user=user, business=link.business, role=link.role)
            member.depots.set(link.depots.all())
        who = Actor(link.business, user.get_username(), is_person=True)
        note(who, None, [Told(phrase("came in by a link"), "", link.made_by)])
    return member


def change_person(actor: Actor, member: Member, *, role: str, depots: Collection[Depot]) -> None:
    """Nothing comes out; afterwards a person is what was said, from their next page on.

    Raises
    ------
    NotAllowedError
        Nobody would be an owner any more.
    """
    with transaction.atomic():
        if role != OWNER:
            _keep_an_owner(member)
        name, was = member.user.get_username(), member.role
        before = ", ".join(str(one) for one in member.depots.all())
        Member.objects.filter(pk=member.pk).update(role=role)
        member.depots.set(depots)
        after = ", ".join(str(one) for one in member.depots.all())
        told = []
        if was != role:
            told.append(Told(phrase("role of {name}", name=name), str(ROLE_NAMES[was]), str(ROLE_NAMES[role])))
        if before != after:
            told.append(Told(phrase("depots of {name}", name=name), before, after))
        note(actor, None, told)


def put_out(actor: Actor, member: Member, *, out: bool) -> None:
    """Nothing comes out; afterwards a person can no longer sign in, their sessions, tokens and phones end at once; or can again.

    Raises
    ------
    NotAllowedError
        Nobody would be an owner any more.
    """
    with transaction.atomic():
        if out:
            _keep_an_owner(member)
            end_sessions(member.user)
            end_tokens(member.user, actor)
        User.objects.filter(pk=member.user_id).update(is_active=not out)
        said = phrase("person put out") if out else phrase("person let in again")
        note(actor, None, [Told(said, "", member.user.get_username())])


def _keep_an_owner(member: Member) -> None:
    others = Member.objects.select_for_update().filter(business=member.business, role=OWNER, user__is_active=True)
    if member.role == OWNER and not others.exclude(pk=member.pk).exists():
        step = translated("Make somebody else an owner first.")
        raise NotAllowedError("role", translated("the last owner"), "a yard with an owner", step)


def end_sessions(user: User) -> None:
    """Nothing comes out; afterwards nobody is signed in as this person."""
    for one in Session.objects.filter(expire_date__gt=timezone.now()):
        if one.get_decoded().get("_auth_user_id") == str(user.pk):
            one.delete()


def add_depot(actor: Actor, name: str) -> None:
    """Nothing comes out; afterwards there is a depot of that name."""
    with transaction.atomic():
        _, made = Depot.objects.get_or_create(business=actor.business, name=name)
        if made:
            note(actor, None, [Told(phrase("depot added"), "", name)])


def remove_depot(actor: Actor, depot: Depot) -> None:
    """Nothing comes out; afterwards there is no such depot.

    Raises
    ------
    NotAllowedError
        Machines stand there, or somebody is held to it.
    """
    if depot.machines.exists() or depot.members.exists():
        step = translated("Give its machines and people another depot first.")
        raise NotAllowedError("depot", depot.name, "one where nothing stands and nobody is held to", step)
    with transaction.atomic():
        note(actor, None, [Told(phrase("depot removed"), depot.name)])
        depot.delete()


def depots_of(actor: Actor) -> list[Depot]:
    """The depots somebody may say a machine stands at: their own, where they are held to some."""
    rows = Depot.objects.filter(business=actor.business)
    return list(rows if actor.depots is None else rows.filter(pk__in=actor.depots))


def stand_at(actor: Actor, machine: Machine, depot: Depot | None) -> Undoable | None:
    """What was done, to take it back; None where it stood there already."""
    if machine.depot_id == (depot.pk if depot is not None else None):
        return None
    with transaction.atomic():
        was = str(machine.depot) if machine.depot is not None else ""
        Machine.objects.filter(pk=machine.pk).update(depot=depot)
        note(actor, machine.pk, [Told(phrase("depot"), was, str(depot or ""))])
        said = translated("{name}: depot changed.").format(name=machine.name)
        before = {"machine": str(machine.pk), "depot": str(machine.depot_id or "")}
        return remember(actor, way="depot", said=said, before=before)


def stand_back(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words."""
    machine = machine_of(actor.business, uuid.UUID(before["machine"]))
    depot = Depot.objects.filter(business=actor.business, pk=before["depot"]).first() if before["depot"] else None
    now = str(machine.depot or "")
    Machine.objects.filter(pk=machine.pk).update(depot=depot)
    note(actor, machine.pk, [Told(phrase("depot"), now, str(depot or ""), phrase("undone"))])
    return translated("{name}: depot as before.").format(name=machine.name)
