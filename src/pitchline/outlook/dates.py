"""Hours to days, by the hours a machine works in a week."""

import datetime as dt

import numpy as np

from pitchline.trade.dossier import Utilisation
from pitchline.trade.units import DAYS_PER_WEEK

FARTHEST_WEEKS = 20 * 52


def day_when(as_of: dt.date, hours_h: float, hours_per_week: float) -> dt.date | None:
    """The day a number of hours will have been worked.

    Parameters
    ----------
    as_of : datetime.date
        The day the hours count from.
    hours_h : float
        Hours still to be worked [h], zero or more.
    hours_per_week : float
        Hours worked in a week [h], above zero.

    Returns
    -------
    datetime.date or None
        None when it is more than twenty years off, or beyond the last day of the calendar.

    Examples
    --------
    >>> day_when(dt.date(2026, 11, 2), 80.0, 40.0)
    datetime.date(2026, 11, 16)
    """
    weeks = hours_h / hours_per_week
    if weeks > FARTHEST_WEEKS:
        return None
    days = int(weeks * DAYS_PER_WEEK)
    return as_of + dt.timedelta(days=days) if days <= (dt.date.max - as_of).days else None


def working_day(day: dt.date, not_before: dt.date) -> dt.date:
    """The working day, Monday to Friday, on or before a day.

    Parameters
    ----------
    day, not_before : datetime.date
        The day meant, and the first that can be; from that on the next one is taken where there is none before.

    Examples
    --------
    >>> working_day(dt.date(2026, 11, 29), dt.date(2026, 11, 2)), working_day(dt.date(2026, 11, 29), dt.date(2026, 11, 28))
    (datetime.date(2026, 11, 27), datetime.date(2026, 11, 30))
    """
    before: dt.date = np.busday_offset(day, 0, roll="backward").astype(object)
    after: dt.date = np.busday_offset(not_before, 0, roll="forward").astype(object)
    return max(before, after)


def hours_by(weeks: float, utilisation: Utilisation) -> float:
    """Hours usually worked in a number of weeks.

    Parameters
    ----------
    weeks : float
        Weeks [weeks], zero or more.
    utilisation : Utilisation
        Hours a week.

    Returns
    -------
    float
        Hours [h].
    """
    return weeks * utilisation.usual
