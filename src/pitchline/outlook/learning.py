"""Constants learned from the wear paths of many machines.

See docs/explanation/outlook.md.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np
from scipy.optimize import minimize

from pitchline.outlook.filter import Habits, filter_paths
from pitchline.outlook.fit import Scale
from pitchline.outlook.grid import FINE, FINE_SINGLE, Grid
from pitchline.outlook.late import USUAL_BEGINS, Late, log_stretch, none_late, straightened
from pitchline.outlook.paths import FloatArray, Paths
from pitchline.outlook.quadrature import Beliefs, believe, machine_gradients

_FIRST_MACHINES, _SECOND_MACHINES = 24, 200
_BLOCK, _SHARE = 16, 64
_DIFFERENCE = 5e-3
_CLOSE, _ROUGHLY_CLOSE = 0.05, 0.3
_MOST_STEPS, _MOST_HALVINGS = 25, 5
_ROUNDING = 0.02
_LEAST_CURVATURE = 0.25
MACHINES_FOR_LATE = 30
"""Fewer machines than this say too little about a change of pace late in life."""
LEAST_TIMES = 1.05
"""A smaller change of pace is left out: it is no more than what learning it would add in doubt."""
_BEGINS_U, _LOG_TIMES = 0.12, 0.25
_BEGINS_WITHIN = (0.2, 0.95)
_LATE_DIFFERENCE = 0.05


_Terms: TypeAlias = list[tuple[float, FloatArray]]
"""Of each block of machines: its log marginal, and the gradient of each machine's."""
Each: TypeAlias = Callable[[Callable[..., Any], Iterable[tuple[Any, ...]]], Iterator[Any]]
"""Calls a function with one task after the other, perhaps elsewhere, and gives what comes of them in their order."""


def in_turn(work: Callable[..., Any], tasks: Iterable[tuple[Any, ...]]) -> Iterator[Any]:
    """Each task done here, when it is asked for."""
    return (work(*task) for task in tasks)


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
    """

    value: float
    gradient: FloatArray
    by_machine: FloatArray

    @property
    def sound(self) -> bool:
        """Whether value and gradient are numbers."""
        return bool(np.isfinite(self.value) and np.isfinite(self.gradient).all())


@dataclass(frozen=True, slots=True)
class Found:
    """Most likely constants of a fleet, how sure they are, and how wear goes on late in life.

    Parameters
    ----------
    mode : ndarray, shape (p,)
        Most likely standardised constants [1].
    covariance : ndarray, shape (p, p)
        Their covariance by the curvature close by [1].
    late : Late
        Change of pace of each kind.
    """

    mode: FloatArray
    covariance: FloatArray
    late: Late


def most_likely(paths: Paths, scale: Scale, habits: Habits, each: Each = in_turn) -> Found:
    """Most likely constants of a fleet, and how sure they are.

    Parameters
    ----------
    paths : Paths
        n parts on any number of machines.
    scale : Scale
        How constants and standardised numbers relate.
    habits : Habits
        How often records leave something out.
    each : callable
        Who adds up; the same sums whoever does.

    Returns
    -------
    Found
        A change of pace is learned from 30 machines on; fewer leave it out.

    References
    ----------
    Quasi-Newton steps on a few machines, on more, on all, each stage beginning where the last one ended; see climb. A change of
    pace is learned in the middle stage.
    """
    machines, size = int(paths.group[-1]) + 1, scale.mean.size
    begin = np.zeros(size + 1 + scale.kinds)
    begin[:size] = _descend(begin[:size], evenly(paths, _FIRST_MACHINES), scale, habits)
    known, late = evenly(paths, _SECOND_MACHINES), none_late(scale.kinds)
    if machines >= MACHINES_FOR_LATE:
        for _ in range(2):
            begin = climb(begin, lambda at: late_objective(at, known, scale, habits, each), _ROUGHLY_CLOSE)
        late = _late(begin[size:])
        late = Late(late.begins, np.where(late.times < LEAST_TIMES, 1.0, late.times))
    even, mode = straightened(paths, late), begin[:size]
    times = machines / min(machines, _SECOND_MACHINES)
    covariance = _scaled(_inverse(_curvature(mode, straightened(known, late), scale, habits, each)), times)
    if machines > _FIRST_MACHINES:
        mode = climb(mode, lambda at: objective(at, even, scale, habits, each), _CLOSE, covariance)
    return Found(mode, covariance, late)


def evenly(paths: Paths, most: int) -> Paths:
    """Some of the machines, spread evenly."""
    group = paths.group
    machines = int(group[-1]) + 1
    if machines <= most:
        return paths
    chosen = np.unique(np.linspace(0, machines - 1, most).round().astype(np.int64))
    return paths.rows(np.flatnonzero(np.isin(group, chosen)))


def objective(standard: FloatArray, paths: Paths, scale: Scale, habits: Habits, each: Each = in_turn) -> Slope:
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
    each : callable
        Who adds up.
    """
    grid = FINE if int(paths.group[-1]) < _FIRST_MACHINES else FINE_SINGLE
    return _summed(_terms, standard, paths, (scale, habits, grid), each)


def _terms(standard: FloatArray, paths: Paths, scale: Scale, habits: Habits, grid: Grid) -> _Terms:
    constants = scale.constants(standard[None])
    found = []
    for rows in _blocks(paths, _BLOCK):
        beliefs = believe(rows, constants, habits, scale.grounds, grid)
        own = machine_gradients(beliefs, scale.kinds, scale.grounds)[0] * scale.deviation
        found.append((float(beliefs.log_marginal[0]), own))
    return found


