"""Asking for it, keeping what was learned or brought, taking it into use and taking it back."""

import hashlib
import uuid
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.http import Http404
from django.utils import timezone

from pitchline.desk.clock import today
from pitchline.desk.constants import constants_in_force
from pitchline.desk.learning.models import Constants, LearningTurn
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.prices import judge_all
from pitchline.desk.trail.actions import Told, note
from pitchline.exchange.learned_file import learned_from_json
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated


def constants_of(business: Business, constants_id: uuid.UUID) -> Constants:
    """One set of constants; not found where it is another business's."""
    row = Constants.objects.filter(business=business, pk=constants_id).first()
    if row is None:
        raise Http404("No such constants in this yard.")
    return row


def kept_constants(business: Business) -> QuerySet[Constants]:
    """Every set that is kept, newest first."""
    return Constants.objects.filter(business=business)


def turn_seen(business: Business) -> LearningTurn:
    """When it learns, to be looked at: nothing is written."""
    return LearningTurn.objects.filter(business=business).first() or LearningTurn(business=business)


def turn_of(business: Business) -> LearningTurn:
    """When it learns; made where there is none yet."""
    return LearningTurn.objects.get_or_create(business=business)[0]


def ask(actor: Actor) -> None:
    """Nothing comes out; the background learns as soon as it has time."""
    turn = turn_of(actor.business)
    LearningTurn.objects.filter(pk=turn.pk).update(asked_at=timezone.now(), asked_by=actor.name)


def came_of(turn: LearningTurn, came: dict[str, Any], learned_from: str = "") -> None:
    """Nothing comes out; what came of learning stands there, and nobody waits for it any more."""
    LearningTurn.objects.filter(pk=turn.pk).update(
        came=came, came_at=timezone.now(), asked_at=None, looked_on=today(), learned_from=learned_from
    )


def keep_proposal(business: Business, row: Constants, who: str) -> Constants:
    """The row, written; it takes the place of a proposal of the same origin that nobody used."""
    row.business, row.who = business, who
    row.digest = hashlib.sha256(row.text.encode()).hexdigest()
    with transaction.atomic():
        before = kept_constants(business).filter(used_at=None)
        (before.exclude(name="") if row.is_brought else before.filter(name="")).delete()
        row.save(force_insert=True)
        note(Actor(business, who), None, [Told(phrase("constants proposed"), "", _called(row))])
    return row


def bring_constants(actor: Actor, *, name: str, text: str) -> Constants:
    """A constants file as a proposal; nothing is judged by it before somebody takes it into use.

    Raises
    ------
    InputError
        It is not a constants file.
    """
    learned_from_json(text, name)
    row = Constants(name=name, text=text, learned_on=today())
    return keep_proposal(actor.business, row, actor.name)


def use(actor: Actor, constants_id: uuid.UUID) -> Constants:
    """The set, in force from now on; every machine is marked for judging.

    Raises
    ------
    NotAllowedError
        It is in force already.
    """
    row, before = constants_of(actor.business, constants_id), constants_in_force(actor.business)
    if before is not None and before.pk == row.pk:
        raise NotAllowedError("constants", translated("in use already"), "others than those in use")
    with transaction.atomic():
        row.used_at, row.used_by, row.taken_back_at = timezone.now(), actor.name, None
        row.save(update_fields=["used_at", "used_by", "taken_back_at"])
        _judged_anew(actor, before, row)
    return row


def take_back(actor: Actor) -> Constants | None:
    """The set in force before, which is in force again; None where machines are judged from typical lives again.

    Raises
    ------
    NotAllowedError
        None is in force.
    """
    row = constants_in_force(actor.business)
    if row is None:
        raise NotAllowedError("constants", translated("none in use"), "constants that are in use")
    with transaction.atomic():
        Constants.objects.filter(pk=row.pk).update(taken_back_at=timezone.now())
        now = constants_in_force(actor.business)
        _judged_anew(actor, row, now)
    return now


def _judged_anew(actor: Actor, before: Constants | None, now: Constants | None) -> None:
    judge_all(actor.business)
    told = Told(phrase("constants used"), _called(before) if before else "", _called(now) if now else "")
    note(actor, None, [told])


def _called(row: Constants) -> str:
    """Which set it is, for the trail."""
    return row.name or phrase("learned on {day:day}", day=row.learned_on.isoformat())
