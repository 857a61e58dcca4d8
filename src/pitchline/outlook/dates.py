"""Hours to days, by the hours a machine works in a week."""

import datetime as dt

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
