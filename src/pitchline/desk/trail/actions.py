"""Writing to the trail; inside the transaction of the change it tells of."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from pitchline.desk.people.who import Actor
from pitchline.desk.trail.models import TEXTS, Change
from pitchline.trade.errors import Phrase
from pitchline.trade.writing import PLAIN, writing
from pitchline.words import translated


@dataclass(frozen=True, slots=True)
class Told:
    """One change; what is a `Phrase` is said when it is read, in the language and the way of whoever reads.

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
    Change.objects.bulk_create(change_of(actor, machine_id, one) for one in told)


def change_of(actor: Actor, machine_id: uuid.UUID | None, told: Told) -> Change:
    """An unsaved row: its texts in plain English, and beside them each phrase with its values."""
    texts = {name: getattr(told, name) for name in TEXTS}
    with writing(PLAIN):
        plain = {name: translated(text) if isinstance(text, Phrase) else text for name, text in texts.items()}
    said = {name: _kept(text) for name, text in texts.items() if isinstance(text, Phrase)}
    return Change(business=actor.business, machine_id=machine_id, who=actor.name, said=said, **plain)


def _kept(phrase: Phrase) -> dict[str, Any]:
    values = {name: _kept(value) if isinstance(value, Phrase) else value for name, value in phrase.values.items()}
    return {"english": phrase.english, "values": values}
