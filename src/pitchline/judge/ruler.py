"""The figure a mechanic draws with a ruler, and why what is judged parts from it or from the reading.

See docs/explanation/calls.md.
"""

import math

from pitchline.outlook.lives import Life
from pitchline.outlook.machine import LifeOutlook
from pitchline.outlook.trace import Trace
from pitchline.trade.dossier import Event
from pitchline.trade.saying import Saying, saying

PARTS_FROM = 0.03
"""Life used as read and as judged are told apart from here [1]."""
_RULER_SHARE, _RULER_LEAST_H = 1.5, 100.0
"""How many times, and by how many hours at least, middle and ruler lie apart before a sentence says why: our own."""
_LEAST_USED = 0.02
"""Below it nothing worth a ruler has worn: our own."""


def by_ruler(life: Life, read_h: float, used: float, now_h: float, used_u: float = 0.0) -> float | None:
    """Hours to the limit at the rate so far of the part now fitted.

    Parameters
    ----------
    life : Life
        The wear path.
    read_h : float
        Service hours of the newest reading [h].
    used : float
        Life used by it [1].
    now_h : float
        Service hours the answer counts from [h].
    used_u : float
        Standard uncertainty of the life used [1], 0 or more.

    Returns
    -------
    float or None
        Hours [h]. The rate is that since it was fitted new or rebuilt, or since the machine was new; else the slope from its
        first reading on. 0 where used up. None where no rate can be told, or less has worn than the reading can tell.

    References
    ----------
    A straight line: (1 - u) / u times the hours worked.

    Examples
    --------
    A roller of a machine with 3,000 h that was never changed and is 60 % used has 2,000 h left, by proportion.
    """
    if used >= 1.0:
        return 0.0
    start_h, start = _start(life)
    if start_h is None and life.traces and life.traces[0].service_h < read_h:
        start_h, start = life.traces[0].service_h, life.traces[0].life_used
        used_u = math.hypot(used_u, life.traces[0].life_used_u)
    if start_h is None or read_h <= start_h or used - start < max(_LEAST_USED, 2 * used_u):
        return None
    rate = (used - start) / (read_h - start_h)
    return max(0.0, (1.0 - used) / rate - (now_h - read_h))


def _start(life: Life) -> tuple[float | None, float]:
    """Hours at which nothing of it was used; none for a turned or part-worn part, whose wear then nobody wrote down."""
    if life.started is not None:
        worn_then = life.started.event in (Event.FITTED_PART_WORN, Event.TURNED)
        return (None if worn_then else life.started.service_h), 0.0
    return (0.0 if life.path.meter_known else None), 0.0


def ruler_h(life: Life, now_h: float) -> float | None:
    """The same by the newest reading.

    Parameters
    ----------
    life : Life
        The wear path.
    now_h : float
        Service hours the answer counts from [h].

    Returns
    -------
    float or None
        Hours [h]; None where it was not read, or no rate can be told.

    References
    ----------
    A straight line.
    """
    if not life.traces:
        return None
    newest = life.traces[-1]
    return by_ruler(life, newest.service_h, newest.life_used, now_h, newest.life_used_u)


def parted(outlook: LifeOutlook, now_h: float) -> Saying | None:
    """Why what is judged parts from the newest reading, and from the ruler.

    Parameters
    ----------
    outlook : LifeOutlook
        The part's outlook.
    now_h : float
        Service hours it counts from [h].

    Returns
    -------
    Saying or None
        None where they agree.
    """
    if not outlook.life.traces:
        return None
    both = [why for why in (_used_parted(outlook, now_h), _ruler_parted(outlook, now_h)) if why is not None]
    return saying("ruler.both", both=both) if len(both) > 1 else both[0] if both else None


def _used_parted(outlook: LifeOutlook, now_h: float) -> Saying | None:
    trace = outlook.life.traces[-1]
    apart = max(0.0, outlook.life_used) - max(0.0, trace.life_used)
    if abs(apart) <= PARTS_FROM:
        return None
    worked_h = now_h - trace.service_h
    worn = worked_h / outlook.whole_life_h[1]
    why = []
    if worked_h > 0 and apart > 0 and worn > apart / 4:
        why.append(saying("ruler.carried_on", worked_h=worked_h))
    if abs(apart - max(worn, 0.0)) > PARTS_FROM:
        why.append(_why_not_as_read(outlook, trace, apart - worn))
    return saying("ruler.used", read=trace.life_used, judged=outlook.life_used, why=why) if why else None


def _why_not_as_read(outlook: LifeOutlook, trace: Trace, apart: float) -> Saying:
    """What else was weighed: the reading's own doubt against its earlier readings and its fellows."""
    way = "less" if apart < 0 else "more"
    witnesses = saying(f"ruler.{'earlier_and_others' if len(outlook.life.traces) > 1 else 'others'}")
    if outlook.chance_misread > 0.5:
        return saying(f"ruler.counts_for_little_{way}", witnesses=witnesses)
    if outlook.chance_changed > 0.5:
        return saying("ruler.may_be_changed")
    return saying(f"ruler.within_doubt_{way}", room=2 * trace.life_used_u, witnesses=witnesses)


def _ruler_parted(outlook: LifeOutlook, now_h: float) -> Saying | None:
    straight_h, middle_h = ruler_h(outlook.life, now_h), outlook.to_limit.middle
    if straight_h is None or straight_h < 1.0 or abs(straight_h - middle_h) < _RULER_LEAST_H:
        return None
    low_h, high_h = sorted((straight_h, middle_h))
    if high_h < _RULER_SHARE * low_h:
        return None
    return saying("ruler.straight", straight_h=straight_h, why=_why_not_straight(outlook, now_h, straight_h))


def _why_not_straight(outlook: LifeOutlook, now_h: float, straight_h: float) -> Saying:
    """The greatest of the causes the outlook knows."""
    life, middle_h = outlook.life, outlook.to_limit.middle
    newest = life.traces[-1]
    way = "less" if straight_h > middle_h else "more"
    as_judged_h = by_ruler(life, newest.service_h, outlook.life_used, now_h)
    if as_judged_h and middle_h > 0 and math.log(as_judged_h / straight_h) / math.log(middle_h / straight_h) > 0.5:
        return saying(f"ruler.other_used_{way}", judged=outlook.life_used, read=newest.life_used)
    if way == "less" and outlook.times_late > 1:
        return saying("ruler.faster_late", times=outlook.times_late)
    return saying(f"ruler.{'one_reading' if len(life.traces) == 1 else 'more_counts'}_{way}")
