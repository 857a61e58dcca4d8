"""Prices that make the bound high: first from a coarse grid's linear programme, then uphill step by step.

See docs/explanation/stops.md.
"""

from collections.abc import Callable

import numpy as np
from scipy.optimize import linprog

from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.stops.arcs import RULE, arc_model
from pitchline.stops.instance import RuleKind
from pitchline.stops.priced import Network, Priced, jobs_done, priced_at, slope

COARSE_STEPS = 20
"""Steps of the coarse grid; the duals of its linear programme start the climb."""
_REACH = 0.8
_MEMORY = 0.8
_SHRINK = 0.6
_PATIENCE = 6


def coarse_prices(network: Network, count: int = COARSE_STEPS) -> tuple[FloatArray, float]:
    """Prices from the linear programme that allows a stop at few steps only.

    Parameters
    ----------
    network : Network
        The instance.
    count : int
        About how many steps it allows, from 1.

    Returns
    -------
    prices : ndarray, shape (prices, steps)
        Its dual values, straight lines between its steps [money].
    cost : float
        Its value [money]; about what the whole problem's relaxation costs, not a bound.
    """
    tables = network.tables
    apart = max(1, round(tables.steps / count))
    model = arc_model(tables, np.arange(apart // 2, tables.steps, apart))
    zero = np.zeros(model.below.shape[0])
    solved = linprog(  # type: ignore[call-overload]  # its stubs know no sparse matrices
        model.cost,
        A_ub=model.below,
        b_ub=zero,
        A_eq=model.equal,
        b_eq=model.right_equal,
        method="highs-ds",
    )
    known = np.zeros((len(network.free), len(model.steps)))
    if solved.success:
        _from_rows(network, model.owner, -solved.ineqlin.marginals, known)
        same = [number for number, rule in enumerate(tables.instance.rules) if rule.kind is RuleKind.SAME_TIME]
        if same:
            last = -solved.eqlin.marginals[-len(same) * len(model.steps) :]
            known[len(network.user) + np.array(same)] = last.reshape(len(same), -1)
    between = np.array([np.interp(np.arange(tables.steps), model.steps, row) for row in known])
    return between.reshape(-1, tables.steps), float(solved.fun) if solved.success else float("inf")


def _from_rows(network: Network, owner: IntArray, duals: FloatArray, known: FloatArray) -> None:
    """Put each row's dual value in its price's place."""
    number = {tuple(user): index for index, user in enumerate(network.user.tolist())}
    for (part, group, step), dual in zip(owner.tolist(), duals, strict=True):
        if part >= 0:
            known[number[part, group], step] = dual
        elif part == RULE:
            known[len(network.user) + group, step] = dual


def climb(
    network: Network, prices: FloatArray, target: float, rounds: int, keep_going: Callable[[], bool] = lambda: True
) -> tuple[FloatArray, Priced]:
    """Better prices, by steps along the remembered slope.

    Parameters
    ----------
    network : Network
        The instance.
    prices : ndarray, shape (prices, steps)
        Where to start [money].
    target : float
        About how high the bound may come [money]: the best plan's cost will do.
    rounds : int
        Steps to take, 0 or more.
    keep_going : callable
        Whether there is time for another step.

    Returns
    -------
    prices : ndarray, shape (prices, steps)
        The best seen [money].
    priced : Priced
        The relaxed problem there.

    References
    ----------
    Subgradient steps with Polyak's length and a deflected direction (Camerini, Fratta and Maffioli 1975), from memory.
    """
    here = best = priced_at(network, prices)
    best_prices, reach, waited = prices, _REACH, 0
    bounded = ~network.free[:, None]
    way = np.zeros_like(prices)
    for _ in range(rounds):
        rise = slope(network, here, jobs_done(network, here))
        rise[bounded & (prices <= 0) & (rise < 0)] = 0.0
        way = _MEMORY * way + rise
        length = float((way * way).sum())
        if length == 0.0 or target <= best.bound or not keep_going():
            break
        prices = prices + reach * (target - here.bound) / length * way
        prices = np.where(bounded, np.maximum(prices, 0.0), prices)
        here = priced_at(network, prices)
        if here.bound > best.bound:
            best, best_prices, waited = here, prices, 0
            continue
        waited += 1
        if waited >= _PATIENCE:
            here, prices, way = best, best_prices, np.zeros_like(prices)
            reach, waited = reach * _SHRINK, 0
    return best_prices, best
