"""What a yard really runs one kind of part down to, learned from how worn parts were when they came off, and why.

See docs/explanation/learned-limits.md.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr

from pitchline.outlook.paths import BoolArray, FloatArray
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.saying import Saying, saying
from pitchline.wear.line import WearLine

ENOUGH_WORN_OUT = 4
"""Worn-out removals below which nothing is said."""
TYPICAL_BEFORE = (1.0, 0.5)
"""Belief before any removal: the yard runs parts to the entered limit, give or take half the allowance. Our own, weak."""
LOG_SPREAD_BEFORE = (float(np.log(0.15)), 0.7)
"""The same for the logarithm of the spread from one removal to the next. Our own, weak."""
_GRID = (41, 31)
_NARROWINGS = 6
_NEGLIGIBLE = 16.0


@dataclass(frozen=True, slots=True)
class LearnedLimit:
    """What a yard runs one kind of part down to, on the scale of the entered limit: 1 is that limit.

    Parameters
    ----------
    typical : float or None
        Life used at which it typically takes a worn part off, as likely too high as too low [1]; None with too few removals.
    low, high : float or None
        80 % range of that typical figure [1].
    spread : float or None
        Standard deviation from one worn-out removal to the next [1], doubt of the readings taken off.
    removals : int
        Removals it rests on, whatever the reason.
    worn_out : int
        Those of them that were for wear.
    spread_low, spread_high : float or None
        80 % range of the spread [1].
    """

    typical: float | None
    low: float | None
    high: float | None
    spread: float | None
    removals: int
    worn_out: int
    spread_low: float | None = None
    spread_high: float | None = None

    @property
    def said(self) -> Saying:
        """What it rests on, or that it is too few."""
        if self.typical is not None:
            return saying("life.removals", worn_out=self.worn_out, removals=self.removals)
        return saying(
            "life.too_few_removals", worn_out=self.worn_out, removals=self.removals, needed=ENOUGH_WORN_OUT
        )


@dataclass(frozen=True, slots=True)
class LearnedSize:
    """A learned limit as a size, to stand beside the entered one.

    Parameters
    ----------
    typical_m : float
        Size at which the yard typically takes a worn part off [m].
    from_m, to_m : float
        80 % range of it [m], the less worn end first.
    limit_m : float
        The entered limit [m].
    """

    typical_m: float
    from_m: float
    to_m: float
    limit_m: float


def learned_limit(life_used: FloatArray, life_used_u: FloatArray, worn: BoolArray) -> LearnedLimit:
    """What a yard runs one kind of part down to.

    Parameters
    ----------
    life_used : ndarray, shape (r,)
        Estimated life used at each removal [1], any finite value; r may be 0.
    life_used_u : ndarray, shape (r,)
        Its standard uncertainty [1], zero or more.
    worn : ndarray of bool, shape (r,)
        Whether the part came off for wear. A part that came off for any other reason would have gone on: it only says that the
        limit lies higher.

    Returns
    -------
    LearnedLimit
        Without figures below 4 worn-out removals.

    Raises
    ------
    NotAllowedError
        Arrays of different length, a figure that is not finite, or an uncertainty below zero.

    References
    ----------
    Normal distribution with right-censoring (textbook; Meeker and Escobar, Statistical Methods for Reliability Data, 1998, from
    memory), integrated over a weak prior on a grid: our own, see docs/explanation/learned-limits.md.

    Examples
    --------
    >>> used = np.array([0.85, 0.90, 0.95, 0.88, 0.92, 0.60])
    >>> found = learned_limit(used, np.full(6, 0.03), np.array([True, True, True, True, True, False]))
    >>> round(found.typical, 2), found.said.code, found.said.values["worn_out"]
    (0.9, 'life.removals', 5)
    """
    used, doubt = np.asarray(life_used, np.float64), np.asarray(life_used_u, np.float64)
    for_wear: BoolArray = np.asarray(worn, np.bool_)
    _check(used, doubt, for_wear)
    worn_out = int(for_wear.sum())
    if worn_out < ENOUGH_WORN_OUT:
        return LearnedLimit(None, None, None, None, int(used.size), worn_out)
    typical, log_spread, weight = _posterior(used, doubt, for_wear)
    low, middle, high = _tenths(typical, weight.sum(axis=1))
    spread_low, spread, spread_high = np.exp(_tenths(log_spread, weight.sum(axis=0)))
    return LearnedLimit(
        float(middle),
        float(low),
        float(high),
        float(spread),
        int(used.size),
        worn_out,
        float(spread_low),
        float(spread_high),
    )


def as_size(line: WearLine, learned: LearnedLimit) -> LearnedSize | None:
    """A learned limit as a size on the entered wear line.

    Parameters
    ----------
    line : WearLine
        The line life used was counted on; sizes [m].
    learned : LearnedLimit
        The learned limit.

    Returns
    -------
    LearnedSize or None
        None with too few removals.
    """
    if learned.typical is None or learned.low is None or learned.high is None:
        return None
    typical, least, most = (float(x) for x in line.size_m([learned.typical, learned.low, learned.high]))
    return LearnedSize(typical, least, most, line.limit_m)


def _check(used: FloatArray, doubt: FloatArray, worn: BoolArray) -> None:
    if used.ndim != 1 or used.shape != doubt.shape or used.shape != worn.shape:
        raise NotAllowedError("removals", "arrays of different length", "one figure, doubt and reason each")
    if not (np.isfinite(used).all() and np.isfinite(doubt).all() and bool((doubt >= 0).all())):
        raise NotAllowedError("removals", "a figure that is not finite", "finite life used, doubt of 0 or more")


def _posterior(used: FloatArray, doubt: FloatArray, worn: BoolArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Grid of typical values, grid of log spreads, and the weight of each pair; the box narrows to where the weight is."""
    box = [(-1.0, 4.0), (float(np.log(0.003)), float(np.log(3.0)))]
    for narrowing in range(_NARROWINGS):
        typical, log_spread = (np.linspace(*edge, size) for edge, size in zip(box, _GRID, strict=True))
        log = _log_posterior(typical, log_spread, used, doubt, worn)
        if narrowing < _NARROWINGS - 1:
            there = log > log.max() - _NEGLIGIBLE
            box = [_inside(typical, there.any(axis=1)), _inside(log_spread, there.any(axis=0))]
    weight = np.exp(log - log.max())
    return typical, log_spread, weight / weight.sum()


