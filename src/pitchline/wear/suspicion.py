"""A reading that looks wrong, and what was probably meant."""

import datetime as dt
from dataclasses import dataclass

from pitchline.trade.readings import Reading
from pitchline.trade.saying import Saying, saying


@dataclass(frozen=True, slots=True)
class Suspicion:
    """Something about a reading that looks wrong.

    Parameters
    ----------
    reading : Reading
        The reading as it stands.
    date : datetime.date
        The walk-round it was made on.
    suspects : Saying
        What is suspected.
    instead_m : float or None
        What was probably meant, for the whole length as read [m]; None where there is no such value.
    instead_joints : int or None
        Joints probably spanned, where that is suspected.
    held : bool
        Held readings stay out of the figures until they are corrected or kept with a reason.
    """

    reading: Reading
    date: dt.date
    suspects: Saying
    instead_m: float | None = None
    instead_joints: int | None = None
    held: bool = False


def as_read(reading: Reading) -> Saying:
    """The reading as it was typed, with the joints it was read over."""
    over = "over_joints" if reading.joints > 1 else "figures"
    return saying(f"reading.{over}", figures=reading.figures, joints=reading.joints)


def asked_of(reading: Reading, what: Saying, meant: Saying | None) -> Saying:
    """What looks wrong, what may have been meant instead, and why it was kept."""
    kept = saying("reading.kept", because=reading.kept_because) if reading.kept_because else None
    return saying("reading.asked", what=what, meant=meant or saying("reading.read_again"), kept=kept)
