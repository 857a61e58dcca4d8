"""How old the readings of a verdict are, and when they ask for a walk-round before anything is ordered.

See docs/explanation/calls.md.
"""

import datetime as dt

from pitchline.judge.machine_by_day import Known
from pitchline.trade.machine import TrackKind
from pitchline.trade.units import DAYS_PER_WEEK
from pitchline.trade.writing import as_figure
from pitchline.verdict import Verdict

OLD_WEEKS, OLD_CARRIED_H = 13.0, 500.0
"""A quarter of a year, or two common service intervals of hours carried on: beyond either, readings are old. Assumption."""
_IN_WEEKS_D = 14
_STOOD_WEEKS, _STOOD_H_A_WEEK = 26.0, 1.0
"""A machine that worked less than this between two walk-rounds so far apart stood still. Assumption."""
_MAY_HAVE_STOOD_WEEKS = 52.0


def age_said(read_on: dt.date, as_of: dt.date, carried_h: float | None) -> str:
    """How old readings are, in words.

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
    str
        Without a full stop; empty on the day itself.

    Examples
    --------
    >>> age_said(dt.date(2026, 8, 12), dt.date(2026, 11, 25), 480.0)
    'read 15 weeks ago, carried on 480 h'
    >>> age_said(dt.date(2026, 11, 24), dt.date(2026, 11, 25), None)
    'read 1 day ago; hours since are not known'
    """
    if as_of <= read_on:
        return ""
    ago = f"read {time_said(read_on, as_of)} ago"
    return (
        f"{ago}; hours since are not known" if carried_h is None else f"{ago}, carried on {as_figure(carried_h)} h"
    )


def time_said(first: dt.date, later: dt.date) -> str:
    """How long it is from one day to a later one, in days or whole weeks, such as "15 weeks"."""
    days = (later - first).days
    many, what = (days, "day") if days < _IN_WEEKS_D else (int(days / DAYS_PER_WEEK), "week")
    return f"{many} {what}{'s' if many != 1 else ''}"


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


def age_of(verdict: Verdict) -> str:
    """How old the readings of a verdict are, in words; empty where they are of its day, or it does not say.

    Returns
    -------
    str
        Such as "read 15 weeks ago, carried on 480 h".
    """
    if verdict.read_on is None:
        return ""
    known = verdict.utilisation is not None or verdict.carried_h > 0
    return age_said(verdict.read_on, verdict.as_of, verdict.carried_h if known else None)


def go_round_first(known: Known) -> str:
    """How old the readings are, where they are too old to order by.

    Returns
    -------
    str
        Without a full stop; empty where they are fresh enough.
    """
    read_on = known.read_on
    return age_said(read_on, known.as_of, known.carried_h) if is_old(read_on, known.as_of, known.carried_h) else ""


def age_remarks(known: Known) -> list[str]:
    """What a reader has to know of the age of the readings, and of a machine that stood still.

    Returns
    -------
    list of str
        One sentence or two each; empty where the readings are fresh and the machine worked.

    References
    ----------
    What standing does: common practice, no source.
    """
    said = []
    old = go_round_first(known)
    if old:
        said.append(
            f"Go round it before anything is ordered: {old}. What is seen by eye, such as loose bolts, cracks, leaks and "
            "slack, is as old as that."
        )
    rounds, weeks_ago = known.dossier.walk_rounds, _weeks(known.read_on, known.as_of)
    apart = _weeks(rounds[-2].date, rounds[-1].date) if len(rounds) > 1 else 0.0
    stood = apart >= _STOOD_WEEKS and rounds[-1].service_h - rounds[-2].service_h < _STOOD_H_A_WEEK * apart
    if stood:
        said.append(f"It hardly worked for {int(apart)} weeks before its last walk-round. {_standing(known)}")
    elif weeks_ago > _MAY_HAVE_STOOD_WEEKS:
        said.append(f"It may have stood for most of these {int(weeks_ago)} weeks. {_standing(known)}")
    return said


def _weeks(before: dt.date, after: dt.date) -> float:
    return (after - before).days / DAYS_PER_WEEK


def _standing(known: Known) -> str:
    rubber = known.dossier.gear.track is TrackKind.RUBBER
    track = "aged, cracked rubber" if rubber else "joints rusted stiff"
    return (
        f"Long standing dries out seals, which leak once it moves, and leaves {track} and flat spots on rollers: look for "
        "these before its first hour and after its first day (common practice, no source)."
    )
