"""Writing to the trail; inside the transaction of the change it tells of."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass

from pitchline.desk.people.who import Actor
from pitchline.desk.trail.models import Change


@dataclass(frozen=True, slots=True)
class Told:
    """One change in words.

    Parameters
    ----------
    what : str
        What was changed.
    before, after : str
        From and to.
    why : str
        The reason given; empty where none is asked for.
    """

    what: str
    before: str = ""
    after: str = ""
    why: str = ""


def note(actor: Actor, machine_id: uuid.UUID | None, told: Iterable[Told]) -> None:
    """Nothing comes out; afterwards the trail holds these changes."""
    Change.objects.bulk_create(
        Change(
            business=actor.business,
            machine_id=machine_id,
            who=actor.name,
            what=one.what,
            before=one.before,
            after=one.after,
            why=one.why,
        )
        for one in told
    )
