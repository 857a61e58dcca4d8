"""Constants learned from the wear paths of many machines."""

from itertools import pairwise

import numpy as np
from scipy.optimize import minimize

from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import Scale
from pitchline.outlook.paths import FloatArray, Paths
from pitchline.outlook.quadrature import FINE, FINE_SINGLE, believe, log_marginal_gradient

_STAGES = (24, 240)
_BLOCK = 16
_DIFFERENCE = 5e-3
_CLOSE = 0.05
_MOST_STEPS = 10
_ROUNDING = 0.02


def most_likely(paths: Paths, scale: Scale, habits: Habits) -> tuple[FloatArray, FloatArray]:
    """Most likely constants of a fleet, and how sure they are.

    Parameters
    ----------
    paths : Paths
        n parts on any number of machines.
    scale : Scale
        How constants and standardised numbers relate.
    habits : Habits
        How often records leave something out.

    Returns
    -------
    mode : ndarray, shape (p,)
        Most likely standardised constants [1].
    covariance : ndarray, shape (p, p)
        Their covariance by the curvature there [1].

    References
    ----------
    Newton's method with exact gradients; the curvature comes from differences of them on up to 240 machines spread evenly
    over the fleet, scaled to all of it (our own; contracts by about a tenth a step).
    """
    machines = int(paths.group[-1]) + 1
    mode = np.zeros(scale.mean.size)
    covariance = np.asarray(np.eye(mode.size))
    before = 0
    for stage in _STAGES:
        few = evenly(paths, stage)
        now = min(stage, machines)
        grown = _scaled(covariance, now / before) if before else 0.1 * covariance
        mode = _newton(mode, grown, few, scale, habits) if before else _descend(mode, grown, few, scale, habits)
        covariance = np.asarray(np.linalg.inv(_curvature(mode, few, scale, habits)))
        before = now
        if now == machines:
            return mode, covariance
    covariance = _scaled(covariance, machines / before)
    return _newton(mode, covariance, paths, scale, habits), covariance


def evenly(paths: Paths, most: int) -> Paths:
    """Some of the machines, spread evenly.

    Parameters
    ----------
    paths : Paths
        The fleet.
    most : int
        How many machines at most.

    Returns
    -------
    Paths
        All parts of those machines.

    References
    ----------
    Definition.
    """
    group = paths.group
    machines = int(group[-1]) + 1
    if machines <= most:
        return paths
    chosen = np.unique(np.linspace(0, machines - 1, most).round().astype(np.int64))
    return paths.rows(np.flatnonzero(np.isin(group, chosen)))


def objective(standard: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> tuple[float, FloatArray]:
    """Minus log posterior of the constants, and its gradient.

    Parameters
    ----------
    standard : ndarray, shape (p,)
        Standardised constants [1].
    paths : Paths
        The fleet.
    scale : Scale
        How constants and standardised numbers relate.
    habits : Habits
        How often records leave something out.

    Returns
    -------
    value : float
        Minus log posterior [1].
    gradient : ndarray, shape (p,)
        Its gradient [1].

    References
    ----------
    See docs/explanation/outlook.md.
    """
    group = paths.group
    grid = FINE if int(group[-1]) < _STAGES[0] else FINE_SINGLE
    constants = scale.constants(standard[None])
    value, gradient = 0.5 * float(standard @ standard), standard.copy()
    edges = np.searchsorted(group, np.arange(0, int(group[-1]) + 1 + _BLOCK, _BLOCK))
    for low, high in pairwise(edges):
        if high > low:
            beliefs = believe(paths.rows(slice(int(low), int(high))), constants, habits, scale.grounds, grid)
            value -= float(beliefs.log_marginal[0])
            gradient -= log_marginal_gradient(beliefs, scale.kinds, scale.grounds)[0] * scale.deviation
    return value, gradient


def _descend(start: FloatArray, inverse: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> FloatArray:
    def at(standard: FloatArray) -> tuple[float, FloatArray]:
        return objective(standard, paths, scale, habits)

    found = minimize(
        at,
        start,
        jac=True,
        method="BFGS",
        options={"gtol": 0.05, "maxiter": 60, "hess_inv0": (inverse + inverse.T) / 2},
    )
    return np.asarray(found.x, float)


def _curvature(at: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> FloatArray:
    rows = []
    for number in range(at.size):
        step = np.zeros(at.size)
        step[number] = _DIFFERENCE
        up, down = (objective(at + way * step, paths, scale, habits)[1] for way in (1, -1))
        rows.append((up - down) / (2 * _DIFFERENCE))
    hessian = (np.array(rows) + np.array(rows).T) / 2
    curvature, axes = np.linalg.eigh(hessian)
    return np.asarray((axes * np.maximum(curvature, 0.25)) @ axes.T)


def _scaled(covariance: FloatArray, times: float) -> FloatArray:
    """Covariance with so many times the readings; the prior stays what it is."""
    information = np.linalg.inv(covariance)
    identity = np.eye(len(information))
    curvature, axes = np.linalg.eigh(identity + times * (information - identity))
    return np.asarray((axes / np.maximum(curvature, 0.25)) @ axes.T)


def _newton(mode: FloatArray, covariance: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> FloatArray:
    sure = np.sqrt(np.diag(covariance))
    value, gradient = objective(mode, paths, scale, habits)
    for _ in range(_MOST_STEPS):
        step = -covariance @ gradient
        if float(np.max(np.abs(step) / sure)) < _CLOSE:
            break
        there, there_gradient = objective(mode + step, paths, scale, habits)
        if there > value + _ROUNDING:
            step = step / 4
            there, there_gradient = objective(mode + step, paths, scale, habits)
            if there > value + _ROUNDING:
                break
        mode, value, gradient = mode + step, there, there_gradient
    return mode
