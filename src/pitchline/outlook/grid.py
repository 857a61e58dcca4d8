"""Log-rate offsets that everything is summed over: for parts, kinds and machines alike.

See docs/explanation/outlook.md.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from pitchline.outlook.branches import HALF_LOG_2PI
from pitchline.outlook.constants import Constants
from pitchline.outlook.paths import FloatArray, Paths

_DEVIATIONS, _OTHERS = 3.0, 0.4
"""How far a grid reaches to either side, in standard deviations of a rate nobody read, and what machine and part add to it."""
_BEYOND, _LEAST, _MOST = 1.0, 1.84, 4.0
"""How far past the rates read, and least and most of it to either side [1]."""
_LEAST_WEAR = 0.03
"""Wear less than this says nothing of how slowly a part wears [1]: it is the doubt of a reading."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Log-rate offsets about the mean of a kind, for parts and for machines alike.

    Parameters
    ----------
    step : float
        Distance between neighbours [1].
    offsets : ndarray, shape (j,)
        The offsets [1]; single precision makes every computation on them single.

    References
    ----------
    Trapezium rule: its error falls as exp(-2 pi^2 s^2 / step^2) for a log rate known to s (Poisson summation; Trefethen and
    Weideman, SIAM Rev. 56 (2014) 385, doi:10.1137/130932132). At the least spread of 0.06 and a step of 0.08 that is 1.5e-5.
    """

    step: float
    offsets: FloatArray


def _grid(step: float, count: int, precision: type[np.floating[Any]]) -> Grid:
    return Grid(step, (step * (np.arange(count) - (count - 1) / 2)).astype(precision))


FINE = _grid(0.08, 46, np.float64)
"""For a few machines, each about the pace its kinds were found to have."""
FINE_SINGLE = _grid(0.08, 46, np.float32)
"""For learning from a fleet: a wider step makes the objective ripple."""
FORECAST = _grid(0.10, 37, np.float32)
"""For forecasting a fleet."""


def grid_for(paths: Paths, constants: Constants) -> Grid:
    """The grid for some paths: where the pace of kinds is not in the constants, as wide as it may be.

    Parameters
    ----------
    paths : Paths
        n parts.
    constants : Constants
        b sets.
    """
    if constants.log_rate_u is None:
        return FINE
    seen = np.zeros(0)
    if paths.count.any():
        read = np.flatnonzero(paths.count > 0)
        by_reading, wear = paths.step_h[read].sum(axis=2), paths.wear[read]
        blind = ~(paths.start_known | paths.meter_known)[read]
        hours_h = by_reading.sum(axis=1) - np.where(blind, by_reading[:, 0], 0.0)
        worn = wear[np.arange(read.size), paths.count[read] - 1] - np.where(blind, wear[:, 0], 0.0)
        pace = np.log(np.maximum(worn, _LEAST_WEAR) / np.maximum(hours_h, 1.0))
        seen = (pace - constants.log_rate[0, paths.kind[read]])[hours_h > 0]
    unread = max(_LEAST, _DEVIATIONS * float(np.hypot(constants.log_rate_u.max(), _OTHERS)))
    low = -min(max(unread, _BEYOND - seen.min(initial=0.0)), _MOST)
    high = min(max(unread, _BEYOND + seen.max(initial=0.0)), _MOST)
    steps = np.arange(np.floor(low / FINE.step), np.ceil(high / FINE.step) + 1)
    return Grid(FINE.step, FINE.step * steps)


def log_normal(x: FloatArray, var: FloatArray) -> FloatArray:
    """Log density of a normal of mean zero.

    Parameters
    ----------
    x : ndarray, shape (..., j)
        Where [1]; the result has its precision.
    var : ndarray, shape (..., j)
        Variance [1], above zero; one that broadcasts with it.

    Returns
    -------
    ndarray, shape (..., j)
        Log density [1].
    """
    var = var.astype(x.dtype)
    return np.asarray(-0.5 * (x * x / var + np.log(var)) - HALF_LOG_2PI)
