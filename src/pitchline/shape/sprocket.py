"""A chain on a toothed wheel: pitch circle, root size, travel, climb, polygon effect, hunting teeth.

Two kinds of sprocket: a joint in each gap, or in every second one, its teeth half a pitch apart (common practice, no source).
"""

import math

import numpy as np
from numpy.typing import ArrayLike

from pitchline.shape.numbers import Floats, above_zero
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import SprocketGaps


def joints_per_turn(teeth: ArrayLike, gaps: SprocketGaps) -> Floats:
    """Joints that one turn of the sprocket takes.

    Parameters
    ----------
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.

    Returns
    -------
    ndarray, shape (n,)
        Joints a turn [1]; half the teeth where every second gap takes a joint.

    Raises
    ------
    NotAllowedError
        Fewer than five teeth.

    Examples
    --------
    >>> joints_per_turn(25, SprocketGaps.EVERY_SECOND).tolist()
    12.5
    """
    counted = np.asarray(teeth, dtype=np.float64)
    if np.any(counted < 5):
        raise NotAllowedError("sprocket teeth", counted.min(), "5 or more", "Count again.")
    return counted / 2 if gaps is SprocketGaps.EVERY_SECOND else counted


def pitch_diameter_m(pitch_m: ArrayLike, teeth: ArrayLike, gaps: SprocketGaps) -> Floats:
    """Diameter of the circle through the joint centres.

    Parameters
    ----------
    pitch_m : array_like, shape (n,)
        Pitch of one joint [m], above zero.
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.

    Returns
    -------
    ndarray, shape (n,)
        Pitch circle diameter [m].

    Raises
    ------
    NotAllowedError
        A pitch not above zero, or fewer than five teeth.

    References
    ----------
    p / sin(pi / N), as ISO 606 and ASME B29.1 have it (standards not seen); with half-pitch teeth p / sin(2 pi / N), derived.

    Examples
    --------
    >>> round(float(pitch_diameter_m(0.2, 25, SprocketGaps.EVERY_SECOND)), 6)
    0.804214
    """
    return above_zero("pitch", pitch_m) / np.sin(np.pi / joints_per_turn(teeth, gaps))


def root_diameter_m(pitch_m: ArrayLike, teeth: ArrayLike, gaps: SprocketGaps, bush_m: ArrayLike) -> Floats:
    """Diameter of the circle on which seated bushes rest.

    Parameters
    ----------
    pitch_m : array_like, shape (n,)
        Pitch of one joint [m], above zero.
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.
    bush_m : array_like, shape (n,)
        Bush outside diameter [m], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Root circle diameter [m].

    Raises
    ------
    NotAllowedError
        A size not above zero, or fewer than five teeth.

    References
    ----------
    Pitch diameter less one bush, any roller chain handbook.

    Examples
    --------
    >>> round(float(root_diameter_m(0.2, 25, SprocketGaps.EVERY_SECOND, 0.06)), 6)
    0.744214
    """
    return pitch_diameter_m(pitch_m, teeth, gaps) - above_zero("bush outside diameter", bush_m)


def root_across_teeth_m(pitch_m: ArrayLike, teeth: ArrayLike, gaps: SprocketGaps, bush_m: ArrayLike) -> Floats:
    """What a calliper reads across two gaps as nearly opposite as the count of teeth allows.

    Parameters
    ----------
    pitch_m : array_like, shape (n,)
        Pitch of one joint [m], above zero.
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.
    bush_m : array_like, shape (n,)
        Bush outside diameter [m], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Calliper diameter [m]; the root diameter for an even count, less for an odd one.

    Raises
    ------
    NotAllowedError
        A size not above zero, or fewer than five teeth.

    References
    ----------
    ANSI/ASME B29.1M calliper diameter: d cos(90 deg / N) - b for odd N (standard not seen); N as counted on half-pitch
    sprockets, derived.

    Examples
    --------
    >>> round(float(root_across_teeth_m(0.2, 25, SprocketGaps.EVERY_SECOND, 0.06)), 6)
    0.742628
    """
    counted = np.asarray(teeth)
    off_centre = np.where(counted % 2 == 1, np.cos(np.pi / 2 / counted), 1.0)
    return pitch_diameter_m(pitch_m, teeth, gaps) * off_centre - above_zero("bush outside diameter", bush_m)


def travel_per_turn_m(pitch_m: ArrayLike, teeth: ArrayLike, gaps: SprocketGaps) -> Floats:
    """Chain that passes in one turn of the sprocket.

    Parameters
    ----------
    pitch_m : array_like, shape (n,)
        Pitch of one joint [m], above zero.
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.

    Returns
    -------
    ndarray, shape (n,)
        Length [m].

    Raises
    ------
    NotAllowedError
        A pitch not above zero, or fewer than five teeth.

    Examples
    --------
    >>> float(travel_per_turn_m(0.2, 25, SprocketGaps.EVERY_SECOND))
    2.5
    """
    return joints_per_turn(teeth, gaps) * above_zero("pitch", pitch_m)


