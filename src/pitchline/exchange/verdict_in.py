"""A verdict from its JSON again: what was stored is read, never judged anew."""

import dataclasses
import datetime as dt
import json
import math
import types
from collections.abc import Mapping
from enum import Enum, IntEnum
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from pitchline.exchange.gathering import refuse
from pitchline.exchange.verdict_json import FORMAT
from pitchline.verdict import Verdict


@cache
def _fields(kind: type) -> Mapping[str, Any]:
    return get_type_hints(kind)


def _from_json(wanted: Any, item: Any) -> Any:
    """The value of a type from its plain JSON; the other way round from `verdict_json`."""
    origin = get_origin(wanted)
    if origin in (Union, types.UnionType):
        kinds = [kind for kind in get_args(wanted) if kind is not type(None)]
        return None if item is None else _from_json(kinds[0], item)
    if origin is tuple:
        return _tuple(get_args(wanted), item)
    if dataclasses.is_dataclass(wanted) and isinstance(wanted, type):
        known = _fields(wanted)
        return wanted(**{name: _from_json(known[name], each) for name, each in item.items()})
    if isinstance(wanted, type) and issubclass(wanted, IntEnum):
        return wanted[item.upper()]
    if isinstance(wanted, type) and issubclass(wanted, Enum):
        return wanted(item)
    if wanted is dt.date:
        return dt.date.fromisoformat(item)
    if wanted is float:
        return math.inf if item is None else item
    return item


def _tuple(kinds: tuple[Any, ...], items: list[Any]) -> tuple[Any, ...]:
    if kinds[-1] is Ellipsis:
        return tuple(_from_json(kinds[0], each) for each in items)
    return tuple(_from_json(kind, each) for kind, each in zip(kinds, items, strict=True))


def verdict_from_json(text: str, file: str = "verdict") -> Verdict:
    """The verdict a text tells of.

    Parameters
    ----------
    text : str
        What `verdict_json` wrote.
    file : str
        Its name, for the error.

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
    Our own format, "pitchline-verdict/1".
    """
    try:
        whole = json.loads(text)
        if not isinstance(whole, dict) or whole.pop("format", None) != FORMAT:
            raise ValueError("another format")
        verdict = _from_json(Verdict, whole)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        step = "Judge the machine again with this version."
        raise refuse(file, "verdict", error, f"a verdict written as {FORMAT}", step) from None
    if not isinstance(verdict, Verdict):
        raise AssertionError("a verdict's fields give a verdict")
    return verdict
