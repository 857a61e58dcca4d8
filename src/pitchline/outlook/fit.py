"""The constants of one yard or one machine: most likely values, and draws of what else they may be.

See docs/explanation/outlook.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize
from scipy.special import ndtri

from pitchline.outlook.bounded import bounded
from pitchline.outlook.constants import Constants, Priors
from pitchline.outlook.filter import Filtered, Habits, filter_paths
from pitchline.outlook.paths import GROUNDS, FloatArray, Paths
from pitchline.outlook.quadrature import FINE, Beliefs, believe, believed, log_marginal_gradient, rates_on
from pitchline.trade.even_points import even_points

_DIFFERENCE, _MOST_DIFFERENCE = FINE.step / 2, 0.1
"""Step for the curvature: half a step of the grid, in logs, and the most of it in prior standard deviations. The likelihood at
each rate of the grid has a corner where a part of unknown age may be worn out; a window of one grid step always holds one."""
_LEAST_CURVATURE = 0.25
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
    """

    priors: Priors
    grounds: tuple[int, ...]

    @property
    def kinds(self) -> int:
        """Number of kinds."""
        return self.priors.log_rate.size

    @property
    def mean(self) -> FloatArray:
        """Prior means, shape (p,) [1]."""
        priors = self.priors
        spreads = [spread[0] for spread in priors.spreads]
        return np.concatenate((priors.log_rate, priors.ground[list(self.grounds)], spreads))

    @property
    def deviation(self) -> FloatArray:
        """Prior standard deviations, shape (p,) [1]."""
        priors = self.priors
        spreads = [spread[1] for spread in priors.spreads]
        return np.concatenate((priors.log_rate_u, priors.ground_u[list(self.grounds)], spreads))

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
        spreads = np.exp(raw[:, -4:])
        return Constants(raw[:, : self.kinds], ground, *spreads.T)


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
        # What is wanted is a mean over the posterior, in twelve or more dimensions, from as few sets as a page can wait for.
        # Points that fill the cube evenly leave a fraction of the error of random ones; scrambled, none is on its edge.
        even = even_points(self.mode.size, sets, seed)
        return self.scale.constants(self.mode + ndtri(even) @ self.covariance_root.T)


def free_scale(paths: Paths, priors: Priors, future_ground: int | Sequence[int]) -> Scale:
    """The scale on which constants are fitted: the effect of each ground worked in is free, the reference's is not.

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


def _objective(standard: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> tuple[FloatArray, FloatArray]:
    """Minus log posterior and its gradient at each of b standardised sets."""
    beliefs = believe(paths, scale.constants(standard), habits, scale.grounds)
    return 0.5 * (standard**2).sum(axis=1) - beliefs.log_marginal, _gradient(standard, beliefs, scale)


def _gradient(standard: FloatArray, beliefs: Beliefs, scale: Scale) -> FloatArray:
    return standard - log_marginal_gradient(beliefs, scale.kinds, scale.grounds) * scale.deviation


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
        Mode by BFGS with exact gradients, covariance by the inverse Hessian there.

    References
    ----------
    Empirical Bayes with Laplace's approximation (textbook); see docs/explanation/outlook.md.
    """
    scale = free_scale(paths, priors, future_ground)

    def at(standard: FloatArray) -> tuple[float, FloatArray]:
        value, gradient = _objective(standard[None], paths, scale, habits)
        return float(value[0]), gradient[0]

    found = minimize(at, np.zeros(scale.mean.size), jac=True, method="BFGS", options={"gtol": 1e-3, "maxiter": 60})
    mode = np.asarray(found.x, float)
    return Fit(scale, mode, _covariance_root(mode, paths, scale, habits))


def _covariance_root(mode: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> FloatArray:
    """A root of the inverse of the curvature, which is told by the gradients a step to either side of the mode."""
    size = mode.size
    step = np.minimum(_DIFFERENCE / scale.deviation, _MOST_DIFFERENCE)
    moved = mode + np.concatenate((np.diag(step), -np.diag(step)))
    filtered = _filtered_about(mode, step, paths, scale, habits)
    gradient = _gradient(moved, believed(filtered, paths, scale.constants(moved), habits), scale)
    hessian = (gradient[:size] - gradient[size:]) / (2 * step[:, None])
    curvature, axes = np.linalg.eigh((hessian + hessian.T) / 2)
    # Where the readings say nothing the prior's own curvature is 1; less than a quarter of it is noise of the differences.
    return np.asarray((axes / np.sqrt(np.maximum(curvature, _LEAST_CURVATURE))) @ axes.T)


def _filtered_about(mode: FloatArray, step: FloatArray, paths: Paths, scale: Scale, habits: Habits) -> Filtered:
    """What each part's readings say a step up, then a step down, along each constant in turn.

    A part feels the rate of its own kind alone, and the spreads between machines and between parts not at all. So all kinds
    are moved at once, and each part picks the mode or one of few sets: a third of the work.
    """
    size, kinds = mode.size, scale.kinds
    by_kind = np.where(np.arange(size) < kinds, step, 0.0)
    felt = [*range(kinds, size - 4), size - 2, size - 1]
    each = np.diag(step)[felt]
    constants = scale.constants(mode + np.vstack((np.zeros(size), by_kind, -by_kind, each, -each)))
    filtered = filter_paths(paths, rates_on(FINE, paths, constants), constants, habits, scale.grounds)
    which = np.zeros((2, size, paths.kind.size), np.int64)
    for up, way in enumerate(which):
        way[paths.kind, np.arange(paths.kind.size)] = 1 + up
        way[felt] = 3 + up * len(felt) + np.arange(len(felt))[:, None]
    return filtered.picked(which.reshape(2 * size, -1))


def sets_for(parts: int) -> int:
    """How many sets of constants a machine is worth: fewer parts cost less and gain more.

    Parameters
    ----------
    parts : int
        Wear paths, from 1.

    Returns
    -------
    int
        A power of two, 16 to 64.

    References
    ----------
    Our own choice: the cautious figure moves by about 2 % from seed to seed (measured on the demo yard).

    Examples
    --------
    >>> sets_for(6), sets_for(24), sets_for(100)
    (64, 64, 16)
    """
    return int(np.clip(2 ** np.ceil(np.log2(1024 / parts)), 16, 64))


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
    return fit(heard, priors, habits, future_ground).draws(sets_for(paths.kind.size), seed)
