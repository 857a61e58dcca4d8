"""Sizes a machine is drawn by on its slope."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Outline:
    """Sizes a machine is drawn by, the middle of each range.

    Parameters
    ----------
    length_m, loop_m, gravity_m : float
        Contact length, height of the track's loop, height of the centre of gravity [m].
    offset_m : float
        Centre of gravity ahead of the middle along the boom [m]; negative behind.
    """

    length_m: float
    loop_m: float
    gravity_m: float
    offset_m: float
