"""Wear as a gamma process: exact chance of having reached a level, and the normal form used by the outlook."""

import numpy as np
from scipy.special import gammaincc, ndtr

from pitchline.outlook.paths import FloatArray


def gamma_reached(hours_h: FloatArray, rate_per_h: float, noise: float, remaining: float) -> FloatArray:
    """Chance that a gamma process has used up what remained, exactly.

    Parameters
    ----------
    hours_h : ndarray, shape (n,)
        Hours [h], above zero.
    rate_per_h : float
        Mean wear an hour [1/h], above zero.
    noise : float
        Variance of wear over mean wear [1], above zero.
    remaining : float
        Life left [1], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Chances [1].

    References
    ----------
    Lawless and Crowder, Lifetime Data Anal. 10 (2004) 213; van Noortwijk, Reliab. Eng. Syst. Saf. 94 (2009) 2.

    Examples
    --------
    >>> gamma_reached(np.array([3000.0]), 1 / 5000, 0.004, 0.6).round(6)
    array([0.489142])
    """
    return np.asarray(gammaincc(rate_per_h * hours_h / noise, remaining / noise))


def normal_reached(hours_h: FloatArray, rate_per_h: float, noise: float, remaining: float) -> FloatArray:
    """Chance that a gamma process has used up what remained, in the normal form.

    Parameters
    ----------
    hours_h : ndarray, shape (n,)
        Hours [h], above zero.
    rate_per_h : float
        Mean wear an hour [1/h], above zero.
    noise : float
        Variance of wear over mean wear [1], above zero.
    remaining : float
        Life left [1], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Chances [1]; within a few hundredths of the exact ones where the noise is small.

    References
    ----------
    Birnbaum-Saunders form; van Noortwijk, Reliab. Eng. Syst. Saf. 94 (2009) 2.

    Examples
    --------
    >>> normal_reached(np.array([2500.0]), 1 / 5000, 0.004, 0.6).round(6)
    array([0.012674])
    """
    grown = rate_per_h * np.asarray(hours_h, float)
    return np.asarray(ndtr((grown - remaining) / np.sqrt(noise * grown)))
