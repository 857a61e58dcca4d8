"""Readings beside each other as evidence: how many times likelier they are where a sign is there than where it is not.

x is the natural logarithm of a ratio of life used; s its standard uncertainty from the readings alone [1].
"""

import math
from collections.abc import Sequence
from statistics import median

import numpy as np

from pitchline.trade.errors import NotAllowedError

PART_SPREAD = 0.22
"""Parts of a kind wear apart by this much in the logarithm of their rate though nothing is wrong: the wear model's own figure."""
MOST = 20.0
"""No reading counts for more than this, for or against: an assumption."""
USABLE = 3.0
"""Life used must be this many of its standard uncertainties, or its logarithm means nothing: an assumption."""
BETWEEN = 0.25
"""Chance of a setting being beyond its window before it was read: an assumption."""
SURE = 0.95
"""From here on a setting is simply beyond its window, or not."""


def _normal(x: float, middle: float, variance: float) -> float:
    return math.exp(-((x - middle) ** 2) / (2 * variance)) / math.sqrt(2 * math.pi * variance)


def _turns_back(middle: float, variance: float, middle_there: float, variance_there: float) -> float:
    """Where the ratio of two normal densities of unlike width turns back.

    Beyond it a reading further out would speak for less: the wider one wins in both tails. So the ratio is held from there on,
    and more uneven wear never speaks less for its sign.
    """
    return (middle_there * variance - middle * variance_there) / (variance - variance_there)


def capped(ratio: float) -> float:
    """The ratio, at most `MOST` and at least its inverse."""
    return min(max(ratio, 1 / MOST), MOST)


def either_way(x: float, s: float, spread: float, times: float, spread_there: float) -> float:
    """One of two is worn more, nobody knows which.

    Parameters
    ----------
    x, s : float
        Log ratio and its standard uncertainty [1].
    spread, spread_there : float
        Standard deviation of x besides s where the sign is not there, and where it is [1].
    times : float
        Usual ratio where it is there, above 1 [1].

    Returns
    -------
    float
        Likelihood ratio, not capped.
    """
    usual, there = s * s + spread**2, s * s + spread_there**2
    x = min(abs(x), _turns_back(0.0, usual, math.log(times), there)) if there < usual else abs(x)

    def ratio(at: float) -> float:
        up, down = (_normal(at, way * math.log(times), there) for way in (1, -1))
        return (up + down) / 2 / _normal(at, 0.0, usual)

    return max(ratio(0.0), ratio(x))  # two narrow humps can dip beside the middle


def one_way(x: float, s: float, usual: float, spread: float, times: float, spread_there: float) -> float:
    """A given one of two is worn more.

    Parameters
    ----------
    x, s : float
        Log ratio and its standard uncertainty [1].
    usual : float
        x where nothing is wrong [1].
    spread, spread_there : float
        As in `either_way`.
    times : float
        Usual further ratio where the sign is there, above 0 [1].

    Returns
    -------
    float
        Likelihood ratio, not capped.
    """
    middle, alone, there = usual + math.log(times), s * s + spread**2, s * s + spread_there**2
    if there != alone:
        edge = _turns_back(usual, alone, middle, there)
        x = max(x, edge) if there > alone else min(x, edge)
    return _normal(x, middle, there) / _normal(x, usual, alone)


def side_against_side(x: float, s: float, spread: float) -> float:
    """One side worn more than the other.

    Parameters
    ----------
    x, s : float
        Log ratio of left to right, and its standard uncertainty [1].
    spread : float
        How far apart x lies where nothing is wrong, as its parts differ from each other [1].

    Returns
    -------
    float
        Likelihood ratio, capped.
    """
    return capped(either_way(x, s, spread, 1.4, 0.2))


def flanges_apart(x: float, s: float, left: int, right: int) -> float:
    """Flanges of one side worn more than those of the other, as `side_against_side`.

    Parameters
    ----------
    x, s : float
        Log ratio of left to right, and its standard uncertainty [1].
    left, right : int
        Rollers read on each side, from 1.

    Returns
    -------
    float
        Likelihood ratio, capped.
    """
    return capped(either_way(x, s, 0.2 * math.sqrt(1 / left + 1 / right), 1.6, 0.25))


def front_against_rear(x: float, s: float, front: int, rear: int) -> float:
    """Rollers at the ends worn unlike, as `side_against_side`.

    Parameters
    ----------
    x, s : float
        Log ratio of front to rear, and its standard uncertainty [1].
    front, rear : int
        Rollers at each end, from 1.

    Returns
    -------
    float
        Likelihood ratio, capped.
    """
    return capped(either_way(x, s, PART_SPREAD * math.sqrt(1 / front + 1 / rear), 1.5, 0.25))


def reverse_face(x: float, s: float, turns_often: bool) -> float:
    """The reverse face worn more than the forward one.

    Parameters
    ----------
    x, s : float
        Log ratio of reverse to forward face, and its standard uncertainty [1].
    turns_often : bool
        A dozer or a loader, whose reverse faces wear a little more in any work.

    Returns
    -------
    float
        Likelihood ratio, capped.

    References
    ----------
    That reverse side wear is generally more than forward: TM 5-3805-280-10. How much: an assumption.
    """
    return capped(one_way(x, s, math.log(1.15) if turns_often else 0.0, 0.15, 1.8, 0.30))


def ahead(x: float, s: float, times: float) -> float:
    """One quantity worn more than another that usually keeps pace with it.

    Parameters
    ----------
    x, s : float
        Log ratio of life used, and its standard uncertainty [1].
    times : float
        Usual ratio where the sign is there, above 1 [1].

    Returns
    -------
    float
        Likelihood ratio, capped.
    """
    return capped(one_way(x, s, 0.0, 0.35, times, 0.3))


def one_unlike(logs: Sequence[float], doubts: Sequence[float]) -> float:
    """One roller unlike those beside it: any one of them, by the median of the others.

    Parameters
    ----------
    logs : sequence of float
        Logarithm of life used of each, 3 or more [1].
    doubts : sequence of float
        Standard uncertainty of each [1].

    Returns
    -------
    float
        Likelihood ratio, capped: the mean over which one it may be, so that many rollers do not make one odd by chance.

    Raises
    ------
    NotAllowedError
        Fewer than 3.
    """
    if len(logs) < 3:
        raise NotAllowedError("rollers", len(logs), "3 or more")
    ratios = []
    for at, (log, doubt) in enumerate(zip(logs, doubts, strict=True)):
        others = [other for n, other in enumerate(logs) if n != at]
        spread = PART_SPREAD * math.sqrt(1 + 1.57 / len(others))
        ratios.append(either_way(log - median(others), doubt, spread, 1.7, 0.3))
    return capped(float(np.mean(ratios)))


def beyond_window(beyond: float) -> float:
    """A setting read near the edge of its window.

    Parameters
    ----------
    beyond : float
        Chance that it lies beyond, by the doubt of its reading [1].

    Returns
    -------
    float
        `SEEN` (infinite) from 95 in 100 on, `NOT_SEEN` (0) up to 5 in 100, else the likelihood ratio.
    """
    if beyond >= SURE:
        return math.inf
    if beyond <= 1 - SURE:
        return 0.0
    return beyond / (1 - beyond) * (1 - BETWEEN) / BETWEEN
