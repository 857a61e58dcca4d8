"""The straight line through readings alone, and where it reaches a level: a cross-check without any prior."""

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from pitchline.outlook.paths import FloatArray
from pitchline.trade.errors import NotAllowedError


@dataclass(frozen=True, slots=True)
class LineCrossing:
    """Where a fitted line reaches a level.

    Parameters
    ----------
    at : float
        The crossing [unit of x].
    low, high : float or None
        Its limits [unit of x]; None where the slope is not sure enough to give any (g of 1 or more).
    g : float
        Fieller's g [1]: below 1 the slope differs from zero at the level asked for.

    References
    ----------
    Fieller, J. R. Stat. Soc. B 16 (1954) 175 (volume from memory).
    """

    at: float
    low: float | None
    high: float | None
    g: float


def line_crossing(x: FloatArray, y: FloatArray, level: float, confidence: float) -> LineCrossing:
    """Where the least-squares line through points reaches a level, with Fieller's limits.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        Points [any unit], three or more, x not all equal.
    level : float
        Level of y [unit of y].
    confidence : float
        Such as 0.9 [1], inside (0, 1).

    Returns
    -------
    LineCrossing
        Limits None where g is 1 or more: the readings alone cannot say.

    Raises
    ------
    NotAllowedError
        Fewer than three points, or all at one x.

    References
    ----------
    Fieller, J. R. Stat. Soc. B 16 (1954) 175 (volume from memory).

    Examples
    --------
    >>> crossing = line_crossing(np.arange(5) * 1000.0, np.array([0.1, 1.9, 4.3, 5.8, 8.2]), 12.0, 0.9)
    >>> round(crossing.at, 3), round(crossing.low, 3), round(crossing.high, 3)
    (5950.249, 5607.716, 6355.0)
    """
    n = x.size
    if n < 3 or np.ptp(x) == 0:
        raise NotAllowedError("readings for a line", n, "three or more, at different hours")
    x_mean, y_mean = float(x.mean()), float(y.mean())
    sxx = float(((x - x_mean) ** 2).sum())
    slope = float(((x - x_mean) * (y - y_mean)).sum()) / sxx
    residual = y - y_mean - slope * (x - x_mean)
    s2 = float((residual**2).sum()) / (n - 2)
    t = float(stdtrit(n - 2, 0.5 + confidence / 2))
    if slope == 0:
        return LineCrossing(math.inf, None, None, math.inf)
    g = t**2 * s2 / (slope**2 * sxx)
    distance = (level - y_mean) / slope
    if g >= 1:
        return LineCrossing(x_mean + distance, None, None, g)
    centre = x_mean + distance / (1 - g)
    half = t * math.sqrt(s2) / (abs(slope) * (1 - g)) * math.sqrt((1 - g) / n + distance**2 / sxx)
    return LineCrossing(x_mean + distance, centre - half, centre + half, g)
