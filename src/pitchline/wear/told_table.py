"""What a phone without a signal needs to tell of a reading what `plausibility` would: every number of it, but no rule.

A script holds the order in which things are asked (`desk/pocket/static/pocket/told.js`); whatever it compares with stands here,
taken from the very constants, yardsticks and doubts that `suspicions` goes by. A test holds table, script and core together.
"""

import datetime as dt
import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from pitchline.trade.dossier import Dossier, Limit, PermittedRange
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import Place
from pitchline.trade.readings import DEFAULT_TOOLS, Reading, Tool, WalkRound
from pitchline.trade.saying import Saying
from pitchline.wear import plausibility, slips, yardstick
from pitchline.wear.curves import StraightCurve
from pitchline.wear.doubt import combined_u_m, reading_doubt
from pitchline.wear.history import last_reading, renewed_h
from pitchline.wear.line import WearLine, wear_line
from pitchline.wear.section import Floats
from pitchline.wear.settings import FAR, most_setting_m
from pitchline.wear.terms import rectangular, resolution

NODES_WITHIN = 0.002
"""Life used by which the straight pieces between nodes may leave the wear line."""
_FROM, _TO = -1.0, 3.0
"""Life used between which they follow it; beyond, nothing hangs on how far."""
RULES: dict[str, float | tuple[float, ...]] = {
    "outsideSigmas": yardstick.OUTSIDE_SIGMAS,
    "meant": (yardstick.LEAST_MEANT, yardstick.MOST_MEANT),
    "meantRoom": yardstick.MEANT_ROOM,
    "leastLife": yardstick.LEAST_LIFE,
    "rankStep": plausibility.RANK_STEP,
    "repeatsShare": plausibility.REPEATS_SHARE,
    "backwards": plausibility.BACKWARDS,
    "sides": (plausibility.SIDES_APART, plausibility.SIDES_SHARE, plausibility.SIDES_SIGMAS),
    "unlike": (plausibility.UNLIKE, plausibility.UNLIKE_SIGMAS, plausibility.LEAST_NEIGHBOURS),
    "jump": plausibility.JUMP,
    "lessWornFits": plausibility.LESS_WORN_FITS,
    "leaptFits": plausibility.LEAPT_FITS,
    "past": (plausibility.PAST, plausibility.KNOWN_WORN),
    "pastFits": plausibility.PAST_FITS,
    "fitsSigmas": plausibility.FITS_SIGMAS,
    "spreads": plausibility.SPREADS,
    "alike": plausibility.ALIKE,
    "consistent": plausibility.CONSISTENT,
    "far": FAR,
    "mostJoints": slips.MOST_JOINTS,
    "decimals": slips.DECIMAL_SLIPS,
    "inch": slips.MM_PER_INCH,
}
"""Thresholds of `plausibility`, `yardstick`, `settings` and `slips` by the names they have in the script [1]."""


@dataclass(frozen=True, slots=True)
class ToldTable:
    """What like lines have in common.

    Parameters
    ----------
    nodes : tuple of (float, float)
        Reading [m] and life used [1] of the line it is held against, rising in the reading, straight between and beyond; empty
        where there is nothing to go by. Of `by_others` for a middle of 1 m: as many times larger as the middle of the others is.
    by_others : bool
        Whether it is held against the middle of the like readings of the same walk-round.
    limit : Limit or None
        The yard's own, where it is entered.
    life : (float, float)
        Life used outside which a reading is suspected [1].
    bounds_m : (float, float)
        What any tracked machine can show [m].
    new_m : float
        New size of that line [m].
    sign : int
        1 where the reading rises with wear, -1 where it falls.
    zero : bool
        Whether 0 is a reading.
    basis : Saying or None
        What it rests on.
    """

    nodes: tuple[tuple[float, float], ...]
    by_others: bool
    limit: Limit | None
    life: tuple[float, float]
    bounds_m: tuple[float, float]
    new_m: float = math.nan
    sign: int = 1
    zero: bool = False
    basis: Saying | None = None


@dataclass(frozen=True, slots=True)
class ToldSetting:
    """What sag or adjuster extension is held against.

    Parameters
    ----------
    band : PermittedRange or None
        The yard's range.
    most_m : float
        More than this it cannot show [m].
    """

    band: PermittedRange | None
    most_m: float


@dataclass(frozen=True, slots=True)
class Before:
    """The last reading of the same part.

    Parameters
    ----------
    reading : Reading
        As it was read.
    date : datetime.date
        When.
    u_m : float
        Its standard uncertainty [m].
    life : float
        Life used then [1]; not a number where it is not plausible itself.
    """

    reading: Reading
    date: dt.date
    u_m: float
    life: float


@dataclass(frozen=True, slots=True)
class ToldLine:
    """What one line of a walk-round is told by.

    Parameters
    ----------
    table : ToldTable or ToldSetting
        What it shares with like lines.
    before : Before or None
        The last reading of the same part.
    renewed_h : float or None
        Service hours at which the part was last renewed [h]: only like parts renewed together are compared.
    """

    table: ToldTable | ToldSetting
    before: Before | None = None
    renewed_h: float | None = None


