"""An outlook as people read it: three figures, in hours and in days."""

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class HoursLeft:
    """Hours until something is due, always as three figures.

    Parameters
    ----------
    cautious, middle, hopeful : float
        Hours by which 1 in 10, 1 in 2 and 9 in 10 have reached it [h], zero or more, rising.
    chance_now : float
        Chance that it is reached already [1].
    """

    cautious: float
    middle: float
    hopeful: float
    chance_now: float


NOW = HoursLeft(0.0, 0.0, 0.0, 1.0)
"""Before it works again."""


@dataclass(frozen=True, slots=True)
class Dates:
    """The three figures of an outlook as days; None where it is more than twenty years off.

    Parameters
    ----------
    cautious, middle, hopeful : datetime.date or None
        Cautious hours at the high hours a week, middle at the usual, hopeful at the low.
    """

    cautious: dt.date | None
    middle: dt.date | None
    hopeful: dt.date | None
