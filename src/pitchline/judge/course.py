"""The course of wear of each part that was read: the way so far with its range, and the way to the limit, as sizes over hours.

See docs/explanation/outlook.md.
"""

from dataclasses import replace

import numpy as np

from pitchline.outlook.late import USUAL_BEGINS, bent, straight
from pitchline.outlook.learned import Learned
from pitchline.outlook.lives import Life
from pitchline.outlook.machine import LifeOutlook, MachineOutlook
from pitchline.outlook.past import Past, pasts
from pitchline.outlook.paths import FloatArray
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import Place
from pitchline.verdict import Course, Judged, SizeBand

NORMAL_80 = 1.2816
"""Half-width of the middle 80 % of a normal distribution, in standard deviations (normal quantile 0.90)."""
_AHEAD = np.linspace(0.0, 1.0, 7)

Courses = dict[tuple[Place, Measurand], Course]


def courses_of(outlook: MachineOutlook | None, now_h: float, learned: Learned | None) -> Courses:
    """Course of every quantity that was read.

    Parameters
    ----------
    outlook : MachineOutlook or None
        The outlook.
    now_h : float
        Service hours it counts from [h].
    learned : Learned or None
        Constants it started from.
    """
    if outlook is None:
        return {}
    read = [number for number, part in enumerate(outlook.parts) if part.life.traces]
    begins = learned.late.begins if learned is not None else USUAL_BEGINS
    found = pasts(outlook.beliefs, [outlook.rows[number] for number in read], pace=outlook.pace)
    return {
        (part.life.place, part.life.measurand): _course(part, past, now_h, begins)
        for part, past in zip([outlook.parts[number] for number in read], found, strict=True)
    }


def with_courses(judged: tuple[Judged, ...], courses: Courses) -> tuple[Judged, ...]:
    """Judged quantities with their courses."""
    return tuple(replace(one, course=courses.get((one.place, one.measurand))) for one in judged)


def _course(part: LifeOutlook, past: Past, now_h: float, begins: float) -> Course:
    """Past and way ahead of one quantity; edges ahead run evenly in life used up to the limit."""
    life, times = part.life, np.array(part.times_late)
    even = past.wear[:, None] + NORMAL_80 * past.wear_u[:, None] * np.array([-1.0, 0.0, 1.0])
    sizes = _sizes(life, bent(even, begins, times))
    bands = tuple(
        SizeBand(now_h - float(ago), float(best), float(middle), float(worst))
        for ago, (best, middle, worst) in zip(past.ago_h, sizes, strict=True)
    )
    left = part.to_limit
    edges = [
        _edge(life, float(used), hours, now_h, begins, times)
        for used, hours in zip(even[-1][::-1], (left.cautious, left.middle, left.hopeful), strict=True)
    ]
    turn = life.line.limit.turn_at if part.to_turn is not None else None
    turn_m = float(life.line.size_m([turn])[0]) if turn is not None else None
    return Course(bands, edges[0], edges[1], edges[2], turn_m)


def _edge(
    life: Life, used: float, hours: float, now_h: float, begins: float, times: FloatArray
) -> tuple[tuple[float, float], ...]:
    even = used + _AHEAD * (float(straight(np.array(1.0), begins, times)) - used)
    sizes = _sizes(life, bent(even, begins, times))
    return tuple((now_h + float(share) * hours, float(size)) for share, size in zip(_AHEAD, sizes, strict=True))


def _sizes(life: Life, used: FloatArray) -> FloatArray:
    """Sizes by the wear line; nothing is smaller than nothing."""
    return np.maximum(life.line.size_m(used.ravel()), 0.0).reshape(used.shape)
