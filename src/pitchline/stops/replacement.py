"""One part alone: when to replace it, by age or in blocks, and what that costs an hour.

Theory to check a plan against. A life is given by its distribution function; the planner itself works on steps.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.integrate import cumulative_simpson, cumulative_trapezoid

from pitchline.outlook.paths import FloatArray
from pitchline.stops.checks import check_money
from pitchline.trade.errors import NotAllowedError

Chance = Callable[[FloatArray], FloatArray]
"""Chance that the limit is passed by each age [1], rising from 0."""
POINTS = 40_001
"""Odd, as Simpson's rule likes it."""
SHALLOW = 0.01
_RENEWAL_POINTS = 4_001
_NO_GAIN = 1e-9


@dataclass(frozen=True, slots=True)
class BestAge:
    """When to replace one part.

    Parameters
    ----------
    age_h : float
        The best age [h]; infinite where running to the limit is best.
    cost_per_h : float
        Long-run cost at it [money/h]; under discounting the present cost of all time to come [money].
    earliest_h, latest_h : float
        Ages between which the cost is at most 1 % above the best [h].
    run_to_limit : float
        The same cost when the part is always run to its limit [money/h].
    """

    age_h: float
    cost_per_h: float
    earliest_h: float
    latest_h: float
    run_to_limit: float

    @property
    def never_early(self) -> bool:
        """Whether nothing is gained by replacing before the limit."""
        return math.isinf(self.age_h)


def _check_costs(planned: float, failed: float) -> None:
    check_money(planned, "planned cost", above_zero=True)
    check_money(failed, "cost at the limit", above_zero=True)


def _best(ages: FloatArray, cost: FloatArray, run_to_limit: float) -> BestAge:
    """The least of a cost over ages; run to the limit where no age is better than that."""
    at = int(np.nanargmin(cost))
    if at == len(ages) - 1 or cost[at] >= run_to_limit * (1 - _NO_GAIN):
        return BestAge(math.inf, run_to_limit, math.inf, math.inf, run_to_limit)
    near = np.nonzero(cost <= (1 + SHALLOW) * cost[at])[0]
    before, here, after = cost[at - 1], cost[at], cost[at + 1]
    bend = before - 2 * here + after
    shift = 0.5 * (before - after) / bend if bend > 0 else 0.0
    age = float(ages[at] + shift * (ages[1] - ages[0]))
    least = float(here - 0.25 * (before - after) * shift)
    return BestAge(age, least, float(ages[near[0]]), float(ages[near[-1]]), run_to_limit)


def age_replacement_cost(ages_h: FloatArray, passed: Chance, planned: float, failed: float) -> FloatArray:
    """Long-run cost an hour of replacing at an age or at the limit, whichever comes first.

    Parameters
    ----------
    ages_h : ndarray, shape (n,)
        Evenly spaced ages from 0 [h]; n odd for the best accuracy.
    passed : callable
        Chance that the limit is passed by each age [1].
    planned, failed : float
        Whole cost before the limit and at it [money], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Cost [money/h]; infinite at age 0.

    Raises
    ------
    NotAllowedError
        A cost is not above zero.

    References
    ----------
    Barlow and Proschan, Mathematical Theory of Reliability, 1965, from memory; Jardine and Tsang, Maintenance, Replacement
    and Reliability, 2nd ed., section 2.5.

    Examples
    --------
    >>> ages = np.linspace(0, 40_000, 5)
    >>> age_replacement_cost(ages, lambda age: age / 40_000, 100, 200)[1:].round(4)
    array([0.0143, 0.01  , 0.0093, 0.01  ])
    """
    _check_costs(planned, failed)
    chance = passed(ages_h)
    hours = cumulative_simpson(1 - chance, x=ages_h, initial=0.0)
    with np.errstate(divide="ignore"):
        return np.asarray((planned * (1 - chance) + failed * chance) / hours)


def best_age(passed: Chance, longest_h: float, planned: float, failed: float) -> BestAge:
    """The best age to replace a part at.

    Parameters
    ----------
    passed : callable
        Chance that the limit is passed by each age [1].
    longest_h : float
        An age by which nearly every part has reached its limit [h], above zero.
    planned, failed : float
        Whole cost before the limit and at it [money], above zero.

    Returns
    -------
    BestAge
        Never early where the hazard does not rise enough.

    Raises
    ------
    NotAllowedError
        A cost or the longest age is not above zero.

    References
    ----------
    Barlow and Proschan 1965, from memory.
    """
    check_money(longest_h, "longest age", above_zero=True)
    ages = np.linspace(0, longest_h, POINTS)
    cost = age_replacement_cost(ages, passed, planned, failed)
    mean = float(cumulative_simpson(1 - passed(ages), x=ages)[-1])
    return _best(ages, cost, failed / mean)


