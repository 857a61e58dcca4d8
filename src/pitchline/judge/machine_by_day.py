"""What was known of a machine by a day, and the hours its outlook counts from."""

import datetime as dt
from dataclasses import dataclass, field, replace

from pitchline.judge.sizes_read import odd_readings
from pitchline.judge.week import Week, week_of
from pitchline.outlook.dates import hours_by
from pitchline.trade.dossier import Dossier, Utilisation
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.measurands import MEASURANDS
from pitchline.trade.readings import Reading
from pitchline.trade.saying import Saying, saying
from pitchline.trade.units import DAYS_PER_WEEK
from pitchline.trade.writing import as_figure
from pitchline.wear.plausibility import suspicions
from pitchline.wear.suspicion import Suspicion

PITCH_ROOM = 0.15
"""How far the new pitch of a limit may lie from that of the running gear, as a share of it. Our own wide bound."""


ASSUMED_WEEK = Utilisation(20.0, 40.0, 60.0)
"""Hours a week behind the booking window of a machine whose own are not entered. An assumption: one shift of working days."""


@dataclass(frozen=True, slots=True)
class Known:
    """A dossier as it stood on a day.

    Parameters
    ----------
    dossier : Dossier
        Without what came later.
    as_of : datetime.date
        The day.
    now_h : float
        Service hours then [h].
    how : Saying
        How those hours are known.
    carried_h : float or None
        Of them, worked since the last walk-round [h]; None where that is not known.
    suspicions : tuple of Suspicion
        Readings that look wrong, over all walk-rounds.
    odd : frozenset of (datetime.date, Reading)
        Readings of a part of another kind.
    week : Week
        Hours a week, which the dossier has too, and where they come from.
    entered_week : Utilisation or None
        As somebody entered them.
    """

    dossier: Dossier
    as_of: dt.date
    now_h: float
    how: Saying
    carried_h: float | None
    suspicions: tuple[Suspicion, ...]
    odd: frozenset[tuple[dt.date, Reading]] = frozenset()
    week: Week = field(default_factory=lambda: Week(None))
    entered_week: Utilisation | None = None

    @property
    def window_h(self) -> float:
        """The booking window [h], by an assumed week where none is entered."""
        return hours_by(self.dossier.call_rule.booking_window_weeks, self.dossier.utilisation or ASSUMED_WEEK)

    @property
    def read_on(self) -> dt.date:
        """Day of the last walk-round."""
        return self.dossier.walk_rounds[-1].date

    @property
    def held(self) -> frozenset[tuple[dt.date, Reading]]:
        """Readings left out of the figures."""
        held = ((suspicion.date, suspicion.reading) for suspicion in self.suspicions if suspicion.held)
        return self.odd.union(held)


def known_by(dossier: Dossier, as_of: dt.date | None) -> Known:
    """What was known of a machine by a day.

    Parameters
    ----------
    dossier : Dossier
        Everything recorded.
    as_of : datetime.date or None
        The day; None takes the day of the last walk-round, or of the work done or the hours seen since.

    Returns
    -------
    Known
        Later walk-rounds, work and hours left out; hours carried on by the usual hours a week where the day is after the last
        one, or after the work done or the hours seen since.

    Raises
    ------
    NotAllowedError
        There is no walk-round by that day, or the new pitch of a limit is not that of the running gear.
    """
    rounds = tuple(w for w in dossier.walk_rounds if as_of is None or w.date <= as_of)
    work = tuple(one for one in dossier.work if as_of is None or one.date <= as_of)
    seen = tuple(one for one in dossier.hours_seen if as_of is None or one.date <= as_of)
    if not rounds:
        allowed = phrase("at least one walk-round")
        if as_of is not None:
            allowed = phrase("at least one walk-round on or before {day}", day=as_of)
        raise NotAllowedError(
            "walk-rounds",
            "none",
            allowed,
            "Make a blank sheet, go round the machine, and pass the sheet with --sheet.",
        )
    _check_pitch(dossier)
    last = rounds[-1]
    looked = tuple(one for one in dossier.looked_for if as_of is None or one.date <= as_of)
    day = max([last.date, *(one.date for one in work), *(one.date for one in seen)]) if as_of is None else as_of
    week, entered = week_of(dossier, day), dossier.utilisation
    dossier = replace(
        dossier, walk_rounds=rounds, work=work, looked_for=looked, hours_seen=seen, utilisation=week.utilisation
    )
    read_on, read_h, how = last.date, last.service_h, "read"
    newest = max(
        (one for one in work if one.follows(last)), key=lambda one: (one.date, one.service_h), default=None
    )
    if newest is not None and newest.service_h > last.service_h:
        read_on, read_h, how = newest.date, newest.service_h, "worked_on"
    if seen and seen[-1].date >= read_on and seen[-1].service_h >= read_h and seen[-1].date > last.date:
        read_on, read_h, how = seen[-1].date, seen[-1].service_h, "seen"
    carried_h, known_how = _worked_since(dossier, read_on, day, how)
    if carried_h is not None or read_h > last.service_h or how == "seen":
        carried_h = read_h - last.service_h + (carried_h or 0.0)
    found = tuple(suspicion for walk_round in rounds for suspicion in suspicions(dossier, walk_round))
    now_h = last.service_h + (carried_h or 0.0)
    odd = odd_readings(dossier, now_h, found)
    return Known(dossier, day, now_h, known_how, carried_h, found, odd, week, entered)


def _worked_since(dossier: Dossier, read_on: dt.date, day: dt.date, how: str) -> tuple[float | None, Saying]:
    """Hours worked from a walk-round, work or hours seen to a day [h], None where not known, and how."""
    weeks = (day - read_on).days / DAYS_PER_WEEK
    if not weeks:
        return 0.0, saying(f"age.{how}_on_the_day", day=read_on)
    if dossier.utilisation is None:
        return None, saying(f"age.{how}_not_carried_on", day=read_on)
    usual = dossier.utilisation.usual
    return weeks * usual, saying(f"age.{how}_and_carried_on", day=read_on, week_h=usual, until=day)


def _check_pitch(dossier: Dossier) -> None:
    """A pitch limit is for one joint: entered over several it would make every reading look wrong."""
    pitch_m = dossier.gear.pitch_m
    for limit in dossier.limits:
        if MEASURANDS[limit.measurand].spans_joints and abs(limit.new_m - pitch_m) > PITCH_ROOM * pitch_m:
            raise NotAllowedError(
                phrase("limit of {quantity:quantity}, new", quantity=limit.measurand),
                f"{as_figure(limit.new_m * 1e3, 'g')} mm",
                phrase("about the running gear's pitch of {pitch_m} mm", pitch_m=as_figure(pitch_m * 1e3, "g")),
                "Enter the sizes of one joint, not of several together.",
            )
