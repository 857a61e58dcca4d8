"""Making, ending and recognising tokens."""

import hashlib
import secrets

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from pitchline.desk.api.models import Token
from pitchline.desk.people.models import Member
from pitchline.desk.people.who import Actor
from pitchline.desk.posts import MOST_NAME, check_length
from pitchline.desk.trail.actions import Told, note
from pitchline.trade.errors import phrase

PREFIX = "pitchline-"
_RANDOM_BYTES = 32


def digest_of(secret: str) -> str:
    """The hash that is kept; a fast one will do, because the secret is 256 random bits and nobody's word.

    Examples
    --------
    >>> len(digest_of("pitchline-example"))
    64
    """
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()


def make_token(user: User, business_actor: Actor, purpose: str) -> str:
    """A new secret for a person; shown once and never again.

    Raises
    ------
    NotAllowedError
        A purpose in more words than there is room for.
    """
    check_length(purpose, "purpose", MOST_NAME)
    secret = PREFIX + secrets.token_urlsafe(_RANDOM_BYTES)
    with transaction.atomic():
        Token.objects.create(user=user, purpose=purpose, digest=digest_of(secret))
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


def actor_of(secret: str) -> Actor | None:
    """The person a secret belongs to, with their business; None where it is no token in use."""
    found = Token.objects.filter(digest=digest_of(secret), ended_at=None, user__is_active=True).first()
    if found is None:
        return None
    member = Member.objects.select_related("business", "user").filter(user_id=found.user_id).first()
    return Actor(member.business, member.user.get_username(), is_person=True) if member is not None else None