def best_discounted_age(
    passed: Chance, longest_h: float, planned: float, failed: float, rate_per_h: float
) -> BestAge:
    """The best age when money later is worth less; costs are the present worth of all renewals to come.

    Parameters
    ----------
    passed : callable
        Chance that the limit is passed by each age [1].
    longest_h : float
        An age by which nearly every part has reached its limit [h], above zero.
    planned, failed : float
        Whole cost before the limit and at it [money], above zero.
    rate_per_h : float
        Continuous rate of discount [1/h], above zero.

    Returns
    -------
    BestAge
        With present costs [money] in place of costs an hour.

    Raises
    ------
    NotAllowedError
        A cost, the longest age or the rate is not above zero.

    References
    ----------
    Barlow, Engineering Reliability, section 5.4; closed form from memory.
    """
    _check_costs(planned, failed)
    check_money(rate_per_h, "rate", above_zero=True)
    ages = np.linspace(0, longest_h, POINTS)
    chance, worth = passed(ages), np.exp(-rate_per_h * ages)
    kept = cumulative_simpson(worth * (1 - chance), x=ages, initial=0.0)
    at_limit = 1 - worth * (1 - chance) - rate_per_h * kept
    with np.errstate(divide="ignore", invalid="ignore"):
        cost = (failed * at_limit + planned * worth * (1 - chance)) / (rate_per_h * kept)
    cost[0] = np.inf
    return _best(ages, cost, float(failed * at_limit[-1] / (rate_per_h * kept[-1])))


def renewals(ages_h: FloatArray, passed: Chance) -> FloatArray:
    """Expected renewals by each age when a part is renewed whenever it reaches its limit.

    Parameters
    ----------
    ages_h : ndarray, shape (n,)
        Evenly spaced ages from 0 [h].
    passed : callable
        Chance that the limit is passed by each age [1].

    Returns
    -------
    ndarray, shape (n,)
        The renewal function [1].

    References
    ----------
    Renewal equation M = F + M * dF, solved by the midpoint rule (Xie 1989, from memory).
    """
    chance = passed(ages_h)
    middle = passed(ages_h[:-1] + 0.5 * np.diff(ages_h))
    found = np.zeros(len(ages_h))
    for at in range(1, len(ages_h)):
        steps = np.diff(found[:at])
        earlier = float(middle[1:at][::-1] @ steps) if at > 1 else 0.0
        found[at] = (chance[at] + earlier - middle[0] * found[at - 1]) / (1 - middle[0])
    return found


def best_block(passed: Chance, longest_h: float, planned: float, failed: float) -> BestAge:
    """The best interval to renew a part at whatever its age, with renewals at the limit in between.

    Parameters
    ----------
    passed : callable
        Chance that the limit is passed by each age [1].
    longest_h : float
        Longest interval looked at [h], above zero.
    planned, failed : float
        Whole cost of a planned renewal and of one at the limit [money], above zero.

    Returns
    -------
    BestAge
        Never early where the cost falls for ever.

    Raises
    ------
    NotAllowedError
        A cost or the longest interval is not above zero.

    References
    ----------
    Barlow and Proschan 1965, from memory; Beichelt, Applied Probability and Stochastic Processes, 2nd ed.
    """
    _check_costs(planned, failed)
    check_money(longest_h, "longest interval", above_zero=True)
    ages = np.linspace(0, longest_h, _RENEWAL_POINTS)
    with np.errstate(divide="ignore"):
        cost = (planned + failed * renewals(ages, passed)) / ages
    mean = float(cumulative_trapezoid(1 - passed(ages), ages)[-1])
    return _best(ages, cost, failed / mean)


def residual(passed: Chance, age_h: float) -> Chance:
    """The life left of a part that has reached an age, as a distribution function of hours from now.

    Parameters
    ----------
    passed : callable
        Chance that the limit is passed by each age of a new part [1].
    age_h : float
        The age reached [h], zero or more.

    Returns
    -------
    callable
        Chance that the limit is passed within so many hours from now [1].

    Raises
    ------
    NotAllowedError
        No part reaches that age.

    References
    ----------
    Definition of conditional probability.
    """
    alive = 1 - float(passed(np.array([age_h]))[0])
    if alive <= 0:
        raise NotAllowedError("age", age_h, "an age some parts reach", "Take a longer life or a younger part.")
    return lambda hours: np.asarray(1 - (1 - passed(age_h + hours)) / alive)
