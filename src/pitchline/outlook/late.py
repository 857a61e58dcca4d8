"""Wear that goes faster, or slower, from some point on: readings straightened so that wear runs evenly with hours.

A hardened layer worn through is the usual reason. The outlook itself knows only even wear; a late change of pace is a matter
of how readings are read.
"""

from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.paths import BoolArray, FloatArray, Paths
from pitchline.trade.errors import NotAllowedError

USUAL_BEGINS = 0.7
"""Life used at which a change of pace is looked for first [1]: an assumption of this project."""
_SOFT = 0.04
_TURNS, _SETTLED = 12, 1e-13


@dataclass(frozen=True, slots=True)
class Late:
    """How each kind of part wears on once part of its life is used.

    Parameters
    ----------
    begins : float
        Life used from which the pace is another [1], inside (0, 1).
    times : ndarray, shape (k,)
        How many times as fast each kind wears from there on [1], above zero; 1 for no change.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    Our own formulation: two slopes joined smoothly over about a tenth of the life; see docs/explanation/outlook.md.
    """

    begins: float
    times: FloatArray

    def __post_init__(self) -> None:
        if not 0 < self.begins < 1:
            raise NotAllowedError("life used where the pace changes", self.begins, "above 0, below 1")
        if not (np.isfinite(self.times).all() and bool((self.times > 0).all())):
            raise NotAllowedError("times as fast", self.times.tolist(), "above 0")

    @property
    def even(self) -> bool:
        """Whether no kind changes its pace."""
        return bool((self.times == 1).all())


def none_late(kinds: int) -> Late:
    """No change of pace for any kind.

    Returns
    -------
    Late
        All times 1.
    """
    return Late(USUAL_BEGINS, np.ones(kinds))


def straight(wear: FloatArray, begins: float, times: FloatArray) -> FloatArray:
    """Life used as it would be had the part worn evenly.

    Parameters
    ----------
    wear : ndarray, shape (...)
        Life used by the reading [1].
    begins : float
        Life used from which the pace is another [1].
    times : ndarray, shape (...)
        How many times as fast from there on [1], above zero.

    Returns
    -------
    ndarray, shape (...)
        Straightened life used [1]: 0 for new and 1 at the limit, as before.

    Examples
    --------
    >>> straight(np.array([0.0, 0.5, 1.0]), 0.7, np.array(1.0)).tolist()
    [0.0, 0.5, 1.0]
    >>> straight(np.array([0.0, 0.35, 1.0]), 0.7, np.array(1.5)).round(3).tolist()
    [0.0, 0.389, 1.0]
    """
    return np.asarray(_even(wear, begins, times) / _even(np.array(1.0), begins, times))


def slope(wear: FloatArray, begins: float, times: FloatArray) -> FloatArray:
    """How much straightened life used grows for a little more life used.

    Parameters
    ----------
    wear : ndarray, shape (...)
        Life used by the reading [1].
    begins : float
        Life used from which the pace is another [1].
    times : ndarray, shape (...)
        How many times as fast from there on [1], above zero.

    Returns
    -------
    ndarray, shape (...)
        Derivative of `straight` [1].
    """
    beyond = 1 / (1 + np.exp(np.clip((begins - wear) / _SOFT, -60, 60)))
    return np.asarray((1 - (1 - 1 / times) * beyond) / _even(np.array(1.0), begins, times))


def bent(even: FloatArray, begins: float, times: FloatArray) -> FloatArray:
    """Life used from straightened life used.

    Parameters
    ----------
    even : ndarray, shape (...)
        Straightened life used [1].
    begins : float
        Life used from which the pace is another [1].
    times : ndarray, shape (...)
        How many times as fast from there on [1], above zero.

    Returns
    -------
    ndarray, shape (...)
        What `straight` makes it from [1], to about a millionth.

    References
    ----------
    Newton's method (textbook).

    Examples
    --------
    >>> bent(straight(np.array([0.2, 0.8, 1.3]), 0.7, np.array(1.6)), 0.7, np.array(1.6)).round(6).tolist()
    [0.2, 0.8, 1.3]
    """
    wear = np.asarray(even, float).copy()
    if bool(np.all(times == 1.0)):
        return wear
    for _ in range(_TURNS):
        off = (straight(wear, begins, times) - even) / slope(wear, begins, times)
        wear = wear - off
        if bool((np.abs(off) < _SETTLED).all()):
            break
    return wear


def straightened(paths: Paths, late: Late) -> Paths:
    """Wear paths with every reading straightened.

    Returns
    -------
    Paths
        Readings and their doubts, and the doubt of the new size, in straightened life used.

    References
    ----------
    Doubts by first-order propagation (GUM, JCGM 100:2008, 5.1.2).
    """
    if late.even:
        return paths
    times = late.times[paths.kind]
    read = _read(paths)
    wear_u = paths.wear_u * slope(paths.wear, late.begins, times[:, None])
    return replace(
        paths,
        wear=np.where(read, straight(paths.wear, late.begins, times[:, None]), 0.0),
        wear_u=np.where(read, wear_u, 1.0),
        start_u=paths.start_u * slope(np.zeros(times.shape), late.begins, times),
    )


def log_stretch(paths: Paths, late: Late) -> FloatArray:
    """Log of how much straightening stretches the readings of each part.

    Returns
    -------
    ndarray, shape (n,)
        Sum of the logs of `slope` over a part's readings [1]: a density of straightened readings times its exponential is a
        density of the readings themselves.

    References
    ----------
    Change of variables (textbook).
    """
    times = late.times[paths.kind][:, None]
    return np.asarray(np.where(_read(paths), np.log(slope(paths.wear, late.begins, times)), 0.0).sum(axis=1))


def _read(paths: Paths) -> BoolArray:
    return np.asarray(np.arange(paths.wear.shape[1]) < paths.count[:, None])


def _even(wear: FloatArray, begins: float, times: FloatArray) -> FloatArray:
    """Hours as it were: rising by 1 below, by one over the times beyond; 0 at 0."""
    beyond = _SOFT * (np.log1p(np.exp(-np.abs(wear - begins) / _SOFT)) - np.log1p(np.exp(-begins / _SOFT)))
    beyond = beyond + np.maximum(wear - begins, 0.0)
    return np.asarray(wear - (1 - 1 / times) * beyond)
