"""What happens as joints wear: the chain grows, take-up is used, and at last a joint can come out."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pitchline.shape.numbers import Floats, above_zero
from pitchline.trade.errors import NotAllowedError


@dataclass(frozen=True, slots=True)
class JointWear:
    """A stretched chain in lengths.

    Parameters
    ----------
    elongation : ndarray, shape (n,)
        Growth of pitch as a share of the new pitch [1]; below 0 for a chain that reads short.
    per_joint_m : ndarray, shape (n,)
        Wear of pin and bush bore together, on the side that pulls [m].
    growth_m : ndarray, shape (n,)
        How much longer the whole chain is than new [m].
    take_up_m : ndarray, shape (n,)
        How far the idler has been moved out for that growth [m].
    joint_out_m : ndarray, shape (n,)
        How far it would come back if one joint were taken out [m].
    """

    elongation: Floats
    per_joint_m: Floats
    growth_m: Floats
    take_up_m: Floats
    joint_out_m: Floats


def joint_wear(
    pitch_new_m: ArrayLike, pitch_now_m: ArrayLike, joints: ArrayLike, rate: ArrayLike = 2.0
) -> JointWear:
    """Growth of a chain and the take-up it uses.

    Parameters
    ----------
    pitch_new_m, pitch_now_m : array_like, shape (n,)
        Pitch of one joint, new and now [m], above zero.
    joints : array_like of int, shape (n,)
        Joints in the closed chain, above zero.
    rate : array_like, shape (n,)
        Chain length taken up for each length the idler moves [1], above 0 up to 2; see `take_up_rate`.

    Returns
    -------
    JointWear
        The lengths [m].

    Raises
    ------
    NotAllowedError
        A figure not above zero, or a rate above 2.

    References
    ----------
    Derived: e = p'/p - 1; growth e L; take-up growth / (dL/ds); a joint out gives p' / (dL/ds) back.

    Examples
    --------
    >>> worn = joint_wear(0.2, 0.204, 49)
    >>> round(float(worn.growth_m), 4), round(float(worn.take_up_m), 4)
    (0.196, 0.098)
    """
    new, now, count = (
        above_zero("new pitch", pitch_new_m),
        above_zero("pitch", pitch_now_m),
        above_zero("joints", joints),
    )
    moved = above_zero("take-up rate", rate)
    if np.any(moved > 2):
        raise NotAllowedError("take-up rate", moved.max(), "above 0 up to 2")
    growth = (now - new) * count
    return JointWear(now / new - 1, now - new, growth, growth / moved, now / moved)
