"""One reading as a point of a wear path."""

import datetime as dt
from dataclasses import dataclass

from pitchline.trade.readings import Reading
from pitchline.wear.doubt import Doubt


@dataclass(frozen=True, slots=True)
class Trace:
    """One reading as a point of a wear path.

    Parameters
    ----------
    date : datetime.date
        Day of the walk-round.
    service_h : float
        Service hours then [h].
    reading : Reading
        The reading.
    doubt : Doubt
        Its uncertainty.
    life_used : float
        Life used by the wear line [1].
    life_used_u : float
        Its standard uncertainty from the reading alone [1].
    beyond : bool
        Whether the line was carried on beyond its points.
    old_flat_m : float
        Of turned bushes, what was taken off for the old flat opposite [m].
    as_read : float or None
        Life used by the reading as it stands, where something was taken off [1].
    how_said : bool
        Whether it was said how a turned bush was measured.
    alike : int
        Places, this one among them, that the figure looks copied to; 1 where it does not.
    """

    date: dt.date
    service_h: float
    reading: Reading
    doubt: Doubt
    life_used: float
    life_used_u: float
    beyond: bool
    old_flat_m: float = 0.0
    as_read: float | None = None
    how_said: bool = True
    alike: int = 1

    @property
    def worst(self) -> float:
        """Life used if nothing may be taken off, where nobody said how it was measured [1]."""
        return self.life_used if self.as_read is None or self.how_said else self.as_read
