"""Turning by speed difference: moment the ground resists with, pull each track needs, and whether the ground gives it."""

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Floats, above_zero, zero_or_more


def turning_moment_nm(weight_n: npt.ArrayLike, level_length_m: npt.ArrayLike, turning: npt.ArrayLike) -> Floats:
    """Moment the ground resists a turn with.

    Parameters
    ----------
    weight_n : array_like, shape (...)
        Weight [N], above zero.
    level_length_m : array_like, shape (...)
        Contact length [m], above zero.
    turning : array_like, shape (...)
        Coefficient of lateral resistance [1], zero or more.

    Returns
    -------
    ndarray, shape (...)
        Moment [N m], for even pressure, low speed and narrow tracks.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    Wong (2008) ch. 6, after Steeds (from memory), as seen in open-source code citing Wong: mu W L / 4.

    Examples
    --------
    >>> print(round(float(turning_moment_nm(220e3, 3.65, 0.9)) / 1e3, 1))
    180.7
    """
    above_zero(weight=weight_n, contact_length=level_length_m)
    zero_or_more(turning_coefficient=turning)
    return np.asarray(np.asarray(turning, dtype=float) * np.asarray(weight_n) * np.asarray(level_length_m) / 4.0)


def outer_pull_n(
    weight_n: npt.ArrayLike, moment_nm: npt.ArrayLike, centres_m: npt.ArrayLike, rolling: npt.ArrayLike
) -> Floats:
    """Pull the outer track needs in a turn.

    Parameters
    ----------
    weight_n : array_like, shape (...)
        Weight [N].
    moment_nm : array_like, shape (...)
        As `turning_moment_nm` [N m].
    centres_m : array_like, shape (...)
        Distance between the tracks' centre lines [m], above zero.
    rolling : array_like, shape (...)
        Motion resistance over weight [1].

    Returns
    -------
    ndarray, shape (...)
        Pull [N]. A counter-rotation asks the same of each track.

    Raises
    ------
    NotAllowedError
        A distance that is not above zero.

    References
    ----------
    Wong (2008) ch. 6: f W / 2 + Mr / B.
    """
    above_zero(distance_between_tracks=centres_m)
    rolls = np.asarray(rolling, dtype=float) * np.asarray(weight_n) / 2.0
    return np.asarray(rolls + np.asarray(moment_nm, dtype=float) / np.asarray(centres_m))
