"""How good a range was, once the truth is known: continuous ranked probability scores."""

import numpy as np
from scipy.special import ndtr

from pitchline.outlook.paths import FloatArray


def crps_normal(truth: float, mean: float, deviation: float) -> float:
    """Score of a normal forecast; smaller is better.

    Parameters
    ----------
    truth : float
        What came [any unit].
    mean : float
        Mean of the forecast [unit of truth].
    deviation : float
        Standard deviation of the forecast [unit of truth], above zero.

    Returns
    -------
    float
        Score [unit of truth].

    References
    ----------
    Gneiting and Raftery, J. Am. Stat. Assoc. 102 (2007) 359 (page from memory).

    Examples
    --------
    >>> round(crps_normal(0.0, 0.0, 1.0), 7)
    0.233695
    """
    z = (truth - mean) / deviation
    density = np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi)
    return float(deviation * (z * (2 * ndtr(z) - 1) + 2 * density - 1 / np.sqrt(np.pi)))


def crps_lognormal(truth: float, log_mean: float, log_deviation: float) -> float:
    """Score of a lognormal forecast; smaller is better.

    Parameters
    ----------
    truth : float
        What came [any unit], above zero.
    log_mean : float
        Mean of the forecast's logarithm [1].
    log_deviation : float
        Its standard deviation [1], above zero.

    Returns
    -------
    float
        Score [unit of truth].

    References
    ----------
    Closed form after Jordan, Krüger and Lerch, J. Stat. Softw. 90 (2019).

    Examples
    --------
    >>> round(crps_lognormal(1200.0, np.log(1000.0), 0.3), 6)
    119.393953
    """
    z = (np.log(truth) - log_mean) / log_deviation
    inner = ndtr(z - log_deviation) + ndtr(log_deviation / np.sqrt(2)) - 1
    return float(truth * (2 * ndtr(z) - 1) - 2 * np.exp(log_mean + log_deviation**2 / 2) * inner)


def crps_sample(truth: float, sample: FloatArray) -> float:
    """Score of a forecast given as a sample; smaller is better.

    Parameters
    ----------
    truth : float
        What came [any unit].
    sample : ndarray, shape (n,)
        Draws of the forecast [unit of truth], one or more.

    Returns
    -------
    float
        Score [unit of truth].

    References
    ----------
    Gneiting and Raftery, J. Am. Stat. Assoc. 102 (2007) 359 (page from memory).

    Examples
    --------
    >>> crps_sample(1200.0, np.array([800.0, 950.0, 1000.0, 1100.0, 1400.0]))
    122.0
    """
    apart = np.abs(sample[:, None] - sample[None, :]).mean()
    return float(np.abs(sample - truth).mean() - 0.5 * apart)
