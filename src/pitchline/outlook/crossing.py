"""Hours until wear reaches a level: chances, quantiles, and the first of several parts.

See docs/explanation/outlook.md.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from scipy.special import ndtri

from pitchline.outlook.constants import effective_hours
from pitchline.outlook.filter import AT_ONCE
from pitchline.outlook.normal import normal_cdf
from pitchline.outlook.paths import BoolArray, FloatArray, IntArray
from pitchline.outlook.quadrature import Beliefs
from pitchline.trade.ground import GroundMix

ChanceOfHours: TypeAlias = Callable[[FloatArray], FloatArray]
_TURNS = 60
_CLOSE_H, _FARTHEST_H = 0.01, 1e7
_EVENLY_H = 50.0
"""Hours up to which a search for hours goes evenly, and beyond which by their logarithm."""
_MOST_SPAN_SPREAD = 0.5
"""Most that a span to come counts as straying from its rate, as a share of it [1]: a normal one that strays more has wear that
never comes, one time in ten from 0.78 on, and then no hours are hopeful enough."""
_SURE, _UNLIKELY = 1e-9, 1e-14
"""Chance from which nothing is told apart from 0 or 1, and weight of a machine effect below which it is nothing [1]."""


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
    level_u : ndarray, shape (n,), or None
        Standard doubt of that level, as a share of it [1]; None where every level is sure. It brings the level nearer and never
        farther off: doubt buys no hours.

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
    level_u: FloatArray | None = None

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
            None if self.level_u is None else self.level_u[at],
        )

    def by_rate(self, hours_h: FloatArray) -> FloatArray:
        """Chance of having reached the level, at each rate.

        Parameters
        ----------
        hours_h : ndarray, shape (n, t)
            Hours from now [h], zero or more.

        Returns
        -------
        ndarray, shape (b, n, t, j)
            Chances [1].

        References
        ----------
        Birnbaum-Saunders form of the gamma process (van Noortwijk, Reliab. Eng. Syst. Saf. 94 (2009) 2).
        """
        sets, rows, rates = self.rate.shape
        each = max(1, AT_ONCE // (rows * rates * hours_h.shape[1]))
        some = [self._by_rate(hours_h, slice(at, at + each)) for at in range(0, sets, each)]
        return some[0] if len(some) == 1 else np.concatenate(some)

    def _by_rate(self, hours_h: FloatArray, at: slice) -> FloatArray:
        """The same under some of the sets."""
        # Wear never falls, so "reached by h" is "worn past the level at h", and that is one normal chance at each rate.
        growth = self.rate[at, :, None] * hours_h[None, :, :, None]
        spread2 = growth * (self.span_spread[at] ** 2)[:, None, None, None]
        spread2 += self.noise[at, None, None, None]
        spread2 *= growth
        spread2 += self.wear_var[at, :, None]
        growth += (self.wear[at] - self.level[:, None])[:, :, None]
        if self.level_u is not None:
            # A normal doubt of the level adds its variance; past the level it would make "reached" less likely, so there it is
            # left out. Both forms are 1 in 2 at the level itself, so the chance stays continuous and rises with the hours.
            spread2 += np.where(growth < 0, ((self.level_u * self.level) ** 2)[:, None, None], 0.0)
        np.maximum(spread2, 1e-20, out=spread2)
        growth /= np.sqrt(spread2, out=spread2)
        return normal_cdf(growth)

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
        return np.asarray((self.by_rate(hours_h) @ self.weight[..., None])[..., 0].mean(axis=0))

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
        """
        return self.hours_and_now(chances)[0]

    def hours_and_now(self, chances: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Hours by which the level is reached with each chance, and the chance that it is reached already.

        Parameters
        ----------
        chances : ndarray, shape (t,)
            Inside (0, 1) [1].

        Returns
        -------
        hours : ndarray, shape (n, t)
            Hours from now [h]; 0 where the chance is reached already.
        now : ndarray, shape (n,)
            Chances [1].
        """
        return invert(self.chance, self.log_hours(), chances)

    def log_hours(self) -> tuple[FloatArray, FloatArray]:
        """Mean and standard deviation of the logarithm of the hours, roughly.

        Returns
        -------
        tuple of ndarray, shape (n,) each
            In log hours [log h]; wear that is at its level, or past it, counts as having 2 % of its life to go.
        """
        left = np.maximum(self.level[None, :, None] - self.wear, 0.02)
        log_hours = np.log(left / self.rate)
        noise, span2 = self.noise[:, None, None], self.span_spread[:, None, None] ** 2
        within = (self.wear_var + left * (noise + span2 * left)) / (left * left)
        mean, square = (
            (self.weight * each).sum(axis=2).mean(axis=0) for each in (log_hours, log_hours**2 + within)
        )
        spread = np.sqrt(np.maximum(square - mean**2, 1e-6))
        return mean.astype(np.float64), np.minimum(spread, 1.5).astype(np.float64)


def invert(
    chance: ChanceOfHours, roughly: tuple[FloatArray, FloatArray], chances: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Hours at which rising chances are reached.

    Parameters
    ----------
    chance : callable
        Takes hours (rows, t) [h], gives chances (rows, t) [1], rising.
    roughly : tuple of ndarray, shape (rows,) each
        Mean and standard deviation of the logarithm of the hours, as near as they are known [log h].
    chances : ndarray, shape (t,)
        Inside (0, 1) [1].

    Returns
    -------
    hours : ndarray, shape (rows, t)
        Hours [h], 0 where reached at once, at most 1e7.
    now : ndarray, shape (rows,)
        Chances at no hours [1].

    """
    mean, spread = (each[:, None] for each in roughly)
    now = chance(np.zeros((mean.size, 1)))
    at_once = now >= chances
    # The normal score of the chance is almost straight over the logarithm of the hours, and near the level, where the
    # doubt of the wear now is all there is, over the hours themselves. So the search goes by both, and few looks are enough.
    low, high = np.log(_EVENLY_H), np.log(_EVENLY_H + _FARTHEST_H)
    begin = np.clip(np.log(np.exp(mean + spread * ndtri(chances)) + _EVENLY_H), low, high)

    def is_near(place: FloatArray, off: FloatArray) -> BoolArray:
        return at_once | (off * np.exp(place) < _CLOSE_H)

    found = rising_to(
        chances, lambda place: chance(np.exp(place) - _EVENLY_H), begin, 1.0 / spread, (low, high), is_near
    )
    return np.where(at_once, 0.0, np.exp(found) - _EVENLY_H), now[:, 0]


def rising_to(
    chances: FloatArray,
    chance: ChanceOfHours,
    begin: FloatArray,
    slope: FloatArray,
    within: tuple[FloatArray | float, FloatArray | float],
    is_near: Callable[[FloatArray, FloatArray], BoolArray],
) -> FloatArray:
    """Places at which rising chances are reached, by a secant over the normal scores of the chances.

    Parameters
    ----------
    chances : ndarray, shape (t,)
        Inside (0, 1) [1].
    chance : callable
        Takes places (rows, t) [any unit], gives chances (rows, t) [1], rising.
    begin : ndarray, shape (rows, t)
        Where to begin [unit of place].
    slope : ndarray, shape (rows, 1)
        How the score rises there, roughly [1/unit of place].
    within : tuple of ndarray, shape (rows, 1), or float
        Least and greatest places [unit of place].
    is_near : callable
        Takes places and how far the last step led, shape (rows, t) [unit of place]; says of each whether that is near enough.

    Returns
    -------
    ndarray, shape (rows, t)
        Places [unit of place].

    References
    ----------
    Secant method, held in a bracket (textbook).
    """
    place, before, short_before = begin, begin, np.zeros(begin.shape)
    low, high = (np.broadcast_to(end, begin.shape) for end in within)
    for turn in range(_TURNS):
        short = ndtri(np.clip(chance(place), _SURE, 1 - _SURE)) - ndtri(chances)
        low, high = np.where(short < 0, place, low), np.where(short < 0, high, place)
        moved = place - before
        slope = np.where(moved == 0, slope, (short - short_before) / np.where(moved == 0, 1.0, moved))
        before, short_before = place, short
        place = place - short / np.maximum(slope, 1e-9)
        # What leads out of the bracket, or has not come to an end by now, is at a corner: half way is always nearer.
        place = np.where((place < low) | (place > high) | (turn % 8 == 7), (low + high) / 2, place)
        if bool(is_near(place, np.abs(place - before)).all()):
            break
    return place


def crossing(
    beliefs: Beliefs,
    future_ground: int | IntArray | GroundMix,
    level: FloatArray | None = None,
    pace: FloatArray | None = None,
    level_u: FloatArray | None = None,
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
    level_u : ndarray, shape (n,), or None
        Standard doubt of each level, as a share of it [1]; None where every level is sure.

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
        np.minimum(beliefs.constants.span_spread, _MOST_SPAN_SPREAD).astype(precision),
        np.ones(count, precision) if level is None else np.asarray(level, precision),
        level_u,
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


def first_of(
    beliefs: Beliefs, crossing_: Crossing, members: list[int], chances: FloatArray
) -> tuple[FloatArray, float]:
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
    hours : ndarray, shape (t,)
        Hours from now [h].
    now : float
        Chance that one of them is there already [1].
    """
    few = crossing_.of(members)
    mean, spread = few.log_hours()
    soonest = [int(np.argmin(mean))]
    chance = _first_chance(beliefs, few, np.asarray(members))
    hours, now = invert(chance, (mean[soonest], spread[soonest]), chances)
    return hours[0], float(now[0])


def _first_chance(beliefs: Beliefs, few: Crossing, at: IntArray) -> ChanceOfHours:
    """What gives the chance that one of some parts is at its level, by hours of shape (1, t)."""
    # Parts are independent only once the machine's effect is given, so the product of survivals is taken before that effect
    # is integrated over. Effects that no set of constants leaves likely are left out: they are most of the work.
    common = beliefs.common[:, beliefs.common_of[at]]
    likely: BoolArray = np.any(common > _UNLIKELY, axis=(0, 1))
    kernel = beliefs.kernel[:, :, likely]
    scaled, given = beliefs.scaled[:, at, None], beliefs.given_common[:, at, None][..., likely]
    of_all = _of_all(beliefs, at, likely)

    def chance(hours_h: FloatArray) -> FloatArray:
        alive = scaled * (1 - few.by_rate(np.broadcast_to(hours_h, (at.size, hours_h.shape[1]))))
        sets, parts, hours, rates = alive.shape
        alive = (alive.reshape(sets, parts * hours, rates) @ kernel).reshape(sets, parts, hours, -1) / given
        return np.asarray(1 - of_all(np.minimum(alive, 1.0)) / sets).reshape(1, -1)

    return chance


def _of_all(beliefs: Beliefs, at: IntArray, likely: BoolArray) -> Callable[[FloatArray], FloatArray]:
    """What takes the chance of each of some parts to be short of its level, given what it shares, shape (b, n, t, j).

    It gives the chance that all of them are, summed over the sets.
    """
    mine, kinds = beliefs.common_of[at], beliefs.kinds
    several = np.unique(mine)
    if kinds is None or several.size == 1:
        common = beliefs.common[:, several[0], likely]
        return lambda alive: np.asarray(np.einsum("bc,btc->t", common, alive.prod(axis=1)))
    machine = beliefs.machine[:, beliefs.paths.group[at[0]]]
    seen = (machine > _UNLIKELY).any(axis=0)
    machine = machine[:, seen]
    scaled, given = kinds.scaled[:, several][:, :, None, likely], kinds.given_machine[:, several][:, :, None, seen]
    kernel = kinds.kernel[several][:, likely][:, :, seen]
    begins = np.flatnonzero(np.diff(np.sort(mine), prepend=-1))
    order = np.argsort(mine, kind="stable")

    def of_all(alive: FloatArray) -> FloatArray:
        by_kind = np.multiply.reduceat(alive[:, order], begins, axis=1) * scaled
        return np.asarray(np.einsum("bu,btu->t", machine, np.minimum(by_kind @ kernel / given, 1.0).prod(axis=1)))

    return of_all
