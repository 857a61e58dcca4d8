"""What was read on the same part before, and whether the part changed since."""

import datetime as dt

from pitchline.trade.dossier import Dossier, Event, PartEvent
from pitchline.trade.findings import Finding
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.readings import Reading, WalkRound
from pitchline.trade.work_done import Did, WorkDone, closed_by

_RENEWED_WITH: dict[PartKind, tuple[PartKind, ...]] = {
    PartKind.CHAIN: (PartKind.CHAIN, PartKind.BUSH),
    PartKind.BUSH: (PartKind.BUSH, PartKind.CHAIN),
    PartKind.LINK: (PartKind.LINK, PartKind.CHAIN),
    PartKind.PAD: (PartKind.PAD, PartKind.SHOE),
}
"""Parts whose recorded work renews a part: a new chain brings links and bushes, turned bushes shorten the pitch."""


def last_reading(dossier: Dossier, walk_round: WalkRound, reading: Reading) -> tuple[WalkRound, Reading] | None:
    """The newest earlier reading of the same quantity at the same place, unless the part was renewed since.

    Parameters
    ----------
    dossier : Dossier
        The machine, with its earlier walk-rounds and recorded events.
    walk_round : WalkRound
        The walk-round in question.
    reading : Reading
        One of its readings.

    Returns
    -------
    tuple of (WalkRound, Reading) or None
        None where there is none, or a recorded event lies between.
    """
    for earlier in reversed(dossier.walk_rounds):
        if earlier.date >= walk_round.date:
            continue
        for other in earlier.readings:
            if other.measurand is reading.measurand and other.place == reading.place:
                return None if _renewed(dossier, reading.place, earlier, walk_round) else (earlier, other)
    return None


def newest_reading(
    dossier: Dossier, place: Place, measurand: Measurand, now_h: float
) -> tuple[Reading, dt.date] | None:
    """The newest reading of what is at a place now, on a walk-round or as it was fitted or set, and its day.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    place : Place
        Where.
    measurand : Measurand
        What.
    now_h : float
        Later work is left out [h].

    Returns
    -------
    tuple of (Reading, datetime.date) or None
        None where nobody read it since the part was renewed, or since the track was worked on that it is set with.
    """
    setting = MEASURANDS[measurand].role is Role.SETTING
    renewed = [event for event in renewals(dossier.part_events, place) if event.service_h <= now_h]
    work = sorted(dossier.work, key=lambda one: (one.date, one.service_h))
    found: tuple[Reading, dt.date] | None = None
    for number, walk in enumerate(dossier.walk_rounds):
        after = dossier.walk_rounds[number + 1 :][:1]
        gone = any(event.follows(walk.date, walk.service_h) for event in renewed)
        found = None if gone else _read_at(walk.readings, place, measurand, walk.date) or found
        for one in work:
            if one.follows(walk) and not any(one.follows(later) for later in after) and one.service_h <= now_h:
                found = None if setting and one.resets(place.side) else found
                found = _read_at(one.readings, place, measurand, one.date) or found
    return found


def _read_at(
    readings: tuple[Reading, ...], place: Place, measurand: Measurand, date: dt.date
) -> tuple[Reading, dt.date] | None:
    return next(((one, date) for one in readings if one.place == place and one.measurand is measurand), None)


def renewed_h(dossier: Dossier, place: Place, walk_round: WalkRound) -> float | None:
    """Service hours at which a part was last renewed, turned or rebuilt, as recorded.

    Parameters
    ----------
    dossier : Dossier
        The machine, with its recorded events.
    place : Place
        The part.
    walk_round : WalkRound
        What came after it is left out.

    Returns
    -------
    float or None
        Service hours of the newest such event [h]; None where none is recorded.
    """
    return max(
        (
            event.service_h
            for event in renewals(dossier.part_events, place)
            if event.service_h <= walk_round.service_h
            and (event.seen_on is None or event.seen_on < walk_round.date)
        ),
        default=None,
    )


def _renewed(dossier: Dossier, place: Place, earlier: WalkRound, later: WalkRound) -> bool:
    return any(
        event.follows(earlier.date, earlier.service_h)
        and event.service_h <= later.service_h
        and (event.seen_on is None or event.seen_on < later.date)
        for event in renewals(dossier.part_events, place)
    )


def closing(dossier: Dossier, walk_round: WalkRound, finding: Finding) -> WorkDone | PartEvent | None:
    """The work that put right what was seen on a walk-round.

    Parameters
    ----------
    dossier : Dossier
        The machine, with the work written down.
    walk_round : WalkRound
        When it was seen.
    finding : Finding
        What was seen.

    Returns
    -------
    WorkDone or PartEvent or None
        The newest; None where it still stands. An entry of the history closes it where the part was renewed at later hours.
    """
    done: list[WorkDone | PartEvent] = [one for one in dossier.work if one.closes(finding, walk_round)]
    done += [
        event
        for event in dossier.events
        if event.event is not Event.TURNED
        and event.service_h > walk_round.service_h
        and closed_by(Did(event.event.value), (event.place,), finding)
    ]
    return max(done, key=lambda one: one.service_h, default=None)


def standing(dossier: Dossier, walk_round: WalkRound) -> tuple[Finding, ...]:
    """What was seen on a walk-round, less what was put right since."""
    return tuple(one for one in walk_round.findings if closing(dossier, walk_round, one) is None)


def renewals(events: tuple[PartEvent, ...], place: Place) -> tuple[PartEvent, ...]:
    """The recorded work that renewed, turned or rebuilt a part, oldest first.

    Returns
    -------
    tuple of PartEvent
        On the part itself, or on what brings it along: a new chain brings links and bushes.

    Examples
    --------
    >>> from pitchline.trade.dossier import Event
    >>> from pitchline.trade.parts import Side
    >>> chain = PartEvent(Place(PartKind.CHAIN, Side.LEFT), Event.FITTED_NEW, 1000.0)
    >>> [event.service_h for event in renewals((chain,), Place(PartKind.LINK, Side.LEFT))]
    [1000.0]
    """
    parts = _RENEWED_WITH.get(place.part, (place.part,))
    found = [
        event
        for event in events
        if event.place.part in parts
        and event.place.side is place.side
        and event.place.position in (0, place.position)
    ]
    return tuple(sorted(found, key=lambda event: event.service_h))
