"""Hours until wear reaches a level: chances, quantiles, and the first of several parts.

See docs/explanation/outlook.md.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from pitchline.outlook.constants import effective_hours
from pitchline.outlook.normal import normal_cdf
from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.outlook.quadrature import Beliefs
from pitchline.trade.ground import GroundMix

ChanceOfHours: TypeAlias = Callable[[FloatArray], FloatArray]
_STEPS = 60
_CLOSE_H = 0.1


@dataclass(frozen=True, slots=True)
class Crossing:
    """Wear now and to come of n parts, as a mixture over b sets of constants and j rates, against one level each.

    Parameters
    ----------
    weight : ndarray, shape (b, n, j)
        Weight of each rate [1]; for each part they sum to b.
    wear, wear_var : ndarray, shape (b, n, j)
        Mean and variance of life used now [1].
    rate : ndarray, shape (b, n, j)
        Wear an hour on the ground to come [1/h], above zero.
    noise : ndarray, shape (b,)
        Variance of wear over mean wear [1].
    span_spread : ndarray, shape (b,)
        Standard deviation of the rate of a span, as a share of it [1].
    level : ndarray, shape (n,)
        Life used that counts as reached [1].

    References
    ----------
    Our own formulation, see docs/explanation/outlook.md; the crossing is the normal form of a gamma process (Birnbaum and
    Saunders).
    """

    weight: FloatArray
    wear: FloatArray
    wear_var: FloatArray
    rate: FloatArray
    noise: FloatArray
    span_spread: FloatArray
    level: FloatArray

    def of(self, rows: Sequence[int] | IntArray) -> "Crossing":
        """The same for some of the parts.

        Parameters
        ----------
        rows : sequence of int, or ndarray, shape (k,)
            Their numbers, one or more.

        Returns
        -------
        Crossing
            In the order asked for.
        """
        at = np.asarray(rows)
        return Crossing(
            self.weight[:, at],
            self.wear[:, at],
            self.wear_var[:, at],
            self.rate[:, at],
            self.noise,
            self.span_spread,
            self.level[at],
        )

    def by_rate(self, hours_h: FloatArray) -> FloatArray:
        """Chance of having reached the level, at each rate.

        Parameters
        ----------
        hours_h : ndarray, shape (n, t)
            Hours from now [h], zero or more.

        Returns
        -------
        ndarray, shape (b, n, j, t)
            Chances [1].

        References
        ----------
        Birnbaum-Saunders form of the gamma process (van Noortwijk, Reliab. Eng. Syst. Saf. 94 (2009) 2).
        """
        growth = self.rate[..., None] * hours_h[None, :, None, :]
        noise, span2 = self.noise[:, None, None, None], self.span_spread[:, None, None, None] ** 2
        spread2 = self.wear_var[..., None] + growth * (noise + span2 * growth)
        past = self.wear[..., None] + growth - self.level[None, :, None, None]
        return normal_cdf(past / np.sqrt(np.maximum(spread2, 1e-20)))

    def chance(self, hours_h: FloatArray) -> FloatArray:
        """Chance of having reached the level by each hour.

        Parameters
        ----------
        hours_h : ndarray, shape (n, t)
            Hours from now [h], zero or more.

        Returns
        -------
        ndarray, shape (n, t)
            Chances [1], rising with the hours.
        """
        return np.asarray((self.weight[:, :, None, :] @ self.by_rate(hours_h))[:, :, 0].mean(axis=0))

    def hours(self, chances: FloatArray) -> FloatArray:
        """Hours by which the level is reached with each chance.

        Parameters
        ----------
        chances : ndarray, shape (t,)
            Inside (0, 1) [1].

        Returns
        -------
        ndarray, shape (n, t)
            Hours from now [h]; 0 where the chance is reached already.

        References
        ----------
        Regula falsi, held in a bracket (textbook).
        """
        return invert(self.chance, self.level.size, chances)


def invert(chance: ChanceOfHours, rows: int, chances: FloatArray) -> FloatArray:
    """Hours at which rising chances are reached, inside a bracket.

    Parameters
    ----------
    chance : callable
        Takes hours (rows, t) [h], gives chances (rows, t) [1], rising.
    rows : int
        How many distributions.
    chances : ndarray, shape (t,)
        Inside (0, 1) [1].

    Returns
    -------
    ndarray, shape (rows, t)
        Hours [h], 0 where reached at once, at most 1e7.

    References
    ----------
    Regula falsi, held in a bracket (textbook).
    """
    low = np.zeros((rows, chances.size))
    short_low = chance(low) - chances
    high = np.full((rows, chances.size), 1000.0)
    short_high = chance(high) - chances
    for _ in range(14):
        below = short_high < 0
        if not below.any():
            break
        low, short_low = np.where(below, high, low), np.where(below, short_high, short_low)
        high = np.where(below, 2 * high, high)
        short_high = chance(high) - chances
    at_once = short_low >= 0
    for turn in range(_STEPS):
        middle = _between(low, high, short_low, short_high, turn)
        short = chance(middle) - chances
        reached = short >= 0
        low, short_low = np.where(reached, low, middle), np.where(reached, short_low, short)
        high, short_high = np.where(reached, middle, high), np.where(reached, short, short_high)
        if bool(((high - low < _CLOSE_H) | at_once).all()):
            break
    return np.where(at_once, 0.0, high)


def _between(
    low: FloatArray, high: FloatArray, short_low: FloatArray, short_high: FloatArray, turn: int
) -> FloatArray:
    """A point inside the bracket: on the chord, a little past it on either side in turn, or half way every fourth time."""
    half = (low + high) / 2
    if turn % 4 == 3:
        return half
    rise = np.maximum(short_high - short_low, 1e-300)
    chord = low - short_low * (high - low) / rise
    past = (high - low) * 0.01 * (1 if turn % 2 else -1)
    return np.asarray(np.clip(chord + past, low + 0.25 * _CLOSE_H, np.maximum(high - 0.25 * _CLOSE_H, low)))


def crossing(
    beliefs: Beliefs,
    future_ground: int | IntArray | GroundMix,
    level: FloatArray | None = None,
    pace: FloatArray | None = None,
) -> Crossing:
    """Hours to a level for every part, on the ground to come.

    Parameters
    ----------
    beliefs : Beliefs
        Posterior weights and states.
    future_ground : int, ndarray of shape (n,), or GroundMix
        Ground class of the hours to come, for all parts or for each, or their shares for all parts.
    level : ndarray, shape (n,), or None
        Life used that counts as reached [1]; None takes the wear limit, 1.
    pace : ndarray, shape (k, g), or None
        Pace of each kind of part on each ground beside the ground's own effect [1]; None for all alike.

    Returns
    -------
    Crossing
        For the same parts in the same order.
    """
    count, precision = beliefs.paths.kind.size, beliefs.rate_log.dtype
    paces = None if pace is None else pace[beliefs.paths.kind]
    to_come = _to_come(beliefs.constants.ground, future_ground, count, paces)
    return Crossing(
        beliefs.weight,
        beliefs.filtered.wear,
        beliefs.filtered.wear_var,
        np.exp(beliefs.rate_log + to_come.astype(precision)),
        beliefs.constants.noise.astype(precision),
        beliefs.constants.span_spread.astype(precision),
        np.ones(count, precision) if level is None else np.asarray(level, precision),
    )


def _to_come(
    effects: FloatArray, future_ground: int | IntArray | GroundMix, count: int, paces: FloatArray | None = None
) -> FloatArray:
    """Log effect of the ground to come on each part, by set of constants: of a mix the mean of the effects themselves."""
    whole = np.broadcast_to(effects[:, None], (len(effects), count, effects.shape[1]))
    if paces is not None:
        whole = whole + np.log(paces)
    if not isinstance(future_ground, GroundMix):
        return np.asarray(whole[:, np.arange(count), np.broadcast_to(future_ground, count), None])
    return np.log(effective_hours(np.array(future_ground.shares), whole.transpose(0, 2, 1)))[:, :, None]


def first_of(beliefs: Beliefs, crossing_: Crossing, members: list[int], chances: FloatArray) -> FloatArray:
    """Hours until the first of several parts of one machine reaches its level.

    Parameters
    ----------
    beliefs : Beliefs
        Posterior weights and states.
    crossing_ : Crossing
        Levels of the parts.
    members : list of int
        Numbers of the parts, one or more, all of one machine.
    chances : ndarray, shape (t,)
        Inside (0, 1) [1].

    Returns
    -------
    ndarray, shape (t,)
        Hours from now [h].

    References
    ----------
    Parts are independent only once the machine's effect is given: the product of survivals is taken before that effect is
    integrated over. See docs/explanation/outlook.md.
    """
    return np.asarray(invert(lambda hours: first_chance(beliefs, crossing_, members, hours), 1, chances)[0])


def first_chance(beliefs: Beliefs, crossing_: Crossing, members: list[int], hours_h: FloatArray) -> FloatArray:
    """Chance that the first of several parts of one machine has reached its level by each hour.

    Parameters
    ----------
    beliefs : Beliefs
        Posterior weights and states.
    crossing_ : Crossing
        Levels of the parts.
    members : list of int
        Numbers of the parts, one or more, all of one machine.
    hours_h : ndarray, shape (1, t)
        Hours from now [h].

    Returns
    -------
    ndarray, shape (1, t)
        Chances [1].

    References
    ----------
    As first_of.
    """
    at = np.asarray(members)
    few = crossing_.of(members)
    reached = few.by_rate(np.broadcast_to(hours_h, (at.size, hours_h.shape[1])))
    alive_by_rate = beliefs.scaled[:, at, :, None] * (1 - reached)
    alive = beliefs.kernel.transpose(0, 2, 1)[:, None] @ alive_by_rate
    alive /= beliefs.given_machine[:, at, :, None]
    machine = beliefs.machine[:, beliefs.paths.group[at[0]]]
    together = np.prod(np.minimum(alive, 1.0), axis=1)
    return np.asarray(1 - np.einsum("bu,but->t", machine, together) / machine.shape[0]).reshape(1, -1)
