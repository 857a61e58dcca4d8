"""A forecast that is a mixture of normals: how likely something smaller was, and its score once the truth is known."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.special import ndtr

from pitchline.outlook.branches import far_off_moments
from pitchline.outlook.filter import Habits
from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.outlook.quadrature import Beliefs

_REACH = 6.0
_NODES = 32


@dataclass(frozen=True, slots=True)
class Mixture:
    """n forecasts, each a mixture of k normals.

    Parameters
    ----------
    weight : ndarray, shape (n, k)
        Weight of each normal [1], zero or more; each row sums to 1.
    mean : ndarray, shape (n, k)
        Their means [any unit].
    deviation : ndarray, shape (n, k)
        Their standard deviations [unit of mean], above zero.
    """

    weight: FloatArray
    mean: FloatArray
    deviation: FloatArray

    @property
    def centre(self) -> FloatArray:
        """Mean of each forecast, shape (n,) [unit of mean]."""
        return np.asarray((self.weight * self.mean).sum(axis=1))

    @property
    def width(self) -> FloatArray:
        """Standard deviation of each forecast, shape (n,) [unit of mean]."""
        square = (self.weight * (self.mean - self.centre[:, None]) ** 2).sum(axis=1)
        return np.asarray(np.sqrt(square + (self.weight * self.deviation**2).sum(axis=1)))

    def chance_below(self, value: FloatArray) -> FloatArray:
        """Chance that each forecast gave to anything below a value: for the truth, its probability integral transform.

        Parameters
        ----------
        value : ndarray, shape (n,)
            Values [unit of mean].

        Returns
        -------
        ndarray, shape (n,)
            Chances [1].

        Examples
        --------
        >>> two = Mixture(np.array([[0.5, 0.5]]), np.array([[-1.0, 1.0]]), np.array([[1.0, 1.0]]))
        >>> two.chance_below(np.array([0.0])).tolist()
        [0.5]
        """
        z = (value[:, None] - self.mean) / self.deviation
        return np.asarray(np.clip((self.weight * ndtr(z)).sum(axis=1), 0.0, 1.0))

    def crps(self, truth: FloatArray) -> FloatArray:
        """Continuous ranked probability score of each forecast; smaller is better.

        Parameters
        ----------
        truth : ndarray, shape (n,)
            What came [unit of mean].

        Returns
        -------
        ndarray, shape (n,)
            Scores [unit of mean], by quadrature over six standard deviations to either side.

        References
        ----------
        Gneiting and Raftery, J. Am. Stat. Assoc. 102 (2007) 359 (page from memory): the integral of the squared difference
        between the forecast's distribution and the step at the truth.

        Examples
        --------
        >>> one = Mixture(np.array([[1.0]]), np.array([[0.0]]), np.array([[1.0]]))
        >>> round(float(one.crps(np.array([0.0]))[0]), 6)
        0.233695
        """
        low, middle, high = (self.centre + reach * self.width for reach in (-_REACH, 0.0, _REACH))
        split = np.clip(truth, low, high)
        edges = (low, np.minimum(split, middle), np.maximum(split, middle), high)
        score = np.abs(truth - split)
        for start, end in pairwise(edges):
            score = score + self._between(start, end, truth)
        return np.asarray(score)

    def _between(self, start: FloatArray, end: FloatArray, truth: FloatArray) -> FloatArray:
        """Integral of the squared difference from one edge to the next; the truth is never inside."""
        at, share = np.polynomial.legendre.leggauss(_NODES)
        above = (start + end) / 2 > truth
        total = np.zeros(truth.size)
        for place, part in zip((at + 1) / 2, share / 2, strict=True):
            chance = self.chance_below(start + place * (end - start))
            total += part * np.where(above, 1 - chance, chance) ** 2
        return total * (end - start)


def next_reading(beliefs: Beliefs, rows: IntArray, reading_u: FloatArray, habits: Habits) -> Mixture:
    """What the next reading of some parts will show, at the hours the beliefs are carried to.

    Parameters
    ----------
    beliefs : Beliefs
        Posterior weights and states of n parts, under b sets of constants.
    rows : ndarray of int, shape (r,)
        The parts.
    reading_u : ndarray, shape (r,)
        Standard uncertainty of the reading to come [1], above zero.
    habits : Habits
        How often records leave something out or get something wrong.

    Returns
    -------
    Mixture
        Over the b times j rates on the grid, each three ways: a sound reading of the wear by then, one that is far off, and one
        of a part changed without a record since.

    References
    ----------
    Our own formulation, see docs/explanation/calibration.md.
    """
    weight, wear, var, growth = (_flat(x[:, rows]) for x in (*_states(beliefs), _growth(beliefs)))
    read2, start2 = reading_u[:, None] ** 2, beliefs.paths.start_u[rows, None] ** 2
    widest = np.clip(growth, 0.0, 1.0)
    shares = (
        (1 - habits.unrecorded) * (1 - habits.far_off),
        (1 - habits.unrecorded) * habits.far_off,
        habits.unrecorded,
    )
    less, far2 = far_off_moments(var, read2, habits.far_times)
    variances = (var + read2, far2, widest**2 / 12 + start2 + read2)
    return Mixture(
        np.hstack([share * weight for share in shares]),
        np.hstack((wear, wear - less, widest / 2)),
        np.sqrt(np.hstack(variances)),
    )


def _states(beliefs: Beliefs) -> tuple[FloatArray, FloatArray, FloatArray]:
    sets = beliefs.weight.shape[0]
    return beliefs.weight / sets, beliefs.filtered.wear, np.maximum(beliefs.filtered.wear_var, 0.0)


def _growth(beliefs: Beliefs) -> FloatArray:
    """Wear since the last reading at each rate, shape (b, n, j)."""
    effective_h = beliefs.paths.tail_h @ np.exp(beliefs.constants.ground).T
    return np.asarray(np.exp(beliefs.rate_log) * effective_h.T[:, :, None])


def _flat(by_set: FloatArray) -> FloatArray:
    """From (b, r, j) to (r, b * j)."""
    return np.asarray(by_set.transpose(1, 0, 2).reshape(by_set.shape[1], -1), np.float64)


def crps_normals(miss: FloatArray, deviation: float) -> FloatArray:
    """Scores of normal forecasts of one width, by how far they missed; smaller is better.

    Parameters
    ----------
    miss : ndarray, shape (n,)
        What came, less the forecast's mean [any unit].
    deviation : float
        Standard deviation of every forecast [unit of miss], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Scores [unit of miss].

    References
    ----------
    Gneiting and Raftery, J. Am. Stat. Assoc. 102 (2007) 359 (page from memory).

    Examples
    --------
    >>> crps_normals(np.array([0.0]), 1.0).round(7).tolist()
    [0.233695]
    """
    z = miss / deviation
    density = np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi)
    return np.asarray(deviation * (z * (2 * ndtr(z) - 1) + 2 * density - 1 / np.sqrt(np.pi)))
