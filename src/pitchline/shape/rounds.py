"""Rounds that cannot be measured across: from a chord, a girth, or a hole to the next."""

import numpy as np
from numpy.typing import ArrayLike

from pitchline.shape.numbers import Floats, above_zero
from pitchline.trade.errors import NotAllowedError


def bolt_circle_m(chord_m: ArrayLike, holes_apart: ArrayLike, holes: ArrayLike) -> Floats:
    """Bolt circle diameter from the chord between two of its holes.

    Parameters
    ----------
    chord_m : array_like, shape (n,)
        Distance between the two hole centres [m], above zero.
    holes_apart : array_like of int, shape (n,)
        How many holes on the second one is, 1 to one less than all.
    holes : array_like of int, shape (n,)
        Holes in the circle, 2 or more.

    Returns
    -------
    ndarray, shape (n,)
        Diameter [m].

    Raises
    ------
    NotAllowedError
        A chord not above zero, or counts that do not fit each other.

    References
    ----------
    c / sin(k pi / n): chord of a circle.

    Examples
    --------
    >>> round(float(bolt_circle_m(0.050, 1, 26)) * 1e3, 3)
    414.811
    """
    apart, all_holes = np.asarray(holes_apart), np.asarray(holes)
    if np.any((apart < 1) | (apart >= all_holes)):
        raise NotAllowedError("holes apart", apart, "1 to one less than all holes", "Count again.")
    half_rad: Floats = np.asarray(apart * np.pi / all_holes, dtype=np.float64)
    return above_zero("chord", chord_m) / np.sin(half_rad)


def radius_from_sagitta_m(chord_m: ArrayLike, sagitta_m: ArrayLike) -> Floats:
    """Radius of a round from a chord and how far the round stands above it.

    Parameters
    ----------
    chord_m : array_like, shape (n,)
        Chord [m], above zero.
    sagitta_m : array_like, shape (n,)
        Height of the arc above the middle of the chord [m], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Radius [m].

    Raises
    ------
    NotAllowedError
        A length not above zero.

    References
    ----------
    c^2 / 8h + h / 2: circle through three points.

    Examples
    --------
    >>> round(float(radius_from_sagitta_m(0.3, 0.03)), 6)
    0.39
    """
    height = above_zero("sagitta", sagitta_m)
    return above_zero("chord", chord_m) ** 2 / (8 * height) + height / 2


def diameter_from_girth_m(girth_m: ArrayLike) -> Floats:
    """Diameter of a round from a tape laid round it.

    Parameters
    ----------
    girth_m : array_like, shape (n,)
        Length round it [m], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Diameter [m].

    Raises
    ------
    NotAllowedError
        A girth not above zero.

    Examples
    --------
    >>> round(float(diameter_from_girth_m(0.6283)) * 1e3, 3)
    199.994
    """
    return above_zero("girth", girth_m) / np.pi


def rock_at_raceway_m(rock_m: ArrayLike, gauge_radius_m: ArrayLike, raceway_radius_m: ArrayLike) -> Floats:
    """Rock of a slew ring at its raceway, from a reading further out.

    Parameters
    ----------
    rock_m : array_like, shape (n,)
        Rock as read [m], zero or more.
    gauge_radius_m, raceway_radius_m : array_like, shape (n,)
        Distance of the gauge and of the raceway from the ring's centre [m], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Rock at the raceway [m].

    Raises
    ------
    NotAllowedError
        A radius not above zero.

    References
    ----------
    Derived: a rigid ring tilts as one.

    Examples
    --------
    >>> round(float(rock_at_raceway_m(0.00165, 0.9, 0.76)) * 1e3, 3)
    1.393
    """
    lever = above_zero("raceway radius", raceway_radius_m) / above_zero("gauge radius", gauge_radius_m)
    return np.asarray(rock_m, dtype=np.float64) * lever
