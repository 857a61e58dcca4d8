"""Who asks, as the views hand it on: a business, and a name for the trail."""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, replace

from django.http import HttpRequest

from pitchline.desk.people.models import Business, Member
from pitchline.desk.people.rights import MONEY, OWNER, ROLES, WHOLE

NOBODY_NAMED = "this desk"


@dataclass(frozen=True, slots=True)
class Actor:
    """The person behind a request.

    Parameters
    ----------
    business : Business
        Whose rows they may see and change.
    name : str
        What the trail calls them.
    is_person : bool
        Whether somebody signed in, whatever they are called; else it is the desk itself.
    rights : frozenset of str
        What they may, of `RIGHTS`.
    depots : frozenset of uuid.UUID or None
        The depots whose machines they see; None for every machine of the business.
    """

    business: Business
    name: str = NOBODY_NAMED
    is_person: bool = False
    rights: frozenset[str] = ROLES[OWNER]
    depots: frozenset[uuid.UUID] | None = None

    @property
    def signature(self) -> str:
        """How they sign a walk-round; empty for a desk where nobody signs in."""
        return self.name if self.is_person else ""

    def within(self, rights: frozenset[str]) -> "Actor":
        """The same person with no more than these rights."""
        return replace(self, rights=self.rights & rights)


def member_as_actor(member: Member) -> Actor:
    """A person who signs in, by their role and their depots; an owner is held to none."""
    rights, depots = ROLES[member.role], frozenset[uuid.UUID]()
    if member.role != OWNER:
        depots = frozenset(member.depots.values_list("pk", flat=True))
    held = rights - {WHOLE} if depots else rights
    name = member.user.get_username()
    return Actor(member.business, name, is_person=True, rights=held, depots=depots or None)


_ASKING: ContextVar[Actor | None] = ContextVar("asking", default=None)


@contextmanager
def asked_by(actor: Actor) -> Iterator[None]:
    """While it lasts, rows and prices are read as this person may read them."""
    token = _ASKING.set(actor)
    try:
        yield
    finally:
        _ASKING.reset(token)


def prices_seen() -> bool:
    """Whether whoever asks may see prices; the desk's own work in the background may."""
    actor = _ASKING.get()
    return actor is None or MONEY in actor.rights


def depots_seen() -> frozenset[uuid.UUID] | None:
    """The depots whoever asks is held to; None for all."""
    actor = _ASKING.get()
    return None if actor is None else actor.depots


class DeskRequest(HttpRequest):
    """A request that went through `BusinessMiddleware`."""

    actor: Actor
