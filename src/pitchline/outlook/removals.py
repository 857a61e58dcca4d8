"""What a yard really runs its parts down to, learned from what it took off and why."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import numpy.typing as npt
from scipy.special import log_ndtr

from pitchline.outlook.fleet import Learned, forecast
from pitchline.outlook.paths import GROUNDS, BoolArray, FloatArray, IntArray, Paths
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.ground import GroundClass
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


class Because(StrEnum):
    """Why a part came off."""

    WORN = "worn"
    BROKEN = "broken"
    TOGETHER = "together"
    UNKNOWN = "unknown"


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

    References
    ----------
    Our own formulation, see docs/explanation/learned-limits.md.
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
    def said(self) -> str:
        """What it rests on, or that it is too few, in words."""
        counted = f"{self.worn_out} worn-out of {self.removals} removals"
        return counted if self.typical is not None else f"too few: {counted}, {ENOUGH_WORN_OUT} needed"


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

    References
    ----------
    Definition.
    """

    typical_m: float
    from_m: float
    to_m: float
    limit_m: float


@dataclass(frozen=True, slots=True)
class Removals:
    """Parts taken off, r of them, all read at least once.

    Parameters
    ----------
    row : ndarray, shape (r,)
        Row of each in the paths it came from.
    kind : ndarray, shape (r,)
        Number of its kind.
    life_used, life_used_u : ndarray, shape (r,)
        Estimated life used when it came off, on the entered wear line, and its standard uncertainty [1].
    because : tuple of Because
        Why, for each.

    References
    ----------
    Definition.
    """

    row: IntArray
    kind: IntArray
    life_used: FloatArray
    life_used_u: FloatArray
    because: tuple[Because, ...]

    @property
    def worn(self) -> BoolArray:
        """Which came off for wear, shape (r,)."""
        return np.array([why is Because.WORN for why in self.because], dtype=np.bool_)


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
    >>> round(found.typical, 2), found.said
    (0.9, '5 worn-out of 6 removals')
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


def learned_limits(removals: Removals, kinds: tuple[str, ...]) -> dict[str, LearnedLimit]:
    """What a yard runs each kind of part down to.

    Parameters
    ----------
    removals : Removals
        All removals of the yard.
    kinds : tuple of str
        Words for the kinds, in the order of their numbers.

    Returns
    -------
    dict of str to LearnedLimit
        One for each kind that was taken off at all, in the order of kinds.

    References
    ----------
    As learned_limit.
    """
    found = {}
    for number, word in enumerate(kinds):
        mine = removals.kind == number
        if mine.any():
            found[word] = learned_limit(removals.life_used[mine], removals.life_used_u[mine], removals.worn[mine])
    return found


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

    References
    ----------
    Definition.
    """
    if learned.typical is None or learned.low is None or learned.high is None:
        return None
    typical, least, most = (float(x) for x in line.size_m([learned.typical, learned.low, learned.high]))
    return LearnedSize(typical, least, most, line.limit_m)


def removed_at_h(
    machine: npt.ArrayLike, position: npt.ArrayLike, part_no: npt.ArrayLike, fitted_h: npt.ArrayLike
) -> FloatArray:
    """Meter hours at which each part came off: those at which the next one was fitted in its place.

    Parameters
    ----------
    machine, position : array_like of int or str, shape (n,)
        Numbers or words of machine and position.
    part_no : array_like of int, shape (n,)
        Which part it was in that position, rising.
    fitted_h : array_like, shape (n,)
        Meter hours when fitted [h]; NaN where unknown.

    Returns
    -------
    ndarray, shape (n,)
        Meter hours [h]; NaN for the part still fitted, and where the next one's hours are unknown.

    References
    ----------
    Definition.

    Examples
    --------
    >>> removed_at_h([7, 7, 7], ["a", "a", "b"], [0, 1, 0], [np.nan, 4000.0, 0.0])
    array([4000.,   nan,   nan])
    """
    place = np.unique(np.asarray(machine), return_inverse=True)[1]
    spot = np.unique(np.asarray(position), return_inverse=True)[1]
    fitted = np.asarray(fitted_h, float)
    order = np.lexsort((np.asarray(part_no), spot, place))
    same = (place[order][1:] == place[order][:-1]) & (spot[order][1:] == spot[order][:-1])
    removed = np.full(fitted.size, np.nan)
    removed[order[:-1]] = np.where(same, fitted[order][1:], np.nan)
    return removed


def removals_from_paths(
    paths: Paths,
    removed: BoolArray,
    to_removal_h: FloatArray,
    because: Sequence[str],
    learned: Learned,
    seed: int = 0,
) -> Removals:
    """The parts taken off, each with its life used carried on to the hour it came off.

    Parameters
    ----------
    paths : Paths
        n parts, those taken off and those still fitted; kind numbers as in learned.
    removed : ndarray of bool, shape (n,)
        Which were taken off at hours that are known.
    to_removal_h : ndarray, shape (n, g)
        Hours in each ground class [h] from the last reading (or from fitting) to the removal, zero or more; not looked at for
        parts still fitted.
    because : sequence of str
        Why, for each of the n parts: worn, broken, together, unknown; empty counts as unknown.
    learned : Learned
        What is known of the constants.
    seed : int
        As in forecast.

    Returns
    -------
    Removals
        Those that were read at least once: a part never read says nothing on how worn it was.

    Raises
    ------
    NotAllowedError
        Arrays of different length, or a reason that is not one of the four words.

    References
    ----------
    Our own formulation, see docs/explanation/learned-limits.md.
    """
    count = paths.kind.size
    if removed.shape != (count,) or to_removal_h.shape != (count, GROUNDS) or len(because) != count:
        raise NotAllowedError("removals", "arrays of different length", f"one row for each of {count} parts")
    tail_h = np.where(removed[:, None], to_removal_h, paths.tail_h)
    ground = np.full(count, int(GroundClass.MEDIUM), np.int64)
    counted = removed & (paths.count > 0)
    state = forecast(replace(paths, tail_h=tail_h), ground, learned, seed, counted)
    row = np.flatnonzero(counted)
    why = tuple(_because(because[int(at)]) for at in row)
    return Removals(row, paths.kind[row], state.life_used[row], state.life_used_u[row], why)


def _because(word: str) -> Because:
    said = word.strip().lower() or "unknown"
    if said not in tuple(Because):
        raise NotAllowedError(
            "removed because", word, ", ".join(Because), "Write one of these words, or leave it empty."
        )
    return Because(said)


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
