"""Checks that every figure of a shape goes through."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure

Floats = NDArray[np.float64]


def above_zero(field: str, figures: ArrayLike) -> Floats:
    """The figures as an array, all finite and above zero.

    Parameters
    ----------
    field : str
        Name used in the error.
    figures : array_like, shape (n,)
        Figures in any one unit [m, 1 or N].

    Returns
    -------
    ndarray, shape (n,)
        The same figures in the same unit [m, 1 or N].

    Raises
    ------
    NotAllowedError
        One of them is not finite or not above zero.

    Examples
    --------
    >>> above_zero("pitch", 0.2).tolist()
    0.2
    """
    found = np.asarray(figures, dtype=np.float64)
    wrong = ~(np.isfinite(found) & (found > 0))
    if np.any(wrong):
        raise NotAllowedError(
            field, as_figure(np.ravel(found)[np.ravel(wrong)][0], "g"), "a finite figure above 0"
        )
    return found
