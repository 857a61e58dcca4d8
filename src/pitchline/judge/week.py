"""Hours a week a machine works: as its hours tell, or as somebody entered them.

See docs/explanation/calls.md.
"""

import datetime as dt
from dataclasses import dataclass

import numpy as np

from pitchline.trade.dossier import Dossier, Utilisation
from pitchline.trade.units import DAYS_PER_WEEK

MOST_WEEKS, LEAST_WEEKS, LEAST_SEEN = 26, 4, 5
"""Half a year back, so that the season counts; a month and a few sights at least. Assumptions."""
_QUIET, _BUSY = 0.1, 0.9
_STANDS_H = 0.5
"""A machine that works less than this a week stands: no week to go by. Assumption."""
_LEAST_SHARE = 0.1
"""A quiet week counts at least so much of a usual one: hours have to come some day. Assumption."""
_MOST_H = 168.0


@dataclass(frozen=True, slots=True)
class Week:
    """Hours a week, and where they come from.

    Parameters
    ----------
    utilisation : Utilisation or None
        Hours in a quiet, a usual and a busy week [h]; None where nobody knows.
    learned_weeks : int
        Weeks of hours seen that they were learned from; 0 where somebody entered them.
    stood_weeks : int
        Weeks of hours seen in which the machine stood, so that nothing was learned; else 0.
    """

    utilisation: Utilisation | None
    learned_weeks: int = 0
    stood_weeks: int = 0


def week_of(dossier: Dossier, as_of: dt.date) -> Week:
    """The hours a week in force on a day.

    Parameters
    ----------
    dossier : Dossier
        Hours seen, walk-rounds and work tell its hours.
    as_of : datetime.date
        What came later is left out.

    Returns
    -------
    Week
        Learned from the last 26 weeks before the newest hours seen, where these reach over four weeks: the mean, so that days
        told by it are right on the whole, and the tenth and ninetieth of a hundred weeks. Where they do not, where the machine
        stood, or where its own week is to hold: as entered.
    """
    entered = dossier.utilisation
    seen = [one for one in dossier.hours_seen if one.date <= as_of]
    if dossier.own_week or len(seen) < LEAST_SEEN:
        return Week(entered)
    # A sight of a walk-round counts like one of a feed; hours between walk-rounds long ago would make all weeks alike.
    since = seen[0].date - dt.timedelta(days=DAYS_PER_WEEK)
    known = [each for each in dossier.sights if since <= each[0] <= seen[-1].date]
    weeks = min(MOST_WEEKS, (known[-1][0] - known[0][0]).days // int(DAYS_PER_WEEK))
    if weeks < LEAST_WEEKS:
        return Week(entered)
    days = np.array([(day - known[-1][0]).days for day, _ in known], float)
    hours = np.maximum.accumulate(np.array([service_h for _, service_h in known]))
    # Hours run evenly between two sights: a feed that missed days gives its weeks the same each.
    worked = np.diff(np.interp(DAYS_PER_WEEK * np.arange(-weeks, 1), days, hours))
    usual = min(float(worked.mean()), _MOST_H)
    if usual < _STANDS_H:
        return Week(entered, stood_weeks=weeks)
    quiet, busy = np.quantile(worked, (_QUIET, _BUSY))
    low = min(usual, max(float(quiet), _LEAST_SHARE * usual))
    return Week(Utilisation(low, usual, min(_MOST_H, max(usual, float(busy)))), learned_weeks=weeks)
