"""From what the hour meter shows to service hours that run on across a change of the meter."""

import datetime as dt
from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError


@dataclass(frozen=True, slots=True)
class MeterChange:
    """One change of the hour meter.

    Parameters
    ----------
    date : datetime.date
        The day it was changed.
    old_h : float
        What the old meter showed last [h], zero or more.
    new_h : float
        What the new one showed first [h], zero or more.

    Raises
    ------
    NotAllowedError
        Negative hours.
    """

    date: dt.date
    old_h: float
    new_h: float = 0.0

    def __post_init__(self) -> None:
        for hours in (self.old_h, self.new_h):
            if not hours >= 0:
                raise NotAllowedError("meter change, hours", hours, "0 h or more")


def service_hours(meter_h: float, date: dt.date, changes: tuple[MeterChange, ...] = ()) -> float:
    """Service hours behind a meter reading.

    Parameters
    ----------
    meter_h : float
        What the meter showed [h], zero or more.
    date : datetime.date
        The day it was read; on the day of a change the new meter counts.
    changes : tuple of MeterChange
        Every change of the meter, in any order.

    Returns
    -------
    float
        Service hours [h]: the same as the meter where it was never changed.

    Raises
    ------
    NotAllowedError
        Negative hours.

    Examples
    --------
    >>> service_hours(150.0, dt.date(2026, 5, 1), (MeterChange(dt.date(2026, 3, 1), 8000.0),))
    8150.0
    """
    if not meter_h >= 0:
        raise NotAllowedError("hours on the meter", meter_h, "0 h or more")
    return meter_h + sum(change.old_h - change.new_h for change in changes if change.date <= date)
