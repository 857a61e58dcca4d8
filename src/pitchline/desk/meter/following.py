"""Whether hours follow those before and after them; what does not is asked about and never taken for true."""

import datetime as dt
from dataclasses import dataclass

from pitchline.trade.dossier import HOURS_PER_DAY

FALLS, JUMPS, DIFFERS = "falls", "jumps", "differs"
_ROOM_H = 1.0
"""Clocks of a sender and of a desk need not agree: so many hours more than passed are no fault. Our own choice."""
_DAY_S = 86_400.0


@dataclass(frozen=True, slots=True)
class Shown:
    """Service hours at a moment."""

    at: dt.datetime
    service_h: float


def odd_about(new: Shown, before: Shown | None, after: Shown | None) -> str:
    """What does not go with the hours taken next before and next after; empty where all goes.

    Parameters
    ----------
    new, before, after : Shown
        In order of time; None where there is none.

    Returns
    -------
    str
        FALLS, JUMPS or empty: less than before, or more than the hours of the day allow.
    """
    for one, other in ((before, new), (new, after)):
        if one is None or other is None:
            continue
        if other.service_h < one.service_h:
            return FALLS
        passed_h = (other.at - one.at).total_seconds() / _DAY_S * HOURS_PER_DAY
        if other.service_h - one.service_h > passed_h + _ROOM_H:
            return JUMPS
    return ""
