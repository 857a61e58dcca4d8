"""What the core has to say: a code and its values. The sentence is made of them in the room of words, in anybody's language."""

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum, IntEnum
from types import MappingProxyType
from typing import Any

from pitchline.trade.parts import Place

AS_WRITTEN = "as_written"
"""Code of a sentence of which only its text is known: a verdict of an earlier version says it."""


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
    return Saying(code, MappingProxyType({name: _plain(value) for name, value in values.items()}))


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
