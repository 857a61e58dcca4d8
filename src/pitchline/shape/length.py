"""Chain and belt lengths round two wheels, and back to centre distance and take-up."""

import numpy as np
from numpy.typing import ArrayLike

from pitchline.shape.numbers import Floats, above_zero
from pitchline.trade.errors import NotAllowedError


def chain_pitches_near(centres: ArrayLike, teeth_one: ArrayLike, teeth_two: ArrayLike) -> Floats:
    """Length of a chain round two wheels, in pitches, by the handbook's short form.

    Parameters
    ----------
    centres : array_like, shape (n,)
        Centre distance in pitches [1], above zero.
    teeth_one, teeth_two : array_like, shape (n,)
        Joints a turn of each wheel [1], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Length in pitches [1].

    Raises
    ------
    NotAllowedError
        A figure not above zero.

    References
    ----------
    L = 2C + (N1 + N2)/2 + ((N2 - N1)/2 pi)^2 / C, any roller chain handbook.

    Examples
    --------
    >>> round(float(chain_pitches_near(36, 20, 63)), 3)
    114.801
    """
    one, two = above_zero("joints a turn", teeth_one), above_zero("joints a turn", teeth_two)
    apart = above_zero("centre distance", centres)
    return 2 * apart + (one + two) / 2 + ((two - one) / (2 * np.pi)) ** 2 / apart


def centres_near(pitches: ArrayLike, teeth_one: ArrayLike, teeth_two: ArrayLike) -> Floats:
    """Centre distance in pitches for a chain of given length: the inverse of `chain_pitches_near`.

    Parameters
    ----------
    pitches : array_like, shape (n,)
        Chain length in pitches [1], above zero.
    teeth_one, teeth_two : array_like, shape (n,)
        Joints a turn of each wheel [1], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Centre distance in pitches [1].

    Raises
    ------
    NotAllowedError
        A figure not above zero, or a chain too short for its wheels.

    References
    ----------
    Derived from the short form: C = (A + sqrt(A^2 - 8 ((N2 - N1)/2 pi)^2)) / 4 with A = L - (N1 + N2)/2.

    Examples
    --------
    >>> round(float(centres_near(chain_pitches_near(36, 20, 63), 20, 63)), 9)
    36.0
    """
    one, two = above_zero("joints a turn", teeth_one), above_zero("joints a turn", teeth_two)
    spare = above_zero("chain length", pitches) - (one + two) / 2
    under = spare**2 - 8 * ((two - one) / (2 * np.pi)) ** 2
    if np.any((spare <= 0) | (under < 0)):
        raise NotAllowedError("chain length", pitches, "a chain that goes round both wheels", "Count again.")
    return (spare + np.sqrt(under)) / 4


def chain_pitches(centres: ArrayLike, teeth_one: ArrayLike, teeth_two: ArrayLike) -> Floats:
    """Length of a chain round two wheels, in pitches, taut on its pitch circles.

    Parameters
    ----------
    centres : array_like, shape (n,)
        Centre distance in pitches [1], above the difference of the radii.
    teeth_one, teeth_two : array_like, shape (n,)
        Joints a turn of each wheel [1], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Length in pitches [1].

    Raises
    ------
    NotAllowedError
        A figure not above zero, or wheels inside each other.

    References
    ----------
    Derived: 2 C cos a + N1 (pi - 2a)/2 pi + N2 (pi + 2a)/2 pi, sin a = (r2 - r1)/C, r = 1/(2 sin(pi/N)).

    Examples
    --------
    >>> round(float(chain_pitches(36, 20, 63)), 3)
    114.805
    """
    one, two = above_zero("joints a turn", teeth_one), above_zero("joints a turn", teeth_two)
    apart = above_zero("centre distance", centres)
    sine = (1 / np.sin(np.pi / two) - 1 / np.sin(np.pi / one)) / 2 / apart
    if np.any(np.abs(sine) >= 1):
        raise NotAllowedError("centre distance", centres, "wheels apart from each other", "Measure again.")
    lean = np.arcsin(sine)
    return 2 * apart * np.cos(lean) + (one * (np.pi - 2 * lean) + two * (np.pi + 2 * lean)) / (2 * np.pi)


