"""A reading that looks wrong, and what was probably meant."""

import datetime as dt
from dataclasses import dataclass

from pitchline.trade.readings import Reading


@dataclass(frozen=True, slots=True)
class Suspicion:
    """Something about a reading that looks wrong.

    Parameters
    ----------
    reading : Reading
        The reading as it stands.
    date : datetime.date
        The walk-round it was made on.
    suspects : str
        What is suspected, in one sentence.
    instead_m : float or None
        What was probably meant, for the whole length as read [m]; None where there is no such value.
    instead_joints : int or None
        Joints probably spanned, where that is suspected.
    held : bool
        Held readings stay out of the figures until they are corrected or kept with a reason.
    repeat : int
        Which repeat is the slip, from 1, where one of several is and what was meant by it is plain; else 0.
    repeat_m : float or None
        What was meant by that repeat [m].
    """

    reading: Reading
    date: dt.date
    suspects: str
    instead_m: float | None = None
    instead_joints: int | None = None
    held: bool = False
    repeat: int = 0
    repeat_m: float | None = None
