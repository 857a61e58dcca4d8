"""The way a part wore so far, as all its readings together tell it: the filter run back from now to the day it was fitted."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.outlook.constants import Constants
from pitchline.outlook.filter import Habits, states_at_readings
from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.outlook.quadrature import Beliefs

_LEAST_VAR = 1e-24
_SETS, _RATES = 2, 2
"""Every second set of constants and every second rate are enough for what is only drawn."""


@dataclass(frozen=True, slots=True)
class Past:
    """Wear of one part at each of its readings and now, and when fitted where that is known.

    Parameters
    ----------
    ago_h : ndarray, shape (k,)
        Hours before now [h], falling to 0.
    wear, wear_u : ndarray, shape (k,)
        Mean and standard deviation of straightened life used then [1].
    """

    ago_h: FloatArray
    wear: FloatArray
    wear_u: FloatArray


def pasts(
    beliefs: Beliefs, rows: Sequence[int], habits: Habits | None = None, pace: FloatArray | None = None
) -> list[Past]:
    """The way of some parts up to now.

    Parameters
    ----------
    beliefs : Beliefs
        Posterior weights and states.
    rows : sequence of int
        Their rows in the beliefs; parts that were read.
    habits : Habits or None
        As the beliefs were made with; None takes the project's own assumptions.
    pace : ndarray, shape (k, g), or None
        What the hours of each kind on each ground were weighted by [1]; None where they were not.

    Returns
    -------
    list of Past
        In the order of rows. The last figures are those of the beliefs themselves.

    References
    ----------
    Rauch, Tung and Striebel, AIAA J. 3 (1965) 1445 (from memory), at each rate; rates weighed as the readings do.
    """
    at = np.asarray(rows, dtype=np.int64)
    if at.size == 0:
        return []
    paths = beliefs.paths.rows(at)
    hours = [*np.moveaxis(paths.step_h, 1, 0), paths.tail_h]
    moments = _smoothed(beliefs, at, hours, habits or Habits())
    now = (beliefs.filtered.wear[:, at], beliefs.filtered.wear_var[:, at])
    moments.append(_moments(beliefs.weight[:, at], *now))
    mean, spread = (np.array(one) for one in zip(*moments, strict=True))
    weights = 1.0 if pace is None else pace[paths.kind]
    ago = np.cumsum([np.zeros(at.size), *((each / weights).sum(axis=1) for each in reversed(hours))], axis=0)[::-1]
    found = []
    for n, known in enumerate(paths.start_known):
        steps = [step for step in range(0 if known else 1, paths.count[n] + 1) if ago[step, n] > 0]
        steps.append(len(hours))
        found.append(Past(ago[steps, n], mean[steps, n], spread[steps, n]))
    return found


def _smoothed(
    beliefs: Beliefs, at: IntArray, hours: list[FloatArray], habits: Habits
) -> list[tuple[FloatArray, FloatArray]]:
    """Mean and deviation when fitted and after each reading, all readings taken into account."""
    some = beliefs.constants.some(slice(None, None, _SETS))
    rates = beliefs.rate_log[::_SETS, at, ::_RATES]
    weight = beliefs.weight[::_SETS, at, ::_RATES]
    paths = beliefs.paths.rows(at)
    kept = states_at_readings(paths, rates, some, habits)
    start = (np.zeros(rates.shape), np.broadcast_to(paths.start_u[:, None] ** 2, rates.shape))
    filtered = beliefs.filtered
    after = (filtered.wear[::_SETS, at, ::_RATES], filtered.wear_var[::_SETS, at, ::_RATES])
    moments: list[tuple[FloatArray, FloatArray]] = []
    for state, by_ground in zip(reversed([start, *kept]), reversed(hours), strict=True):
        after = _back(state, after, *_growth(np.exp(rates), by_ground, some))
        moments.insert(0, _moments(weight, *after))
    return moments


def _growth(rate: FloatArray, by_ground: FloatArray, constants: Constants) -> tuple[FloatArray, FloatArray]:
    """Mean and variance of the wear over some hours."""
    even = (by_ground[None] * np.exp(constants.ground)[:, None, :]).sum(axis=2)
    growth = rate * even[:, :, None]
    noise, span2 = constants.noise[:, None, None], constants.span_spread[:, None, None] ** 2
    return growth, growth * (noise + span2 * growth)


def _back(
    state: tuple[FloatArray, FloatArray],
    after: tuple[FloatArray, FloatArray],
    growth: FloatArray,
    spread: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """One step back: the state known then, mended by what came after."""
    mean, var = state
    ahead = var + spread
    pull = var / np.maximum(ahead, _LEAST_VAR)
    return mean + pull * (after[0] - mean - growth), var + pull**2 * (after[1] - ahead)


def _moments(weight: FloatArray, mean: FloatArray, var: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Mean and standard deviation over all rates and sets of constants."""
    share = weight / weight.sum(axis=(0, 2), keepdims=True)
    middle = (share * mean).sum(axis=(0, 2))
    square = (share * (mean**2 + var)).sum(axis=(0, 2))
    return middle, np.sqrt(np.maximum(square - middle**2, 0.0))
