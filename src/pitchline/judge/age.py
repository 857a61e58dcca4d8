"""How old the readings of a verdict are, and when they ask for a walk-round before anything is ordered.

See docs/explanation/calls.md.
"""

import datetime as dt

from pitchline.judge.machine_by_day import Known
from pitchline.trade.machine import TrackKind
from pitchline.trade.saying import Saying, saying
from pitchline.trade.units import DAYS_PER_WEEK
from pitchline.verdict import Verdict

OLD_WEEKS, OLD_CARRIED_H = 13.0, 500.0
"""A quarter of a year, or two common service intervals of hours carried on: beyond either, readings are old. Assumption."""
_IN_WEEKS_D = 14
_STOOD_WEEKS, _STOOD_H_A_WEEK = 26.0, 1.0
"""A machine that worked less than this between two walk-rounds so far apart stood still. Assumption."""
_MAY_HAVE_STOOD_WEEKS = 52.0


def age_said(read_on: dt.date, as_of: dt.date, carried_h: float | None) -> Saying | None:
    """How old readings are.

    Parameters
    ----------
    read_on : datetime.date
        Day of the last walk-round.
    as_of : datetime.date
        Day they are judged for.
    carried_h : float or None
        Hours worked since [h]; None where they are not known.

    Returns
    -------
    Saying or None
        Without a full stop; None on the day itself.
    """
    if as_of <= read_on:
        return None
    ago = saying("age.ago", time=time_said(read_on, as_of))
    return (
        saying("age.hours_unknown", ago=ago)
        if carried_h is None
        else saying("age.carried_on", ago=ago, carried_h=carried_h)
    )


def time_said(first: dt.date, later: dt.date) -> Saying:
    """How long it is from one day to a later one, in days or whole weeks."""
    days = (later - first).days
    in_days = days < _IN_WEEKS_D
    return saying(f"age.{'days' if in_days else 'weeks'}", n=days if in_days else int(days / DAYS_PER_WEEK))


def is_old(read_on: dt.date, as_of: dt.date, carried_h: float | None) -> bool:
    """Whether readings are too old to order by.

    Parameters
    ----------
    read_on : datetime.date
        Day of the last walk-round.
    as_of : datetime.date
        Day they are judged for.
    carried_h : float or None
        Hours worked since [h]; None where they are not known.

    References
    ----------
    Assumption.
    """
    return (as_of - read_on).days > OLD_WEEKS * DAYS_PER_WEEK or (carried_h or 0.0) > OLD_CARRIED_H


def age_of(verdict: Verdict) -> Saying | None:
    """How old the readings of a verdict are; None where they are of its day, or it does not say."""
    if verdict.read_on is None:
        return None
    known = verdict.utilisation is not None or verdict.carried_h > 0
    return age_said(verdict.read_on, verdict.as_of, verdict.carried_h if known else None)


def go_round_first(known: Known) -> Saying | None:
    """How old the readings are, where they are too old to order by.

    Returns
    -------
    Saying or None
        Without a full stop; None where they are fresh enough.
    """
    read_on = known.read_on
    return (
        age_said(read_on, known.as_of, known.carried_h) if is_old(read_on, known.as_of, known.carried_h) else None
    )


def age_remarks(known: Known) -> list[Saying]:
    """What a reader has to know of the age of the readings, and of a machine that stood still.

    Returns
    -------
    list of Saying
        None where the readings are fresh and the machine worked.

    References
    ----------
    What standing does: common practice, no source.
    """
    said = []
    old = go_round_first(known)
    if old is not None:
        said.append(saying("age.go_round_before_ordering", old=old))
    rounds, weeks_ago = known.dossier.walk_rounds, _weeks(known.read_on, known.as_of)
    apart = _weeks(rounds[-2].date, rounds[-1].date) if len(rounds) > 1 else 0.0
    stood = apart >= _STOOD_WEEKS and rounds[-1].service_h - rounds[-2].service_h < _STOOD_H_A_WEEK * apart
    if stood:
        said.append(saying("age.hardly_worked", weeks=int(apart), look=_standing(known)))
    elif weeks_ago > _MAY_HAVE_STOOD_WEEKS:
        said.append(saying("age.may_have_stood", weeks=int(weeks_ago), look=_standing(known)))
    return said


def _weeks(before: dt.date, after: dt.date) -> float:
    return (after - before).days / DAYS_PER_WEEK


def _standing(known: Known) -> Saying:
    rubber = known.dossier.gear.track is TrackKind.RUBBER
    return saying(f"age.long_standing_{'rubber' if rubber else 'steel'}")
