"""A verdict as JSON, for other programs to read."""

import datetime as dt
import json
import math
from enum import Enum, IntEnum
from typing import Any

from pitchline.ground.section import GroundSection
from pitchline.trade.saying import Saying
from pitchline.trade.writing import writing
from pitchline.verdict import Verdict
from pitchline.words.speaking import say

FORMAT = "pitchline-verdict/2"
BEFORE = ("pitchline-verdict/1",)
"""Formats that are read still: theirs said each sentence as text alone."""


_AS_THEY_ARE = frozenset((str, int, bool, type(None)))


def _as_json(item: Any) -> Any:
    """Plain JSON values: enums as words, days as YYYY-MM-DD, figures without bound as null. What is commonest is asked first."""
    kind = type(item)
    if kind in _AS_THEY_ARE:
        return item
    if kind is float:
        return item if math.isfinite(item) else None
    if kind is tuple or kind is list:
        return [_as_json(each) for each in item]
    if kind is Saying:
        return saying_json(item)
    if hasattr(kind, "__dataclass_fields__"):
        return {name: _as_json(getattr(item, name)) for name in kind.__dataclass_fields__}
    if isinstance(item, IntEnum):
        return item.name.lower()
    if isinstance(item, Enum):
        return item.value
    return item.isoformat() if isinstance(item, dt.date) else _as_json(item.item())


def saying_json(told: Saying) -> dict[str, Any]:
    """A saying as plain JSON values: its code, its values and its text."""
    return _saying_as_json(told) | {"text": say(told)}


def _saying_as_json(item: Saying) -> dict[str, Any]:
    """Its code and values; a saying inside another is told in the text of the whole, and needs none of its own."""
    return {"code": item.code, "values": {name: _value_as_json(value) for name, value in item.values.items()}}


def _value_as_json(value: Any) -> Any:
    if isinstance(value, Saying):
        return _saying_as_json(value)
    return [_value_as_json(each) for each in value] if isinstance(value, tuple) else value


def verdict_json(verdict: Verdict, is_compact: bool = False) -> str:
    """The whole verdict as JSON text.

    Parameters
    ----------
    verdict : Verdict
        What was judged.
    is_compact : bool
        Whether it is for keeping rather than reading: one line, written in a quarter of the time.

    Returns
    -------
    str
        One object: "format" first, then every field of the verdict under its own name, unit included. Keys keep their order,
        enums are words, days are YYYY-MM-DD. A figure that is not finite is null.

    References
    ----------
    Our own format, "pitchline-verdict/2"; JSON after RFC 8259.
    """
    with writing(verdict.writing):
        whole = {"format": FORMAT} | _as_json(verdict)
    if is_compact:
        return json.dumps(whole, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    return json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def ground_json(section: GroundSection) -> str:
    """A verdict's section on the ground as compact JSON text, for keeping."""
    return json.dumps(_as_json(section), separators=(",", ":"), ensure_ascii=False, allow_nan=False)