def links_round_idler(pitch_m: ArrayLike, radius_m: ArrayLike) -> Floats:
    """Joints that would go once round a plain wheel.

    Parameters
    ----------
    pitch_m : array_like, shape (n,)
        Pitch of one joint [m], above zero.
    radius_m : array_like, shape (n,)
        Radius on which joint centres ride: tread radius and the joint's height above the rail [m], above half a pitch.

    Returns
    -------
    ndarray, shape (n,)
        Joints a turn [1].

    Raises
    ------
    NotAllowedError
        A size not above zero, or a pitch that does not fit into the circle.

    References
    ----------
    pi / asin(p / 2R), derived.

    Examples
    --------
    >>> round(float(links_round_idler(0.2, 0.3)), 4)
    9.2444
    """
    share = above_zero("pitch", pitch_m) / (2 * above_zero("radius", radius_m))
    if np.any(share >= 1):
        raise NotAllowedError("radius", radius_m, "more than half a pitch", "Measure again.")
    return np.pi / np.arcsin(share)


def belt_length_m(radius_one_m: ArrayLike, radius_two_m: ArrayLike, centres_m: ArrayLike) -> Floats:
    """Length of an open belt round two circles.

    Parameters
    ----------
    radius_one_m, radius_two_m : array_like, shape (n,)
        Radii [m], above zero.
    centres_m : array_like, shape (n,)
        Centre distance [m], at least the difference of the radii.

    Returns
    -------
    ndarray, shape (n,)
        Length [m].

    Raises
    ------
    NotAllowedError
        A size not above zero, or one circle inside the other.

    References
    ----------
    2 sqrt(C^2 - (R - r)^2) + pi (R + r) + 2 (R - r) asin((R - r)/C), any handbook.

    Examples
    --------
    >>> round(float(belt_length_m(0.350, 0.320, 3.6)) * 1e3, 3)
    9305.117
    """
    one, two = above_zero("radius", radius_one_m), above_zero("radius", radius_two_m)
    apart, step = above_zero("centre distance", centres_m), one - two
    if np.any(np.abs(step) > apart):
        raise NotAllowedError("centre distance", centres_m, "neither circle inside the other", "Measure again.")
    return 2 * np.sqrt(apart**2 - step**2) + np.pi * (one + two) + 2 * step * np.arcsin(step / apart)


def take_up_rate(radius_one_m: ArrayLike, radius_two_m: ArrayLike, centres_m: ArrayLike) -> Floats:
    """Belt length taken up for each length that one of two wheels is moved out.

    Parameters
    ----------
    radius_one_m, radius_two_m : array_like, shape (n,)
        Radii [m], above zero.
    centres_m : array_like, shape (n,)
        Centre distance [m], above the difference of the radii.

    Returns
    -------
    ndarray, shape (n,)
        dL/dC [1], a little below 2.

    Raises
    ------
    NotAllowedError
        A size not above zero, or one circle inside the other.

    References
    ----------
    2 cos a with sin a = (R - r)/C, derived.

    Examples
    --------
    >>> round(float(take_up_rate(0.350, 0.320, 3.6)), 6)
    1.999931
    """
    one, two = above_zero("radius", radius_one_m), above_zero("radius", radius_two_m)
    sine = (one - two) / above_zero("centre distance", centres_m)
    if np.any(np.abs(sine) >= 1):
        raise NotAllowedError("centre distance", centres_m, "neither circle inside the other", "Measure again.")
    return 2 * np.sqrt(1 - sine**2)


def centres_for_length_m(radius_one_m: ArrayLike, radius_two_m: ArrayLike, length_m: ArrayLike) -> Floats:
    """Centre distance at which an open belt round two circles is taut: the inverse of `belt_length_m`.

    Parameters
    ----------
    radius_one_m, radius_two_m : array_like, shape (n,)
        Radii [m], above zero.
    length_m : array_like, shape (n,)
        Belt length [m], above the girth of the larger circle.

    Returns
    -------
    ndarray, shape (n,)
        Centre distance [m].

    Raises
    ------
    NotAllowedError
        A size not above zero, or a belt too short.

    References
    ----------
    Newton's rule on the exact length, which is convex in the distance.

    Examples
    --------
    >>> round(float(centres_for_length_m(0.350, 0.320, 9.305117048)), 6)
    3.6
    """
    one, two = above_zero("radius", radius_one_m), above_zero("radius", radius_two_m)
    length = above_zero("length", length_m)
    if np.any(length <= 2 * np.pi * np.maximum(one, two)):
        raise NotAllowedError("belt length", length, "more than the girth of the larger wheel", "Measure again.")
    least = np.abs(one - two) * (1 + 1e-9) + 1e-12
    apart = np.maximum((length - np.pi * (one + two)) / 2, least)
    for _ in range(60):
        step = (belt_length_m(one, two, apart) - length) / np.maximum(take_up_rate(one, two, apart), 1e-6)
        apart = np.maximum(apart - step, (apart + least) / 2)
        if np.all(np.abs(step) < 1e-14 * length):
            break
    return apart
