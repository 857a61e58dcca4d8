"""The constants of one yard or one machine: most likely values, and draws of what else they may be.

See docs/explanation/outlook.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import minimize
from scipy.special import ndtri

from pitchline.outlook.bounded import bounded
from pitchline.outlook.constants import Constants, Priors
from pitchline.outlook.filter import Filtered, Habits, filter_paths
from pitchline.outlook.grid import FINE, Grid, grid_for
from pitchline.outlook.paths import GROUNDS, FloatArray, Paths
from pitchline.outlook.quadrature import believe, believed, log_marginal_gradient, rates_on
from pitchline.trade.even_points import even_points

_DIFFERENCE, _MOST_DIFFERENCE = FINE.step, 0.2
"""Step for the curvature: a step of the grid, in logs, and the most of it in prior standard deviations. The likelihood at each
rate of the grid has a corner where a part of unknown age may be worn out; a window of one grid step always holds one."""
_SETS = 16
"""Sets of constants for one machine: of the figures no more than 1 % hangs on more of them (measured on the demo yard)."""
_LEAST_CURVATURE = 0.25
_MOST_TURNS, _LONGEST, _ROUNDING = 30, 2.0, 1e-3
"""Turns of the fit, the longest step of one in prior standard deviations, and how far it may go up."""
_CLOSE = 0.4
"""How far off the mode a last step may begin, in posterior standard deviations: it ends within a tenth of that (measured)."""
_CLOSE_ANYWAY = 0.05
"""The same where the curvature is less than it can be at a mode."""
_FARTHEST = 8.0
"""Prior standard deviations that constants are held within, so that the first long step of a line search stays a number."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Constants as standardised numbers: each counts prior standard deviations from its prior mean.

    Parameters
    ----------
    priors : Priors
        What is believed before any reading.
    grounds : tuple of int
        Ground classes whose effect is free; the others stay at their prior mean.
    weighs_pace : bool
        Whether every pace of each kind is weighed where beliefs are made, so that none is among the numbers.
    """

    priors: Priors
    grounds: tuple[int, ...]
    weighs_pace: bool = False

    @property
    def kinds(self) -> int:
        """Number of kinds whose pace is among the numbers."""
        return 0 if self.weighs_pace else self.priors.log_rate.size

    @property
    def mean(self) -> FloatArray:
        """Prior means, shape (p,) [1]."""
        priors = self.priors
        spreads = [spread[0] for spread in priors.spreads]
        return np.concatenate((priors.log_rate[: self.kinds], priors.ground[list(self.grounds)], spreads))

    @property
    def deviation(self) -> FloatArray:
        """Prior standard deviations, shape (p,) [1]."""
        priors = self.priors
        spreads = [spread[1] for spread in priors.spreads]
        return np.concatenate((priors.log_rate_u[: self.kinds], priors.ground_u[list(self.grounds)], spreads))

    def constants(self, standard: FloatArray) -> Constants:
        """Constants from standardised numbers.

        Parameters
        ----------
        standard : ndarray, shape (b, p)
            Prior standard deviations from the prior mean [1].
        """
        raw = self.mean + self.deviation * np.clip(standard, -_FARTHEST, _FARTHEST)
        ground = np.broadcast_to(self.priors.ground, (raw.shape[0], GROUNDS)).copy()
        ground[:, list(self.grounds)] = raw[:, self.kinds : self.kinds + len(self.grounds)]
        constants = Constants(raw[:, : self.kinds], ground, *np.exp(raw[:, -4:]).T)
        if not self.weighs_pace:
            return constants
        mean = self.priors.log_rate
        every = np.broadcast_to(mean, (len(raw), mean.size))
        return replace(constants, log_rate=every, log_rate_u=self.priors.log_rate_u)


@dataclass(frozen=True, slots=True)
class Fit:
    """Most likely constants, and how sure they are.

    Parameters
    ----------
    scale : Scale
        How constants and standardised numbers relate.
    mode : ndarray, shape (p,)
        Most likely standardised constants [1].
    covariance_root : ndarray, shape (p, p)
        A matrix whose product with its transpose is their covariance [1].

    References
    ----------
    Laplace's approximation (textbook).
    """

    scale: Scale
    mode: FloatArray
    covariance_root: FloatArray

    def draws(self, sets: int, seed: int = 0) -> Constants:
        """Sets of constants spread evenly over what they may be.

        Parameters
        ----------
        sets : int
            How many, a power of two.
        seed : int
            Seed of the scrambling; the same seed gives the same sets.

        Returns
        -------
        Constants
            Each set as likely as the other.

        References
        ----------
        Scrambled Sobol points (Owen, J. Complexity 14 (1998) 466, from memory), `pitchline.trade.even_points`: for 12 parts
        and 32 sets the spread of the cautious figure over seeds is about half that of as many mirrored random draws (measured).
        """
        # What is wanted is a mean over the posterior, in five dimensions or more, from as few sets as a page can wait for.
        # Points that fill the cube evenly leave a fraction of the error of random ones; scrambled, none is on its edge.
        even = even_points(self.mode.size, sets, seed)
        return self.scale.constants(self.mode + ndtri(even) @ self.covariance_root.T)


def free_scale(paths: Paths, priors: Priors, future_ground: int | Sequence[int]) -> Scale:
    """The scale on which constants are fitted: the effect of each ground worked in is free, the reference's is not.

    The pace of each kind is free too; `fit` weighs it instead where there is one machine.

    Parameters
    ----------
    paths : Paths
        The parts.
    priors : Priors
        What is believed before any reading.
    future_ground : int or sequence of int
        Ground class or classes of the hours to come.
    """
    to_come = (future_ground,) if isinstance(future_ground, int) else future_ground
    worked = sorted({*paths.grounds, *to_come})
    return Scale(priors, tuple(ground for ground in worked if priors.ground_u[ground] > 0))


def fit(paths: Paths, priors: Priors, habits: Habits, future_ground: int | Sequence[int]) -> Fit:
    """Constants learned from wear paths, starting from priors.

    Parameters
    ----------
    paths : Paths
        n parts on one machine or many.
    priors : Priors
        What is believed before any reading.
    habits : Habits
        How often records leave something out.
    future_ground : int or sequence of int
        Ground class or classes of the hours to come, so that their effects are kept free too.

    Returns
    -------
    Fit
        Of one machine the mode by Newton's method, with every pace of its kinds weighed, and the inverse curvature where the last
        step began; of several by BFGS with exact gradients, the pace of each kind among the constants.

    References
    ----------
    Empirical Bayes with Laplace's approximation (textbook); see docs/explanation/outlook.md.
    """
    scale = replace(free_scale(paths, priors, future_ground), weighs_pace=bool(paths.group[-1] == 0))

    if not scale.weighs_pace:
        mode = _by_many_steps(paths, scale, habits)
        return Fit(scale, mode, _curved(mode, paths, scale, habits)[2])
    at, step, least = np.zeros(scale.mean.size), np.zeros(scale.mean.size), np.inf
    for _ in range(_MOST_TURNS):
        value, gradient, root, sound = _curved(at + step, paths, scale, habits)
        if not value <= least + _ROUNDING:
            step = step / 2
            continue
        # Newton's step, in standard deviations: the curvature is known at every turn, and so is how far off the mode still is.
        at, least, off = at + step, value, root.T @ gradient
        step = -root @ off
        step *= min(1.0, _LONGEST / float(np.abs(step).max()))
        # Where the curvature is no bowl's, how far off the mode is cannot be told: the fit goes on until it hardly moves.
        if float(np.linalg.norm(off)) < (_CLOSE if sound else _CLOSE_ANYWAY):
            break
    return Fit(scale, at + step, root)


def _by_many_steps(paths: Paths, scale: Scale, habits: Habits) -> FloatArray:
    """The mode where the pace of each kind is among the numbers: far from where it begins, and along bent valleys."""

    def at(standard: FloatArray) -> tuple[float, FloatArray]:
        beliefs = believe(paths, scale.constants(standard[None]), habits, scale.grounds)
        gradient = standard - log_marginal_gradient(beliefs, scale.kinds, scale.grounds)[0] * scale.deviation
        return 0.5 * float(standard @ standard) - float(beliefs.log_marginal[0]), gradient

    found = minimize(at, np.zeros(scale.mean.size), jac=True, method="BFGS", options={"gtol": 1e-3, "maxiter": 60})
    return np.asarray(found.x, float)


def _curved(
    at: FloatArray, paths: Paths, scale: Scale, habits: Habits
) -> tuple[float, FloatArray, FloatArray, bool]:
    """Minus log posterior at standardised constants, its gradient, a root of the inverse of its curvature, and if that is sound.

    The curvature is told by the gradients there and a step off it.
    """
    step = np.minimum(_DIFFERENCE / scale.deviation, _MOST_DIFFERENCE)
    moved = at + np.vstack((np.zeros(at.size), np.diag(step)))
    filtered, grid = _filtered_about(at, step, paths, scale, habits)
    beliefs = believed(filtered, paths, scale.constants(moved), habits, grid)
    gradient = moved - log_marginal_gradient(beliefs, scale.kinds, scale.grounds) * scale.deviation
    hessian = (gradient[1:] - gradient[0]) / step[:, None]
    curvature, axes = np.linalg.eigh((hessian + hessian.T) / 2)
    # Where the readings say nothing the prior's own curvature is 1; less than a quarter of it is noise of the differences.
    root = (axes / np.sqrt(np.maximum(curvature, _LEAST_CURVATURE))) @ axes.T
    value, sound = 0.5 * float(at @ at) - float(beliefs.log_marginal[0]), bool(curvature[0] > _LEAST_CURVATURE)
    return value, gradient[0], root, sound


def _filtered_about(
    mode: FloatArray, step: FloatArray, paths: Paths, scale: Scale, habits: Habits
) -> tuple[Filtered, Grid]:
    """What each part's readings say at the mode and a step up along each constant in turn, and the grid.

    A part feels the rate of its own kind alone, and the spreads between machines and between parts not at all. So all kinds
    are moved at once, and each part picks the mode or one of few sets: a third of the work.
    """
    size, kinds = mode.size, scale.kinds
    felt = [*range(kinds, size - 4), size - 2, size - 1]
    by_kind = [np.where(np.arange(size) < kinds, step, 0.0)] if kinds else []
    constants = scale.constants(mode + np.vstack((np.zeros(size), *by_kind, np.diag(step)[felt])))
    grid = grid_for(paths, constants)
    filtered = filter_paths(paths, rates_on(grid, paths, constants), constants, habits, scale.grounds)
    which = np.zeros((1 + size, paths.kind.size), np.int64)
    if kinds:
        which[1 + paths.kind, np.arange(paths.kind.size)] = 1
    which[1 + np.array(felt)] = 1 + len(by_kind) + np.arange(len(felt))[:, None]
    return filtered.picked(which), grid


def sets_for(parts: int, fitted: Fit) -> int:
    """How many sets of constants some machines are worth: fewer parts cost less and gain more.

    Parameters
    ----------
    parts : int
        Wear paths, from 1.
    fitted : Fit
        Of those machines.

    Returns
    -------
    int
        A power of two: 16, or up to 64 where the pace of each kind is among the constants.

    References
    ----------
    Our own choice.
    """
    return _SETS if fitted.scale.weighs_pace else int(np.clip(2 ** np.ceil(np.log2(1024 / parts)), _SETS, 64))


def constants_for(
    paths: Paths, priors: Priors, habits: Habits, future_ground: int | Sequence[int], seed: int = 0
) -> Constants:
    """Sets of constants a few machines leave likely, for integrating over them.

    Parameters
    ----------
    paths : Paths
        n parts, on fewer than about 30 machines.
    priors : Priors
        What is believed before any reading.
    habits : Habits
        How often records leave something out.
    future_ground : int or sequence of int
        Ground class or classes of the hours to come.
    seed : int
        Seed of the sets.

    Returns
    -------
    Constants
        16 to 64 sets, each as likely as the other.
    """
    heard = bounded(paths, priors)
    fitted = fit(heard, priors, habits, future_ground)
    return fitted.draws(sets_for(paths.kind.size, fitted), seed)
