"""Pieces of practice: what there is to ask, and what a question and its answer are made of."""

import hashlib
import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from django.utils.safestring import SafeString

from pitchline.desk.primer.schedule import Grade
from pitchline.trade.units import INCH_M
from pitchline.trade.writing import as_figure
from pitchline.words import translated

Drawn = tuple[SafeString, SafeString] | None


class PieceKind(StrEnum):
    """What is practised."""

    NAME = "name"
    PHOTO = "photo"
    SCALE = "scale"
    WORN = "worn"
    CALL = "call"
    POINT = "point"


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of practice.

    Parameters
    ----------
    kind : PieceKind
        What is practised.
    name : str
        Which, within its kind.
    """

    kind: PieceKind
    name: str

    @property
    def key(self) -> str:
        """Its name in rows."""
        return f"{self.kind.value}/{self.name}"

    @property
    def mark(self) -> str:
        """Its name in addresses, which tells no answer."""
        return hashlib.blake2s(self.key.encode(), digest_size=5).hexdigest()

    def chance(self, number: int) -> random.Random:
        """Chance for the question of a number: the same number asks the same."""
        return random.Random(f"{self.key}:{number}")  # noqa: S311  practice, no secret


@dataclass(frozen=True, slots=True)
class Asked:
    """A question.

    Parameters
    ----------
    question : str
        In words.
    right : str
        The right answer: the key of a choice, or a figure.
    choices : tuple of (str, str)
        Keys and what they say; empty where a figure is typed.
    drawn : (SafeString, SafeString) or None
        A drawing, wide and for a phone, as it is asked.
    answered : (SafeString, SafeString) or None
        The same with the answer on it.
    facts : tuple of (str, str)
        What is known besides.
    told : tuple of str
        Why the answer is right.
    more : tuple of (str, str)
        Name and address of the primer's page.
    near : float
        How far a figure may be off to be nearly right.
    form : str
        How a figure is written.
    unit : str
        Of a figure: "mm", or "in" where it is typed so.
    quantity : str
        What is measured, for its small picture; empty for none.
    photo : str
        Address of a photo under the drawing; empty for none.
    spots : bool
        Whether the choices are letters on the drawing, to be clicked there too.
    ranks : dict of str to int
        How strict each choice is, where one is stricter than another.
    """

    question: str
    right: str
    choices: tuple[tuple[str, str], ...] = ()
    drawn: Drawn = None
    answered: Drawn = None
    facts: tuple[tuple[str, str], ...] = ()
    told: tuple[str, ...] = ()
    more: tuple[tuple[str, str], ...] = ()
    near: float = 0.0
    form: str = ".1f"
    unit: str = "mm"
    quantity: str = ""
    photo: str = ""
    spots: bool = False
    ranks: dict[str, int] = field(default_factory=dict)

    def said(self, key: str) -> str:
        """What a choice says; the text itself where a figure is typed."""
        return dict(self.choices).get(key, key)

    @property
    def right_said(self) -> str:
        """The right answer in words."""
        if self.choices:
            return self.said(self.right)
        size = float(self.right) / (INCH_M * 1000 if self.unit == "in" else 1.0)
        return f"{as_figure(size, self.form)} {translated(self.unit)}"


def chosen_from(right: str, others: Sequence[str], chance: random.Random) -> list[str]:
    """The right one among others, in an order that tells nothing."""
    several = [right, *others]
    chance.shuffle(several)
    return several


def grade_of(asked: Asked, figure: float | None, key: str) -> Grade:
    """How an answer went.

    Parameters
    ----------
    asked : Asked
        The question.
    figure : float or None
        What was typed, where a figure was asked for.
    key : str
        What was chosen.
    """
    if asked.choices:
        return Grade.RIGHT if key == asked.right else Grade.WRONG
    if figure is None:
        return Grade.WRONG
    off = abs(figure - float(asked.right))
    return Grade.RIGHT if off < 0.4 * asked.near else Grade.NEAR if off <= 1.001 * asked.near else Grade.WRONG