def _summed(
    terms: Callable[..., _Terms], standard: FloatArray, paths: Paths, rest: tuple[Any, ...], each: Each
) -> Slope:
    """The terms of all machines, added up block by block in their order: the same bits whoever worked them out."""
    shares = list(_blocks(paths, _SHARE))
    handed = in_turn if len(shares) == 1 else each
    value, by_machine = 0.5 * float(standard @ standard), []
    for share in handed(terms, [(standard, share, *rest) for share in shares]):
        for log_marginal, own in share:
            value -= log_marginal
            by_machine.append(own)
    whole = np.concatenate(by_machine)
    return Slope(value, standard - whole.sum(axis=0), whole)


def late_objective(
    standard: FloatArray, paths: Paths, scale: Scale, habits: Habits, each: Each = in_turn
) -> Slope:
    """Minus log posterior of the constants and the change of pace together, and its gradient.

    Parameters
    ----------
    standard : ndarray, shape (p + 1 + k,)
        Standardised constants, then where the pace changes and by how many times for each kind [1].
    paths : Paths
        The fleet, as read.
    scale : Scale
        How constants and standardised numbers relate.
    habits : Habits
        How often records leave something out.
    each : callable
        Who adds up.

    References
    ----------
    Fisher's identity (textbook): rates keep their weights while the change of pace is moved a little, to both sides.
    """
    return _summed(_late_terms, standard, paths, (scale, habits), each)


def _late_terms(standard: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> _Terms:
    size, shape = scale.mean.size, standard[scale.mean.size :]
    constants, late = scale.constants(standard[None, :size]), _late(shape)
    found = []
    for rows in _blocks(paths, _BLOCK):
        even = straightened(rows, late)
        beliefs = believe(even, constants, habits, scale.grounds, FINE_SINGLE)
        log_marginal = float(beliefs.log_marginal[0] + log_stretch(rows, late).sum())
        own = machine_gradients(beliefs, scale.kinds, scale.grounds)[0] * scale.deviation
        found.append((log_marginal, np.hstack((own, _late_gradients(rows, beliefs, shape, habits)))))
    return found


def _late_gradients(rows: Paths, beliefs: Beliefs, shape: FloatArray, habits: Habits) -> FloatArray:
    """Of each machine's log marginal by the standardised change of pace, shape (m, 1 + k)."""
    moves = np.zeros((2, shape.size))
    moves[0, 0], moves[1, 1:] = _LATE_DIFFERENCE, _LATE_DIFFERENCE
    by_part = []
    for move in moves:
        up, down = (_log_like(rows, beliefs, _late(shape + way * move), habits) for way in (1, -1))
        by_part.append((up - down) / (2 * _LATE_DIFFERENCE))
    owner = (rows.group[:, None] == np.arange(beliefs.machine.shape[1])).astype(float)
    kind = (rows.kind[:, None] == np.arange(shape.size - 1)).astype(float)
    return np.asarray(owner.T @ np.column_stack((by_part[0], by_part[1][:, None] * kind)))


def _log_like(rows: Paths, beliefs: Beliefs, late: Late, habits: Habits) -> FloatArray:
    """Log likelihood of each part as read, mean over the rates believed in, shape (n,)."""
    filtered = filter_paths(straightened(rows, late), beliefs.rate_log, beliefs.constants, habits)
    return np.asarray((beliefs.weight[0] * filtered.log_like[0]).sum(axis=1) + log_stretch(rows, late))


def _late(standard: FloatArray) -> Late:
    """Never slower late in life: parts taken off before they are read again make the survivors look as if they slowed down."""
    begins = np.clip(USUAL_BEGINS + _BEGINS_U * standard[0], *_BEGINS_WITHIN)
    return Late(float(begins), np.exp(_LOG_TIMES * np.logaddexp(0.0, 1.5 * (np.clip(standard[1:], -8, 8) - 1))))


def _blocks(paths: Paths, machines: int) -> Iterator[Paths]:
    group = paths.group
    edges = np.searchsorted(group, np.arange(0, int(group[-1]) + 1 + machines, machines))
    for low, high in pairwise(edges):
        if high > low:
            yield paths.rows(slice(int(low), int(high)))


def climb(
    mode: FloatArray, slope_at: Callable[[FloatArray], Slope], close: float, covariance: FloatArray | None = None
) -> FloatArray:
    """Most likely constants by quasi-Newton steps.

    Parameters
    ----------
    mode : ndarray, shape (p,)
        Where to begin [1].
    slope_at : callable, ndarray of shape (p,) to Slope
        Minus log posterior [1] and its gradients at standardised constants.
    close : float
        Ends when no constant would move by this share of its standard deviation [1].
    covariance : ndarray, shape (p, p), or None
        About how sure they will be [1]; None judges by the machines' own gradients.

    Returns
    -------
    ndarray, shape (p,)
        Standardised constants [1].

    References
    ----------
    Berndt, Hall, Hall and Hausman 1974 (from memory): the machines' own gradients give a first curvature that is never
    indefinite; BFGS updates correct it; steps are shortened along the parabola through what is known (textbook).
    """
    here = slope_at(mode)
    inverse = covariance
    if inverse is None:
        inverse = _inverse(np.eye(mode.size) + here.by_machine.T @ here.by_machine)
    sure = np.sqrt(np.diag(inverse))
    for _ in range(_MOST_STEPS):
        step = -inverse @ here.gradient
        if float(np.max(np.abs(step) / sure)) < close:
            break
        step, there = _shortened(step, mode, here, slope_at)
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


def _curvature(at: FloatArray, paths: Paths, scale: Scale, habits: Habits, each: Each) -> FloatArray:
    rows = []
    for number in range(at.size):
        step = np.zeros(at.size)
        step[number] = _DIFFERENCE
        up, down = (objective(at + way * step, paths, scale, habits, each).gradient for way in (1, -1))
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
