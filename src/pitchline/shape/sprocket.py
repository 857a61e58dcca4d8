"""A chain on a toothed wheel: pitch circle, root size, travel, climb, polygon effect, hunting teeth.

Two kinds of sprocket: a joint in each gap, or in every second one, its teeth half a pitch apart (common practice, no source).
"""

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