def _inside(grid: FloatArray, there: BoolArray) -> tuple[float, float]:
    """The part of the grid that carries weight, one step wider at both ends."""
    at = np.flatnonzero(there)
    return float(grid[max(at[0] - 1, 0)]), float(grid[min(at[-1] + 1, grid.size - 1)])


def _log_posterior(
    typical: FloatArray, log_spread: FloatArray, used: FloatArray, doubt: FloatArray, worn: BoolArray
) -> FloatArray:
    """Log posterior on a grid, shape (typical, log_spread): density of worn-out removals, chance of "later" for the others."""
    before = -0.5 * ((typical - TYPICAL_BEFORE[0]) / TYPICAL_BEFORE[1])[:, None] ** 2
    before = before - 0.5 * ((log_spread - LOG_SPREAD_BEFORE[0]) / LOG_SPREAD_BEFORE[1]) ** 2
    spread = np.sqrt(np.exp(2 * log_spread)[:, None] + doubt**2)
    constant = -np.log(spread[:, worn]).sum(axis=1)
    for row, value in enumerate(typical):
        z = (used - value) / spread
        before[row] += constant - 0.5 * (z[:, worn] ** 2).sum(axis=1) + log_ndtr(-z[:, ~worn]).sum(axis=1)
    return before


def _tenths(grid: FloatArray, weight: FloatArray) -> FloatArray:
    """The 10, 50 and 90 % points of a density on an even grid."""
    gathered = np.concatenate(([0.0], np.cumsum((weight[1:] + weight[:-1]) / 2)))
    return np.asarray(np.interp([0.1, 0.5, 0.9], gathered / gathered[-1], grid))
