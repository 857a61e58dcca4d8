"""A forecast that is a mixture of normals: how likely something smaller was, and its score once the truth is known."""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from pitchline.outlook.paths import FloatArray
from pitchline.outlook.quadrature import Beliefs

_REACH = 7.0
_NODES = 24


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

    References
    ----------
    Definition.
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
        return np.sqrt(square + (self.weight * self.deviation**2).sum(axis=1))

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

        References
        ----------
        Definition.

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
            Scores [unit of mean], by quadrature over seven standard deviations to either side.

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
        low, high = self.centre - _REACH * self.width, self.centre + _REACH * self.width
        split = np.clip(truth, low, high)
        at, share = np.polynomial.legendre.leggauss(_NODES)
        score = np.abs(truth - split)
        for place, part in zip((at + 1) / 2, share / 2, strict=True):
            score = score + part * (split - low) * self.chance_below(low + place * (split - low)) ** 2
            score = score + part * (high - split) * (1 - self.chance_below(split + place * (high - split))) ** 2
        return np.asarray(score)


def next_reading(beliefs: Beliefs, rows: np.ndarray[tuple[int], np.dtype[np.int64]], reading_u: FloatArray) -> Mixture:
    """What the next reading of some parts will show, at the hours the beliefs are carried to.

    Parameters
    ----------
    beliefs : Beliefs
        Posterior weights and states of n parts, under b sets of constants.
    rows : ndarray of int, shape (r,)
        The parts.
    reading_u : ndarray, shape (r,)
        Standard uncertainty of the reading to come [1], above zero.

    Returns
    -------
    Mixture
        Of the b times j rates on the grid: wear at that hour, its doubt and process noise, and the doubt of the reading.

    References
    ----------
    Our own formulation, see docs/explanation/calibration.md.
    """
    sets = beliefs.weight.shape[0]
    weight, mean, var = (
        x[:, rows].transpose(1, 0, 2).reshape(rows.size, -1)
        for x in (beliefs.weight, beliefs.filtered.wear, beliefs.filtered.wear_var)
    )
    return Mixture(weight / sets, mean, np.sqrt(np.maximum(var, 0.0) + reading_u[:, None] ** 2))


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
