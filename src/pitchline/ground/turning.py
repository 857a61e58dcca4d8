"""Turning by speed difference: moment the ground resists with, pull each track needs, and whether the ground gives it."""

import numpy as np
import numpy.typing as npt

from pitchline.ground.checked import Checked, Floats, above_zero, checked, zero_or_more


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


def turning_at_radius(turning_most: npt.ArrayLike, radius_m: npt.ArrayLike, centres_m: npt.ArrayLike) -> Checked:
    """Coefficient of lateral resistance on a wider turn.

    Parameters
    ----------
    turning_most : array_like, shape (...)
        Coefficient of the tightest turn [1].
    radius_m : array_like, shape (...)
        Radius of the turn [m].
    centres_m : array_like, shape (...)
        Distance between the tracks' centre lines [m], above zero.

    Returns
    -------
    Checked
        Coefficient [1]; no number for turns tighter than round the inner track.

    Raises
    ------
    NotAllowedError
        A distance that is not above zero.

    References
    ----------
    mu / (0.925 + 0.15 R/B) for R at least B/2; attribution not confirmed.
    """
    above_zero(distance_between_tracks=centres_m)
    ratio = np.asarray(radius_m, dtype=float) / np.asarray(centres_m, dtype=float)
    found = np.asarray(turning_most, dtype=float) / (0.925 + 0.15 * np.maximum(ratio, 0.5))
    return checked(found, ("a turn tighter than round the inner track", ratio < 0.5))


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


def inner_pull_n(
    weight_n: npt.ArrayLike, moment_nm: npt.ArrayLike, centres_m: npt.ArrayLike, rolling: npt.ArrayLike
) -> Floats:
    """Pull of the inner track in a turn.

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
        Pull [N]; below zero the inner track must be braked or driven backwards.

    Raises
    ------
    NotAllowedError
        A distance that is not above zero.

    References
    ----------
    Wong (2008) ch. 6: f W / 2 - Mr / B.
    """
    above_zero(distance_between_tracks=centres_m)
    rolls = np.asarray(rolling, dtype=float) * np.asarray(weight_n) / 2.0
    return np.asarray(rolls - np.asarray(moment_nm, dtype=float) / np.asarray(centres_m))


def longest_that_turns(
    turning: npt.ArrayLike,
    cohesion_pa: npt.ArrayLike,
    pressure_pa: npt.ArrayLike,
    friction_deg: npt.ArrayLike,
    rolling: npt.ArrayLike,
) -> Floats:
    """Greatest contact length over track distance at which the ground still gives the pull a turn needs.

    Parameters
    ----------
    turning : array_like, shape (...)
        Coefficient of lateral resistance [1], above zero.
    cohesion_pa, pressure_pa : array_like, shape (...)
        Cohesion and contact pressure [Pa].
    friction_deg : array_like, shape (...)
        Angle of friction [deg].
    rolling : array_like, shape (...)
        Motion resistance over weight [1].

    Returns
    -------
    ndarray, shape (...)
        Ratio L/B [1].

    Raises
    ------
    NotAllowedError
        A coefficient that is not above zero.

    References
    ----------
    Wong (2008) ch. 6: L/B <= (2/mu)(c/p + tan(phi) - f).
    """
    above_zero(turning_coefficient=turning, contact_pressure=pressure_pa)
    given = np.asarray(cohesion_pa, dtype=float) / np.asarray(pressure_pa)
    held = given + np.tan(np.radians(np.asarray(friction_deg, dtype=float))) - np.asarray(rolling)
    return np.asarray(2.0 / np.asarray(turning, dtype=float) * held)
