"""Expected hours left against expected hours as new: the share of a part's life that is still to be had."""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from pitchline.outlook.crossing import Crossing, rising_to
from pitchline.outlook.machine import LifeOutlook, MachineOutlook, is_turned_next
from pitchline.outlook.normal import normal_cdf
from pitchline.outlook.paths import FloatArray
from pitchline.trade.measurands import Measurand

_STAY_BELOW = np.array([0.9, 0.1])
_TINY, _CLOSE = 1e-9, 1e-6


@dataclass(frozen=True, slots=True)
class LifeLeft:
    """How much of a part's life is left.

    Parameters
    ----------
    hours_h, as_new_h : float
        Expected hours left, and of a new one at the same rate of wear [h].
    cautious, usual, hopeful : float
        Share of life left [1], from 0 to 1, rising: 9 in 10 have more, expected hours left over expected hours as new, and 1 in
        10 have more.

    References
    ----------
    Depreciated replacement cost by expected life (IVSC Guidance Note 8, 2005); the three figures are ours.
    """

    hours_h: float
    as_new_h: float
    cautious: float
    usual: float
    hopeful: float


def expected_part(mean: FloatArray, deviation: FloatArray, level: float) -> FloatArray:
    """Expected share of an allowance that is left, for normal wear: never below none, never more than the whole.

    Parameters
    ----------
    mean, deviation : ndarray, shape (k,)
        Life used now and its standard deviation [1], the second zero or more.
    level : float
        Life used at which it is used up [1], above zero.

    Returns
    -------
    ndarray, shape (k,)
        Expected value of `level` less life used, held between 0 and `level` [1].

    References
    ----------
    Mean of a normal cut off on one side (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 1, ch. 13, from
    memory), taken twice.

    Examples
    --------
    >>> expected_part(np.array([0.4, 1.0]), np.array([0.0, 0.1]), 1.0).round(6).tolist()
    [0.6, 0.039894]
    """
    return _above(level - mean, deviation) - _above(-mean, deviation)


def _above(mean: FloatArray, deviation: FloatArray) -> FloatArray:
    """Mean of the part of a normal that lies above zero."""
    spread = np.maximum(deviation, _TINY)
    z = mean / spread
    return np.asarray(mean * ndtr(z) + spread * np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi))


def life_left(outlook: MachineOutlook) -> tuple[LifeLeft, ...]:
    """Life left of every part now fitted, in each of its quantities.

    Returns
    -------
    tuple of LifeLeft
        In the order of its parts. Bushes have two faces: up to the turn point on the one, to the limit on the other; past the
        limit on the first face the turn is lost, and nothing is left.

    References
    ----------
    At each rate of wear the hours to a level are the wear still to go over the rate (mean first passage of a process with steady
    drift, textbook), so that both expectations are finite sums over the rates and no tail has to be cut off. See
    docs/explanation/money.md.
    """
    wear_at = _wear_at(outlook.limits.of(outlook.rows))
    return tuple(_of_part(outlook, number, wear_at[number]) for number in range(len(outlook.parts)))


def _of_part(outlook: MachineOutlook, number: int, wear_at: FloatArray) -> LifeLeft:
    part = outlook.parts[number]
    one = outlook.limits.of([outlook.rows[number]])
    weight, mean, rate = (x[:, 0].ravel().astype(np.float64) for x in (one.weight, one.wear, one.rate))
    weight = weight / weight.sum()
    deviation = np.sqrt(np.maximum(one.wear_var[:, 0].ravel().astype(np.float64), 0.0))
    first, other, whole = 1.0, 0.0, 1.0
    if part.life.measurand is Measurand.BUSH_OD_FORWARD:
        turn_at = part.life.line.limit.turn_at
        whole = 1.0 + turn_at
        if is_turned_next(part.life):
            first, other = turn_at, _other_face(outlook, part)
    to_go = expected_part(mean, deviation, first) + other * ndtr((1.0 - mean) / np.maximum(deviation, _TINY))
    hours_h, as_new_h = float((weight * to_go / rate).sum()), float((weight * whole / rate).sum())
    usual = min(max(hours_h / as_new_h, 0.0), 1.0)
    low, high = (_share(quantile, first, other, whole) for quantile in wear_at.tolist())
    return LifeLeft(hours_h, as_new_h, min(low, usual), usual, max(high, usual))


def _share(wear: float, first: float, other: float, whole: float) -> float:
    """Share left at one life used."""
    return (min(max(first - wear, 0.0), first) + (other if wear < 1.0 else 0.0)) / whole


def _wear_at(one: Crossing) -> FloatArray:
    """Life used that 9 in 10 and 1 in 10 stay below, shape (n, 2)."""
    weight, deviation = one.weight / len(one.weight), np.sqrt(np.maximum(one.wear_var, _TINY**2))

    def below(used: FloatArray) -> FloatArray:
        chance = normal_cdf((used[:, :, None] - one.wear[:, :, None]) / deviation[:, :, None])
        return np.asarray((chance @ weight[..., None])[..., 0].sum(axis=0))

    mean = (weight * one.wear).sum(axis=(0, 2))[:, None]
    square = (weight * (one.wear**2 + deviation**2)).sum(axis=(0, 2))[:, None]
    spread = np.sqrt(np.maximum(square - mean**2, _TINY**2))
    ends = (one.wear - 8 * deviation).min(axis=(0, 2)), (one.wear + 8 * deviation).max(axis=(0, 2))
    low, high = (end[:, None] for end in ends)
    begin = np.clip(mean + spread * ndtri(_STAY_BELOW), low, high)
    return rising_to(_STAY_BELOW, below, begin, 1.0 / spread, (low, high), lambda _, off: off < _CLOSE)


def _other_face(outlook: MachineOutlook, bush: LifeOutlook) -> float:
    """Share of the other face's allowance that is left: by its own reading, or as new where it was not read."""
    for number, part in enumerate(outlook.parts):
        same = part.life.place == bush.life.place and part.life.measurand is Measurand.BUSH_OD_REVERSE
        if same and part.life.traces:
            return _mean_left(outlook.limits.of([outlook.rows[number]]))
    return 1.0


def _mean_left(one: Crossing) -> float:
    weight = one.weight[:, 0].ravel() / one.weight[:, 0].sum()
    deviation = np.sqrt(np.maximum(one.wear_var[:, 0].ravel(), 0.0))
    return float((weight * expected_part(one.wear[:, 0].ravel(), deviation, 1.0)).sum())
