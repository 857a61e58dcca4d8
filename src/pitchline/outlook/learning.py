"""Constants learned from the wear paths of many machines."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import minimize

from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import Scale
from pitchline.outlook.paths import FloatArray, Paths
from pitchline.outlook.quadrature import FINE, FINE_SINGLE, believe, machine_gradients

_FIRST_MACHINES, _SECOND_MACHINES = 24, 200
_BLOCK = 16
_DIFFERENCE = 5e-3
_CLOSE, _ROUGHLY_CLOSE = 0.05, 0.3
_MOST_STEPS, _MOST_HALVINGS = 25, 5
_ROUNDING = 0.02
_LEAST_CURVATURE = 0.25


@dataclass(frozen=True, slots=True)
class Slope:
    """Minus log posterior of the constants at a point, and its gradients.

    Parameters
    ----------
    value : float
        Minus log posterior [1].
    gradient : ndarray, shape (p,)
        Its gradient [1].
    by_machine : ndarray, shape (m, p)
        Gradient of each machine's log marginal [1].

    References
    ----------
    Definition.
    """

    value: float
    gradient: FloatArray
    by_machine: FloatArray

    @property
    def sound(self) -> bool:
        """Whether value and gradient are numbers."""
        return bool(np.isfinite(self.value) and np.isfinite(self.gradient).all())


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
    Quasi-Newton steps on a few machines, on more, on all, each stage beginning where the last one ended; see climb.
    """
    machines = int(paths.group[-1]) + 1
    few = evenly(paths, _FIRST_MACHINES)
    mode = _descend(np.zeros(scale.mean.size), few, scale, habits)
    if machines > _SECOND_MACHINES:
        mode = climb(mode, evenly(paths, _SECOND_MACHINES), scale, habits, _ROUGHLY_CLOSE)
    if machines > _FIRST_MACHINES:
        mode = climb(mode, paths, scale, habits, _CLOSE)
    known = evenly(paths, _SECOND_MACHINES)
    times = machines / min(machines, _SECOND_MACHINES)
    return mode, _scaled(_inverse(_curvature(mode, known, scale, habits)), times)


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


def objective(standard: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> Slope:
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
    Slope
        There.

    References
    ----------
    See docs/explanation/outlook.md.
    """
    group = paths.group
    grid = FINE if int(group[-1]) < _FIRST_MACHINES else FINE_SINGLE
    constants = scale.constants(standard[None])
    value, by_machine = 0.5 * float(standard @ standard), []
    edges = np.searchsorted(group, np.arange(0, int(group[-1]) + 1 + _BLOCK, _BLOCK))
    for low, high in pairwise(edges):
        if high > low:
            beliefs = believe(paths.rows(slice(int(low), int(high))), constants, habits, scale.grounds, grid)
            value -= float(beliefs.log_marginal[0])
            by_machine.append(machine_gradients(beliefs, scale.kinds, scale.grounds)[0] * scale.deviation)
    each = np.concatenate(by_machine)
    return Slope(value, standard - each.sum(axis=0), each)


def climb(mode: FloatArray, paths: Paths, scale: Scale, habits: Habits, close: float) -> FloatArray:
    """Most likely constants by quasi-Newton steps.

    Parameters
    ----------
    mode : ndarray, shape (p,)
        Where to begin [1].
    paths : Paths
        The fleet.
    scale : Scale
        How constants and standardised numbers relate.
    habits : Habits
        How often records leave something out.
    close : float
        Ends when no constant would move by this share of its standard deviation [1].

    Returns
    -------
    ndarray, shape (p,)
        Standardised constants [1].

    References
    ----------
    Berndt, Hall, Hall and Hausman 1974 (from memory): the machines' own gradients give a first curvature that is never indefinite;
    BFGS updates correct it; steps are shortened along the parabola through what is known (textbook).
    """
    here = objective(mode, paths, scale, habits)
    inverse = _inverse(np.eye(mode.size) + here.by_machine.T @ here.by_machine)
    sure = np.sqrt(np.diag(inverse))
    for _ in range(_MOST_STEPS):
        step = -inverse @ here.gradient
        if float(np.max(np.abs(step) / sure)) < close:
            break
        step, there = _shortened(step, mode, here, lambda at: objective(at, paths, scale, habits))
        if there is None:
            break
        inverse = _updated(inverse, step, there.gradient - here.gradient)
        mode, here = mode + step, there
    return mode


def _shortened(
    step: FloatArray, mode: FloatArray, here: Slope, at: Callable[[FloatArray], Slope]
) -> tuple[FloatArray, Slope | None]:
    """The step, cut until it goes down, with the slope at its end; None where no step does."""
    for _ in range(_MOST_HALVINGS):
        there = at(mode + step)
        if there.sound and there.value <= here.value + _ROUNDING:
            return step, there
        down = float(step @ here.gradient)
        cut = -down / (2 * (there.value - here.value - down)) if there.sound else 0.25
        step = step * float(np.clip(cut, 0.1, 0.5))
    return step, None


def _updated(inverse: FloatArray, step: FloatArray, change: FloatArray) -> FloatArray:
    """Inverse curvature that now agrees with a change of gradient along a step."""
    along = float(step @ change)
    if along < 1e-8:
        return inverse
    left = np.eye(step.size) - np.outer(step, change) / along
    return np.asarray(left @ inverse @ left.T + np.outer(step, step) / along)


def _descend(start: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> FloatArray:
    def at(standard: FloatArray) -> tuple[float, FloatArray]:
        slope = objective(standard, paths, scale, habits)
        return slope.value, slope.gradient

    begin = 0.1 * np.eye(start.size)
    found = minimize(at, start, jac=True, method="BFGS", options={"gtol": 0.05, "maxiter": 60, "hess_inv0": begin})
    return np.asarray(found.x, float)


def _curvature(at: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> FloatArray:
    rows = []
    for number in range(at.size):
        step = np.zeros(at.size)
        step[number] = _DIFFERENCE
        up, down = (objective(at + way * step, paths, scale, habits).gradient for way in (1, -1))
        rows.append((up - down) / (2 * _DIFFERENCE))
    return (np.array(rows) + np.array(rows).T) / 2


def _inverse(curvature: FloatArray) -> FloatArray:
    """Inverse of a curvature, which counts as at least a quarter of what the prior gives in any direction."""
    size, axes = np.linalg.eigh(curvature)
    return np.asarray((axes / np.maximum(size, _LEAST_CURVATURE)) @ axes.T)


def _scaled(covariance: FloatArray, times: float) -> FloatArray:
    """Covariance with so many times the readings; the prior stays what it is."""
    information, identity = np.linalg.inv(covariance), np.eye(len(covariance))
    return _inverse(identity + times * (information - identity))
