"""How well a worn chain and a worn sprocket match: the pitch each brings, and how far apart they are."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pitchline.shape.numbers import Floats, above_zero
from pitchline.shape.sprocket import joints_per_turn, pitch_diameter_m
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import SprocketGaps


@dataclass(frozen=True, slots=True)
class PitchMatch:
    """A chain on a sprocket.

    Parameters
    ----------
    offered_m : ndarray, shape (n,)
        Pitch the sprocket offers to joints seated in its roots [m].
    apart : ndarray, shape (n,)
        How much longer the chain's pitch is, as a share of that [1].
    ride_m : ndarray, shape (n,)
        How high above the roots the joints have to ride to fit [m].
    """

    offered_m: Floats
    apart: Floats
    ride_m: Floats


def pitch_match(
    pitch_new_m: ArrayLike,
    pitch_m: ArrayLike,
    teeth: ArrayLike,
    gaps: SprocketGaps,
    root_worn_m: ArrayLike = 0.0,
    bush_worn_m: ArrayLike = 0.0,
) -> PitchMatch:
    """How well a chain fits the sprocket it runs on.

    Parameters
    ----------
    pitch_new_m, pitch_m : array_like, shape (n,)
        Pitch of one joint, new and now [m], above zero.
    teeth : array_like of int, shape (n,)
        Counted teeth, 5 or more.
    gaps : SprocketGaps
        Whether each gap takes a joint or every second one.
    root_worn_m, bush_worn_m : array_like, shape (n,)
        Worn off the sprocket's root on the radius, and off the bush on the face that bears [m].

    Returns
    -------
    PitchMatch
        Pitches [m] and their difference [1].

    Raises
    ------
    NotAllowedError
        A pitch not above zero, fewer than five teeth, or a root worn to nothing.

    References
    ----------
    Derived: joints seated at r = p/(2 sin(pi/N)) - a - b stand 2 r sin(pi/N) apart; m = p'/that - 1; they ride r m higher to fit.

    Examples
    --------
    >>> new_chain = pitch_match(0.2, 0.2, 25, SprocketGaps.EVERY_SECOND, root_worn_m=0.006)
    >>> round(float(new_chain.apart), 5), round(float(new_chain.ride_m), 4)
    (0.01515, 0.006)
    """
    seated = pitch_diameter_m(pitch_new_m, teeth, gaps) / 2
    seated = seated - np.asarray(root_worn_m, dtype=np.float64) - np.asarray(bush_worn_m, dtype=np.float64)
    if np.any(seated <= 0):
        raise NotAllowedError(
            "wear of the sprocket's root [m]", root_worn_m, "less than its radius", "Measure again."
        )
    offered = 2 * seated * np.sin(np.pi / joints_per_turn(teeth, gaps))
    apart = above_zero("pitch", pitch_m) / offered - 1
    return PitchMatch(offered, apart, seated * apart)
