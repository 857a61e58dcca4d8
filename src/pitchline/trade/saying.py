"""What the core has to say: a code and its values. The sentence is made of them in the room of words, in anybody's language."""

import datetime as dt
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum, IntEnum
from typing import Any

from pitchline.trade.parts import Place

AS_WRITTEN = "as_written"
"""Code of a sentence of which only its text is known: a verdict of an earlier version says it."""
_THEN = "several.then"


@dataclass(frozen=True, slots=True)
class Saying:
    """One thing to be said.

    Parameters
    ----------
    code : str
        What is said, such as "plan.no_lay_up_pays"; `pitchline.words` has a sentence for each.
    values : mapping
        What the sentence tells of, as plain values: text, figures in the unit their name ends in, words of an enum, places by
        their key, days as YYYY-MM-DD, other sayings, and tuples of these.
    text : str
        The sentence as it was written down, where it was read from a file; empty in what was judged just now.
    """

    code: str
    values: Mapping[str, Any] = field(default_factory=dict)
    text: str = field(default="", compare=False)

    def __hash__(self) -> int:
        return hash((self.code, tuple(self.values.items())))

    def __reduce__(self) -> tuple[Any, ...]:
        return Saying, (self.code, dict(self.values), self.text)  # values that nobody can change cannot be pickled


def saying(code: str, /, **values: Any) -> Saying:
    """A thing to be said, its values made plain.

    Parameters
    ----------
    code : str
        What is said.
    **values
        What it tells of; enums, places and days are made plain here.

    Raises
    ------
    TypeError
        A value cannot be told plainly.

    Examples
    --------
    >>> from pitchline.trade.parts import PartKind, Side
    >>> saying("plan.example", part=PartKind.BUSH, at=Place(PartKind.BUSH, Side.LEFT)).values["at"]
    'bush/left'
    """
    return Saying(code, {name: _plain(value) for name, value in values.items()})


def then(first: Saying, *more: Saying | None) -> Saying:
    """Several sentences one after the other.

    Parameters
    ----------
    first, *more : Saying or None
        None says nothing.

    Examples
    --------
    >>> one, other = saying("plan.one"), saying("plan.other")
    >>> then(one, None) == one, then(then(one, other), one).values["said"] == (one, other, one)
    (True, True)
    """
    said = [one for told in (first, *more) if told is not None for one in _apart(told)]
    return said[0] if len(said) == 1 else saying(_THEN, said=said)


def _apart(told: Saying) -> tuple[Saying, ...]:
    return told.values["said"] if told.code == _THEN and not told.text else (told,)


def within(told: Saying | None) -> Iterator[Saying]:
    """A saying and all that it holds; nothing for None."""
    if told is None:
        return
    yield told
    for value in told.values.values():
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, Saying):
                yield from within(one)


def says(told: Saying | None, codes: str | tuple[str, ...], word: str) -> bool:
    """Whether something of this kind is said.

    Parameters
    ----------
    told : Saying or None
        What is said.
    codes : str or tuple of str
        How the codes of that kind begin.
    word : str
        What a sentence of which only the text is known has in it, if it is of that kind.
    """
    return any(one.code.startswith(codes) or (one.code == AS_WRITTEN and word in one.text) for one in within(told))


def _plain(value: Any) -> Any:
    if isinstance(value, IntEnum):
        return value.name.lower()
    if isinstance(value, Enum):
        return value.value
    if value is None or isinstance(value, str | bool | int | Saying):
        return value
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, Place):
        return value.key
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, tuple | list):
        return tuple(_plain(each) for each in value)
    if hasattr(value, "item"):
        return _plain(value.item())
    raise TypeError(f"{value!r} cannot be told plainly")
