"""Making, ending and recognising tokens."""

import datetime as dt
import hashlib
import secrets

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from pitchline.desk.api.models import Token
from pitchline.desk.people.models import Member
from pitchline.desk.people.who import Actor, member_as_actor
from pitchline.desk.posts import MOST_NAME, check_length
from pitchline.desk.trail.actions import Told, note
from pitchline.trade.errors import phrase

PREFIX = "pitchline-"
_RANDOM_BYTES = 32
_SEEN_EVERY = dt.timedelta(minutes=5)
"""A token's last use is written at most this often."""


def digest_of(secret: str) -> str:
    """The hash that is kept; a fast one will do, because the secret is 256 random bits and nobody's word.

    Examples
    --------
    >>> len(digest_of("pitchline-example"))
    64
    """
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()


def make_token(
    user: User, business_actor: Actor, purpose: str, *, scope: str = "all", ends_at: dt.datetime | None = None
) -> str:
    """A new secret for a person; shown once and never again.

    Parameters
    ----------
    user : User
        Whose.
    business_actor : Actor
        Who makes it.
    purpose : str
        What for, in a word or two.
    scope : str
        "read", or "all" its person may.
    ends_at : datetime or None
        When it ends; None only with its person's password or by hand.

    Raises
    ------
    NotAllowedError
        A purpose in more words than there is room for.
    """
    check_length(purpose, "purpose", MOST_NAME)
    secret = PREFIX + secrets.token_urlsafe(_RANDOM_BYTES)
    with transaction.atomic():
        Token.objects.create(user=user, purpose=purpose, digest=digest_of(secret), scope=scope, ends_at=ends_at)
        note(business_actor, None, [Told(phrase("token made"), "", f"{user.get_username()}: {purpose}")])
    return secret


def _ended(user: User, purpose: str) -> str:
    """Whose tokens were ended."""
    name = user.get_username()
    return f"{name}: {purpose}" if purpose else phrase("{name}: all", name=name)


def end_tokens(user: User, business_actor: Actor, purpose: str = "") -> int:
    """How many tokens of a person were ended; all of them, or those of one purpose."""
    found = Token.objects.filter(user=user, ended_at=None)
    if purpose:
        found = found.filter(purpose=purpose)
    with transaction.atomic():
        ended = found.update(ended_at=timezone.now())
        note(business_actor, None, [Told(phrase("tokens ended"), "", _ended(user, purpose))])
    return ended


def end_token(actor: Actor, token: Token) -> None:
    """Nothing comes out; afterwards this one token opens nothing."""
    with transaction.atomic():
        if Token.objects.filter(pk=token.pk, ended_at=None).update(ended_at=timezone.now()):
            note(actor, None, [Told(phrase("tokens ended"), "", _ended(token.user, token.purpose))])


def actor_of(secret: str) -> tuple[Actor, bool] | None:
    """The person a secret belongs to, with their business, and whether it only reads; None where it is no token in use."""
    now = timezone.now()
    good = Token.objects.filter(digest=digest_of(secret), ended_at=None, user__is_active=True)
    found = good.filter(Q(ends_at=None) | Q(ends_at__gt=now)).first()
    if found is None:
        return None
    member = Member.objects.select_related("business", "user").filter(user_id=found.user_id).first()
    if member is None:
        return None
    if found.used_at is None or now - found.used_at > _SEEN_EVERY:
        Token.objects.filter(pk=found.pk).update(used_at=now)
    return member_as_actor(member), found.scope == "read"
