"""A verdict from its JSON again: what was stored is read, never judged anew."""

import dataclasses
import datetime as dt
import json
import math
import types
from collections.abc import Callable
from enum import Enum, IntEnum
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from pitchline.exchange.gathering import refuse
from pitchline.exchange.verdict_json import BEFORE, FORMAT, verdict_json
from pitchline.ground.section import GroundInput, GroundSection, ShoeOutcome
from pitchline.trade.errors import phrase
from pitchline.trade.ground import GROUNDS_BEFORE, GroundClass
from pitchline.trade.readings import Tool
from pitchline.trade.saying import AS_WRITTEN, Saying
from pitchline.verdict import Verdict
from pitchline.words.catalogue import in_english

Reader = Callable[[Any], Any]
_FIELDS_BEFORE: dict[type, dict[str, str]] = {
    GroundInput: {"label": "name"},
    ShoeOutcome: {"worn": "fitted"},
    Tool: {"limit_m": "permitted_error_m"},
}
"""Names of fields in verdicts written before a field was renamed."""


@cache
def _reader(wanted: Any) -> Reader:
    """What makes a value of a type from its plain JSON, worked out once a type; the other way round from `verdict_json`."""
    origin = get_origin(wanted)
    if origin in (Union, types.UnionType):
        read = _reader(next(kind for kind in get_args(wanted) if kind is not type(None)))
        nothing = ("", None) if read is saying_of else (None,)
        return lambda item: None if item in nothing else read(item)
    if origin is tuple:
        return _tuple_reader(get_args(wanted))
    if wanted is Saying:
        return saying_of
    if dataclasses.is_dataclass(wanted) and isinstance(wanted, type):
        return _row_reader(wanted)
    if isinstance(wanted, type) and issubclass(wanted, IntEnum):
        before = GROUNDS_BEFORE if wanted is GroundClass else {}
        return lambda item: before[item] if item in before else wanted[str(item).upper()]
    if isinstance(wanted, type) and issubclass(wanted, Enum):
        return wanted
    if wanted is dt.date:
        return dt.date.fromisoformat
    if wanted is float:
        return lambda item: math.inf if item is None else item
    return lambda item: item


def saying_of(item: Any) -> Saying:
    """A saying by its code; of verdicts written before there were codes, the sentence alone."""
    if isinstance(item, str):
        return Saying(AS_WRITTEN, {"text": item}, item)
    return Saying(
        item["code"], {name: _value(value) for name, value in item["values"].items()}, item.get("text", "")
    )


def _value(value: Any) -> Any:
    if isinstance(value, list):
        return tuple([_value(each) for each in value])
    return saying_of(value) if isinstance(value, dict) else value


def _tuple_reader(kinds: tuple[Any, ...]) -> Reader:
    if kinds[-1] is Ellipsis:
        read = _reader(kinds[0])
        return lambda items: tuple([read(each) for each in items])
    each_one = [_reader(kind) for kind in kinds]
    return lambda items: tuple([read(each) for read, each in zip(each_one, items, strict=True)])


def _row_reader(wanted: type) -> Reader:
    known = {name: _reader(kind) for name, kind in get_type_hints(wanted).items()}
    now = _FIELDS_BEFORE.get(wanted, {})
    if now:
        return lambda item: wanted(
            **{now.get(name, name): known[now.get(name, name)](each) for name, each in item.items()}
        )
    return lambda item: wanted(**{name: known[name](each) for name, each in item.items()})


def verdict_from_json(text: str, file: str = "verdict") -> Verdict:
    """The verdict a text tells of.

    Returns
    -------
    Verdict
        The same verdict to the last digit; a figure that was not finite is infinite.

    Raises
    ------
    InputError
        The text is no verdict of this version of the format.

    References
    ----------
    Our own format, "pitchline-verdict/2".
    """
    try:
        whole = json.loads(text)
        if not isinstance(whole, dict) or whole.pop("format", None) not in (FORMAT, *BEFORE):
            raise ValueError("another format")
        verdict = _reader(Verdict)(whole)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        step = in_english("Judge the machine again with this version.")
        raise refuse(
            file, "verdict", error, phrase("a verdict written as {format}", format=FORMAT), step
        ) from None
    if not isinstance(verdict, Verdict):
        raise AssertionError("a verdict's fields give a verdict")
    return verdict


def readable(text: str) -> str:
    """A stored verdict's JSON for reading, as `verdict_json` writes it today, whichever way and in whatever format it was stored.

    Raises
    ------
    InputError
        The text is no verdict.
    """
    whole = json.loads(text)
    if whole["format"] in BEFORE:
        return verdict_json(verdict_from_json(text))
    return json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def ground_from_json(text: str) -> GroundSection:
    """The section on the ground that `ground_json` wrote.

    Raises
    ------
    TypeError, KeyError
        The text tells of something else.
    """
    section = _reader(GroundSection)(json.loads(text))
    if not isinstance(section, GroundSection):
        raise AssertionError("a section's fields give a section")
    return section
