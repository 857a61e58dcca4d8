"""Who was where: which parts somebody read or looked over on the last walk-round, and which of them can stop a machine.

See docs/explanation/calls.md.
"""

from collections.abc import Sequence
from functools import cache

from pitchline.judge.machine_by_day import Known
from pitchline.outlook.lives import events_at
from pitchline.trade.calls import Call
from pitchline.trade.dossier import PartEvent
from pitchline.trade.findings import CONSEQUENCES, Finding, Severity
from pitchline.trade.measurands import MEASURANDS, Role, measurands_of
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.past_limit import past_limit
from pitchline.verdict import PartVerdict

_MANY = 1000


@cache
def can_stop(part: PartKind) -> bool:
    """Whether something seen or read on such a part can stop a machine.

    Returns
    -------
    bool
        True where a severe finding is called stop on it, or being past its wear limit is.

    References
    ----------
    Follows from what findings and limits lead to; see docs/explanation/calls.md.
    """
    seen = (kind for kind in CONSEQUENCES if part in CONSEQUENCES[kind].parts)
    where = Place(part, Side.NONE)
    if any(Finding(where, kind, Severity.SEVERE, _MANY).call is Call.STOP for kind in seen):
        return True
    wears = (each for each in measurands_of(part) if MEASURANDS[each].role is Role.WEAR)
    return any(past_limit(part, each).call is Call.STOP for each in wears)


def worked_on_since(place: Place, known: Known) -> PartEvent | None:
    """The last work written down on a part at or after the hours of the last walk-round.

    Returns
    -------
    PartEvent or None
        None where nothing was done on it since.
    """
    last = known.dossier.walk_rounds[-1]
    events = [
        event
        for event in events_at(known.dossier, place)
        if event.follows(last.date, last.service_h) and event.service_h <= known.now_h
    ]
    return events[-1] if events and events[-1].service_h > 0 else None


def was_looked_at(place: Place, known: Known) -> bool:
    """Whether somebody was at a part on the last walk-round, or worked on it since.

    Returns
    -------
    bool
        True where it was read, looked over, or something was seen on it; a finding carried over is nothing seen.
    """
    return place in known.dossier.walk_rounds[-1].looked_at or worked_on_since(place, known) is not None


def passed_by(parts: Sequence[PartVerdict]) -> list[Place]:
    """Parts nobody was at."""
    return [part.place for part in parts if not part.looked_at]


def fit_to_run(parts: Sequence[PartVerdict]) -> bool:
    """Whether everything that can stop the machine was looked at.

    Returns
    -------
    bool
        Without it no machine is called run.
    """
    return not any(can_stop(place.part) for place in passed_by(parts))
