"""Turned bushes: what a calliper sits on after a turn, and what the old flat adds to its reading.

A turn brings the worn face half round, to where it lies opposite the face that drives forward from then on. A calliper across
the thinnest place then has one jaw on each: it reads the bush less what the old flat had lost, less what the new one has lost
since. A bush turned at half its life reads half worn on the day it was turned, and its new face is as good as new.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.trace import Trace
from pitchline.trade.dossier import Limit
from pitchline.trade.readings import ACROSS_FLATS, ONE_FACE
from pitchline.wear.line import WearLine, wear_line

UNREAD_DOUBT = 0.4
"""Standard uncertainty of an old flat nobody read before the turn, as a share of its depth at the turn point: an assumption."""
GROWTH_DOUBT = 0.5
"""The same of what it lost between its last reading and the turn, as a share of that: an assumption."""


@dataclass(frozen=True, slots=True)
class OldFlat:
    """How deep the face was that bore before a turn.

    Parameters
    ----------
    depth_m : float
        Metal gone there at the turn [m], zero or more.
    u_m : float
        Its standard uncertainty [m].
    """

    depth_m: float
    u_m: float


def old_flat(limit: Limit, before: Sequence[Trace], fitted_h: float, turned_h: float) -> OldFlat:
    """The old flat at a turn, from what was read before it.

    Parameters
    ----------
    limit : Limit
        New size and limit of the bush.
    before : sequence of Trace
        Readings of that face before the turn, in order; may be none.
    fitted_h, turned_h : float
        Service hours when the bushes were fitted and when they were turned [h].

    Returns
    -------
    OldFlat
        The last reading carried on to the turn at the pace so far; without one, the turn point.

    References
    ----------
    Definition; bushes are turned at their turn point: common practice, no source.
    """
    if not before:
        depth_m = limit.new_m - float(wear_line(limit).size_m([limit.turn_at])[0])
        return OldFlat(depth_m, UNREAD_DOUBT * depth_m)
    last = before[-1]
    depth_m = max(limit.new_m - last.reading.value_m, 0.0)
    worked_h = max(last.service_h - fitted_h, 1.0)
    growth_m = depth_m * min((turned_h - last.service_h) / worked_h, 1.0)
    return OldFlat(depth_m + growth_m, math.hypot(last.doubt.u_m, GROWTH_DOUBT * growth_m))


def less_old_flat(trace: Trace, flat: OldFlat, line: WearLine) -> Trace:
    """A reading after a turn, with the old flat taken off as far as the calliper sat on it.

    Parameters
    ----------
    trace : Trace
        The reading as the wear line has it.
    flat : OldFlat
        The face opposite.
    line : WearLine
        From size to life used.

    Returns
    -------
    Trace
        Across both flats the whole old flat comes off; read on one face alone, nothing; where nobody said, half of it, and the
        reading is as doubtful as not knowing leaves it: anything from nothing to the whole, rectangular (JCGM 100:2008, 4.3.7).

    References
    ----------
    Geometry of two parallel jaws on a round with two flats opposite each other.
    """
    tool = trace.reading.tool.name
    if tool in ONE_FACE or flat.depth_m == 0:
        return trace
    said = tool == ACROSS_FLATS
    off_m = flat.depth_m if said else flat.depth_m / 2
    unsaid_m = 0.0 if said else flat.depth_m / (2 * math.sqrt(3))
    u_m = math.hypot(trace.doubt.u_m, flat.u_m * off_m / flat.depth_m, unsaid_m)
    at = np.array([trace.reading.value_m + off_m])
    return replace(
        trace,
        life_used=float(line.life_used(at)[0]),
        life_used_u=max(float(line.life_doubt(at, np.array([u_m]))[0]), trace.life_used_u),
        beyond=bool(line.is_beyond(at)[0]),
        old_flat_m=off_m,
        as_read=trace.life_used,
        how_said=said,
    )
