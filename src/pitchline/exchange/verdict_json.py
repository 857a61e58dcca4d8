"""A verdict as JSON, for other programs to read."""

import dataclasses
import datetime as dt
import json
import math
from enum import Enum, IntEnum
from typing import Any

from pitchline.verdict import Verdict

FORMAT = "pitchline-verdict/1"


def _as_json(item: Any) -> Any:
    """Plain JSON values: enums as words, days as YYYY-MM-DD, figures without bound as null."""
    if isinstance(item, IntEnum):
        return item.name.lower()
    if isinstance(item, Enum):
        return item.value
    if item is None or isinstance(item, bool | str):
        return item
    if isinstance(item, dt.date):
        return item.isoformat()
    if dataclasses.is_dataclass(item):
        return {field.name: _as_json(getattr(item, field.name)) for field in dataclasses.fields(item)}
    if isinstance(item, tuple | list):
        return [_as_json(each) for each in item]
    if hasattr(item, "item"):
        return _as_json(item.item())
    if isinstance(item, int):
        return item
    return float(item) if math.isfinite(item) else None


def verdict_json(verdict: Verdict) -> str:
    """The whole verdict as JSON text.

    Parameters
    ----------
    verdict : Verdict
        The judgement.

    Returns
    -------
    str
        One object: "format" first, then every field of the verdict under its own name, unit included. Keys keep their order,
        enums are words, days are YYYY-MM-DD. A figure that is not finite is null.

    References
    ----------
    Our own format, "pitchline-verdict/1"; JSON after RFC 8259.
    """
    whole = {"format": FORMAT} | _as_json(verdict)
    return json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
