"""How likely a reading of a worn part is, were it this part of the list.

Wear goes one way. A size that falls is read anywhere from its new size down to somewhat past its limit, never above it; so worn
sizes rule out, and only what does not wear picks.
"""

import numpy as np
from scipy.special import ndtr

Floats = np.ndarray[tuple[int, ...], np.dtype[np.float64]]

PAST_LIMIT = 1.2
"""Parts come off worn up to this many times their allowance: an assumption."""
SAME, ONE_OFF, OTHER = 0.97, 0.01, 0.001
"""A count that agrees, that is one off, and any other: miscounts are commoner than wrong parts by far. Assumptions."""
SAME_WORD, OTHER_WORD = 0.98, 0.02
"""A word that agrees, and any other: assumptions."""


def of_worn(read_m: float, new_m: Floats, allowance_m: Floats, s_m: Floats, falls: bool) -> Floats:
    """Density of a reading that may lie anywhere between new and worn out.

    Parameters
    ----------
    read_m : float
        What was read [m].
    new_m, allowance_m, s_m : ndarray, shape (n,)
        New size, wear allowance and standard uncertainty of reading and new size together [m], the last two above 0.
    falls : bool
        Whether it falls with wear, or rises.

    Returns
    -------
    ndarray, shape (n,)
        Density [1/m].
    """
    way = -1.0 if falls else 1.0
    worn = way * (read_m - new_m)
    width = PAST_LIMIT * allowance_m
    density: Floats = (ndtr(worn / s_m) - ndtr((worn - width) / s_m)) / width
    return density


def of_unworn(read_m: float, new_m: Floats, s_m: Floats) -> Floats:
    """Density of a reading of what does not wear [1/m]; arguments as in `of_worn`."""
    density: Floats = np.exp(-0.5 * ((read_m - new_m) / s_m) ** 2) / (s_m * np.sqrt(2 * np.pi))
    return density


def of_count(counted: int, listed: Floats) -> Floats:
    """Chance of a count [1], against counts of the list."""
    apart = np.abs(counted - listed)
    return np.where(apart == 0, SAME, np.where(apart == 1, ONE_OFF, OTHER))