def told_line(dossier: Dossier, walk_round: WalkRound, place: Place, measurand: Measurand) -> ToldLine:
    """What one line of a walk-round is told by before anything is read on it.

    Parameters
    ----------
    dossier : Dossier
        The machine, with its earlier walk-rounds.
    walk_round : WalkRound
        The walk-round by its day and hours.
    place : Place
        Where.
    measurand : Measurand
        What.

    Returns
    -------
    ToldLine
        With the very yardstick, last reading and renewal that `suspicions` would go by.
    """
    any_reading = Reading(place, measurand, (1.0,), DEFAULT_TOOLS["unknown"])
    if MEASURANDS[measurand].role is Role.SETTING:
        band = dossier.range_of(place.part, measurand)
        return ToldLine(ToldSetting(band, most_setting_m(dossier, any_reading)))
    last = last_reading(dossier, walk_round, any_reading)
    stick = yardstick.yardstick(dossier, any_reading, [last[1].value_m] if last else [])
    by_others = stick is None and last is None
    if by_others:
        stick = yardstick.yardstick(dossier, any_reading, [1.0])
    before = None
    if last is not None:
        before = Before(
            last[1], last[0].date, reading_doubt(last[1]).u_m, plausibility.last_life_of(stick, last[1])
        )
    return ToldLine(
        _table(dossier, stick, place, measurand, by_others), before, renewed_h(dossier, place, walk_round)
    )


def _table(
    dossier: Dossier, stick: yardstick.Yardstick | None, place: Place, measurand: Measurand, by_others: bool
) -> ToldTable:
    words = MEASURANDS[measurand]
    if stick is None:
        return ToldTable((), False, None, (0.0, 0.0), (words.least_m, words.most_m))
    line, own = stick.line, dossier.limit_of(place.part, measurand)
    return ToldTable(
        nodes=_nodes(line.limit),
        by_others=by_others,
        limit=own if own is not None and own.limit_m is not None else None,
        life=(stick.least_life, stick.most_life),
        bounds_m=(stick.least_m, stick.most_m),
        new_m=line.limit.new_m,
        sign=line.sign,
        zero=line.zero_is_a_reading,
        basis=stick.basis,
    )


@lru_cache(maxsize=512)
def _nodes(limit: Limit) -> tuple[tuple[float, float], ...]:
    return life_nodes(wear_line(limit))


def life_nodes(line: WearLine) -> tuple[tuple[float, float], ...]:
    """A wear line as straight pieces.

    Parameters
    ----------
    line : WearLine
        The line.

    Returns
    -------
    tuple of (float, float)
        Reading [m] and life used [1], rising in the reading: at most 0.002 off between -1 and 3; a straight line as it is.

    References
    ----------
    Douglas and Peucker, Cartographica 10 (1973) 112 (from memory), measured along life used.

    Examples
    --------
    >>> from pitchline.trade.parts import PartKind
    >>> life_nodes(wear_line(Limit(PartKind.LINK, Measurand.RAIL_HEIGHT, new_m=0.110, limit_m=0.100)))
    ((0.1, 1.0), (0.11, 0.0))
    """
    if isinstance(line.curve, StraightCurve):
        sizes = [line.limit.new_m + line.sign * depth_m for depth_m in line.curve.depths_m]
        return tuple(sorted(zip(sizes, line.curve.lives, strict=True)))
    low_m, high_m = line.curve.depth(np.array([_FROM, _TO]))
    limit_m = abs(line.limit_m - line.limit.new_m)
    ends = (low_m, 0.0, limit_m, high_m)
    depths_m = np.unique(np.concatenate([np.linspace(*both, 201) for both in pairwise(ends)]))
    lives = line.curve.life(depths_m)
    marks = [int(np.flatnonzero(depths_m == end_m)[0]) for end_m in ends]  # new and limit are told exactly
    kept = sorted({*marks}.union(*(_kept(depths_m, lives, *both) for both in pairwise(marks))))
    sizes = [round(float(line.limit.new_m + line.sign * depths_m[at]), 9) for at in kept]
    return tuple(sorted(zip(sizes, [round(float(lives[at]), 5) for at in kept], strict=True)))


def _kept(at: Floats, up: Floats, first: int, last: int) -> set[int]:
    """Points between two, without which a straight piece would be too far off."""
    share = (at[first : last + 1] - at[first]) / (at[last] - at[first])
    off = np.abs(up[first : last + 1] - (up[first] + share * (up[last] - up[first])))
    worst = first + int(off.argmax())
    if off.max() <= NODES_WITHIN:
        return set()
    return {worst} | _kept(at, up, first, worst) | _kept(at, up, worst, last)


def tool_figures_m(tool: Tool) -> tuple[float, float, float]:
    """What the doubt of a reading by a tool is made of.

    Returns
    -------
    tuple of float
        Standard uncertainty of one reading between repeats, that of everything else together, and how far apart repeats on one
        place may lie whatever their length [m].
    """
    rest_m = combined_u_m([resolution(tool.resolution_m), rectangular("tool limit", tool.permitted_error_m)])
    return tool.repeatability_m, rest_m, plausibility.repeats_room_m(tool)
