"""What was read on the same part before, and whether the part changed since."""

from pitchline.trade.dossier import Dossier, PartEvent
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.readings import Reading, WalkRound

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
                between = (earlier.service_h, walk_round.service_h)
                return None if _renewed(dossier.events, reading.place, between) else (earlier, other)
    return None


def renewed_h(dossier: Dossier, place: Place, until_h: float) -> float | None:
    """Service hours at which a part was last renewed, turned or rebuilt, as recorded.

    Parameters
    ----------
    dossier : Dossier
        The machine, with its recorded events.
    place : Place
        The part.
    until_h : float
        Later events are left out [h].

    Returns
    -------
    float or None
        Service hours of the newest such event [h]; None where none is recorded.
    """
    return max((hours for hours in _renewals_h(dossier.events, place) if hours <= until_h), default=None)


def _renewed(events: tuple[PartEvent, ...], place: Place, between_h: tuple[float, float]) -> bool:
    return any(between_h[0] <= hours <= between_h[1] for hours in _renewals_h(events, place))


def _renewals_h(events: tuple[PartEvent, ...], place: Place) -> list[float]:
    return [event.service_h for event in renewals(events, place)]


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