def climb_m(pitch_m: ArrayLike, teeth: ArrayLike, gaps: SprocketGaps, elongation: ArrayLike) -> Floats:
    """How far a stretched chain rides out from the pitch circle it was made for.

    Parameters
    ----------
    pitch_m : array_like, shape (n,)
        New pitch of one joint [m], above zero.
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.
    elongation : array_like, shape (n,)
        Growth of pitch as a share of the new pitch [1], any sign.

    Returns
    -------
    ndarray, shape (n,)
        Rise of the joint centres up the teeth [m].

    Raises
    ------
    NotAllowedError
        A pitch not above zero, or fewer than five teeth.

    References
    ----------
    e d / 2, derived: the same count of longer pitches wants a larger circle.

    Examples
    --------
    >>> round(float(climb_m(0.2, 25, SprocketGaps.EVERY_SECOND, 0.03)) * 1e3, 3)
    12.063
    """
    return np.asarray(elongation, dtype=np.float64) * pitch_diameter_m(pitch_m, teeth, gaps) / 2


def speed_spread(teeth: ArrayLike, gaps: SprocketGaps) -> Floats:
    """Spread of chain speed over its mean, because the chain lies on the wheel as a polygon.

    Parameters
    ----------
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.

    Returns
    -------
    ndarray, shape (n,)
        Largest less smallest speed, over the mean [1].

    Raises
    ------
    NotAllowedError
        Fewer than five teeth.

    References
    ----------
    Polygon effect of chain drives, (pi / N) tan(pi / 2N), any machine design textbook (from memory).

    Examples
    --------
    >>> round(float(speed_spread(17, SprocketGaps.EACH)), 5)
    0.01712
    """
    half_rad: Floats = np.pi / joints_per_turn(teeth, gaps)
    spread: Floats = half_rad * np.tan(half_rad / 2)
    return spread


def rise_and_fall_m(pitch_m: ArrayLike, teeth: ArrayLike, gaps: SprocketGaps) -> Floats:
    """How far the strand moves up and down as each joint comes on to the sprocket.

    Parameters
    ----------
    pitch_m : array_like, shape (n,)
        Pitch of one joint [m], above zero.
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.

    Returns
    -------
    ndarray, shape (n,)
        Rise and fall [m].

    Raises
    ------
    NotAllowedError
        A pitch not above zero, or fewer than five teeth.

    References
    ----------
    (d / 2)(1 - cos(pi / N)), any machine design textbook (from memory).

    Examples
    --------
    >>> round(float(rise_and_fall_m(0.2, 25, SprocketGaps.EVERY_SECOND)) * 1e3, 3)
    12.633
    """
    cosine: Floats = np.cos(np.pi / joints_per_turn(teeth, gaps))
    return pitch_diameter_m(pitch_m, teeth, gaps) / 2 * (1 - cosine)


def laps_to_same_gap(joints: int, teeth: int, gaps: SprocketGaps) -> int:
    """Laps of the chain before a joint meets the same tooth gap again.

    Parameters
    ----------
    joints : int
        Joints in the closed chain, above zero.
    teeth : int
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.

    Returns
    -------
    int
        Laps, from 1. With 1 each joint wears always the same gap.

    Raises
    ------
    NotAllowedError
        No joints, or fewer than five teeth.

    References
    ----------
    N / gcd(N, M), or N / gcd(N, 2M) with half-pitch teeth; derived.

    Examples
    --------
    >>> laps_to_same_gap(49, 25, SprocketGaps.EVERY_SECOND)
    25
    """
    if joints < 1:
        raise NotAllowedError("joints", joints, "1 or more", "Count again.")
    if teeth < 5:
        raise NotAllowedError("sprocket teeth", teeth, "5 or more", "Count again.")
    moved = 2 * joints if gaps is SprocketGaps.EVERY_SECOND else joints
    return teeth // math.gcd(teeth, moved)


def plausible_elongation(teeth: ArrayLike) -> Floats:
    """Growth beyond which a roller chain no longer suits its wheel: a ceiling for plausibility, never a wear limit.

    Parameters
    ----------
    teeth : array_like, shape (n,)
        Joints a turn of the larger wheel [1], above zero.

    Returns
    -------
    ndarray, shape (n,)
        Share of the new pitch [1]: 3 %, or 2 / N where that is less.

    Raises
    ------
    NotAllowedError
        A count not above zero.

    References
    ----------
    Roller chain practice: 3 % of length or 200/N %, whichever is less (common practice, no source).

    Examples
    --------
    >>> float(plausible_elongation(80))
    0.025
    """
    return np.asarray(np.minimum(0.03, 2 / above_zero("joints a turn", teeth)), dtype=np.float64)
