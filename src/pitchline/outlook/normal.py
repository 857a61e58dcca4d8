"""The normal distribution function, fast enough for a million parts."""

import numpy as np

from pitchline.outlook.paths import FloatArray

_FARTHEST = 5.5
_TERMS = (
    1.7562226640622685e-09,
    -1.322650265095211e-07,
    3.964763394946232e-06,
    -5.530628530126783e-05,
    -3.259478530708254e-05,
    0.036333084425766736,
    0.7978849414887658,
)


def normal_cdf(z: FloatArray) -> FloatArray:
    """Chance that a standard normal number is below each value.

    Parameters
    ----------
    z : ndarray, shape (...)
        Values [1], any; single precision stays single.

    Returns
    -------
    ndarray, shape (...)
        Chances [1], within 3e-8 of the exact ones in double and 2e-7 in single precision.

    References
    ----------
    Our own minimax fit of a polynomial in z^2 to atanh(2 Phi(z) - 1) / z; tested against scipy.special.ndtr, which takes
    about eight times as long (measured).

    Examples
    --------
    >>> normal_cdf(np.array([-1.959964, 0.0, 1.959964])).round(6)
    array([0.025, 0.5  , 0.975])
    """
    z = np.clip(z, -_FARTHEST, _FARTHEST)
    square = z * z
    slope = square * _TERMS[0]
    for term in _TERMS[1:-1]:
        slope += term
        slope *= square
    slope += _TERMS[-1]
    slope *= z
    chance = np.tanh(slope, out=slope)
    chance *= 0.5
    chance += 0.5
    return chance
