"""Readings in words."""

from pitchline.trade.readings import Reading
from pitchline.words.catalogue import translated


def reading_said(reading: Reading) -> str:
    """A reading's figures as they were typed, with the joints it was read over, such as "774 mm over 4 joints"."""
    return over_joints(reading.figures, reading.joints)


def over_joints(figures: str, joints: int) -> str:
    """Figures with the joints they were read over; of one joint the figures alone.

    Parameters
    ----------
    figures : str
        As they are shown, with their unit.
    joints : int
        How many, 1 or more.
    """
    if joints < 2:
        return figures
    return translated("{figures} over {joints} joints").format(figures=figures, joints=joints)
