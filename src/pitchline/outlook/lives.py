"""From a machine's dossier to the wear paths of its parts: which part was fitted when, and what was read of it.

See docs/explanation/outlook.md.
"""

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pitchline.outlook.kinds import kind_life
from pitchline.outlook.paths import GROUNDS, FloatArray, PartLife
from pitchline.outlook.trace import Trace
from pitchline.outlook.turned import less_old_flat, old_flat
from pitchline.trade.dossier import Dossier, Event, KindLife, Limit, PartEvent
from pitchline.trade.measurands import MEASURANDS, Measurand, Role, measurands_of
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.readings import Reading
from pitchline.wear.copied import copied, steps_by_others_m
from pitchline.wear.doubt import reading_doubt
from pitchline.wear.line import WearLine, wear_line

NEW_SIZE_SHARE = 0.02
"""Standard uncertainty of a new size as a share of the wear allowance, where none is entered: assumption of this project."""
TURNED_START = 0.10
"""The same for the face that bears after a turn, which may have worn before."""
REBUILT_START = 0.05
"""The same for a rebuilt part."""

_CHAIN = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)
_RENEWS: dict[tuple[PartKind, Event], tuple[PartKind, ...]] = {
    (PartKind.BUSH, Event.TURNED): (PartKind.BUSH, PartKind.CHAIN),
    (PartKind.BUSH, Event.FITTED_NEW): (PartKind.BUSH, PartKind.CHAIN),
    (PartKind.CHAIN, Event.FITTED_NEW): _CHAIN,
    (PartKind.CHAIN, Event.FITTED_PART_WORN): _CHAIN,
    (PartKind.LINK, Event.FITTED_NEW): _CHAIN,
    (PartKind.LINK, Event.FITTED_PART_WORN): _CHAIN,
}
"""What else an event renews: turning bushes brings the pitch back, a chain comes with bushes. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Life:
    """One part's life at one place, in one quantity.

    Parameters
    ----------
    place : Place
        Where.
    measurand : Measurand
        What is read.
    line : WearLine
        From reading to life used.
    kind : KindLife
        Typical life it starts from.
    kind_entered : bool
        Whether the yard entered that.
    started : PartEvent or None
        The event that began it; None for whatever was there before any record.
    ended_h : float or None
        Service hours when it was taken off or turned [h]; None for the part now fitted.
    traces : tuple of Trace
        Its readings, in order.
    path : PartLife
        The same as the outlook takes it; its kind is a number in the list of kinds.
    """

    place: Place
    measurand: Measurand
    line: WearLine
    kind: KindLife
    kind_entered: bool
    started: PartEvent | None
    ended_h: float | None
    traces: tuple[Trace, ...]
    path: PartLife

    @property
    def now_fitted(self) -> bool:
        """Whether it is the part on the machine now."""
        return self.ended_h is None

    @property
    def turned(self) -> bool:
        """Whether it began with a turn."""
        return self.started is not None and self.started.event is Event.TURNED


@dataclass(frozen=True, slots=True)
class Lives:
    """Every wear path of one machine.

    Parameters
    ----------
    lives : tuple of Life
        Those taken off and those now fitted.
    kinds : tuple of KindLife
        Typical lives, in the order of the numbers in the paths.
    """

    lives: tuple[Life, ...]
    kinds: tuple[KindLife, ...]


def ground_hours(dossier: Dossier, from_h: float, to_h: float) -> FloatArray:
    """Hours worked in each ground class between two service hours.

    Parameters
    ----------
    dossier : Dossier
        The machine; hours no span covers count as its usual ground.
    from_h, to_h : float
        Service hours [h], the second not below the first.

    Returns
    -------
    ndarray, shape (g,)
        Hours in each class [h], summing to the difference.
    """
    hours = np.zeros(GROUNDS)
    for span in dossier.ground_spans:
        hours[span.ground] += max(0.0, min(to_h, span.to_h) - max(from_h, span.from_h))
    hours[dossier.usual_ground] += max(0.0, to_h - from_h - float(hours.sum()))
    return hours


def events_at(dossier: Dossier, place: Place) -> tuple[PartEvent, ...]:
    """Events that began a new life at a place, in order of hours.

    Returns
    -------
    tuple of PartEvent
        Also those of parts that come with it, such as a new chain for the bushes.

    References
    ----------
    What comes with what is common practice, no source.
    """
    found = []
    for event in dossier.part_events:
        renewed = _RENEWS.get((event.place.part, event.event), (event.place.part,))
        same_side = event.place.side is place.side
        if place.part in renewed and same_side and event.place.position in (0, place.position):
            found.append(event)
    return tuple(sorted(found, key=lambda event: event.service_h))


def lives_of(dossier: Dossier, now_h: float, held: frozenset[tuple[dt.date, Reading]] = frozenset()) -> Lives:
    """Every wear path of a machine for which a limit is entered.

    Parameters
    ----------
    dossier : Dossier
        The machine.
    now_h : float
        Present service hours [h].
    held : frozenset of (datetime.date, Reading)
        Readings to leave out.

    Returns
    -------
    Lives
        In walking order, the part now fitted last at each place.
    """
    found: list[Life] = []
    kinds: list[KindLife] = []
    tidy = _tidy(dossier)
    for place in dossier.gear.places():
        for measurand in measurands_of(place.part):
            limit = dossier.limit_of(place.part, measurand)
            if MEASURANDS[measurand].role is Role.WEAR and limit is not None and limit.limit_m is not None:
                found += _lives_at(dossier, place, limit, now_h, held, kinds, tidy)
    return Lives(tuple(found), tuple(kinds))


def _lives_at(
    dossier: Dossier,
    place: Place,
    limit: Limit,
    now_h: float,
    held: frozenset[tuple[dt.date, Reading]],
    kinds: list[KindLife],
    tidy: "_Tidy",
) -> list[Life]:
    line = wear_line(limit)
    kind, entered = kind_life(dossier, place.part, limit.measurand)
    if kind not in kinds:
        kinds.append(kind)
    traces = _traces(dossier, place, limit.measurand, line, held, tidy)
    events = [event for event in events_at(dossier, place) if event.service_h <= now_h]
    starts: list[PartEvent | None] = [None, *events]
    ends: list[PartEvent | None] = [*events, None]
    lives = []
    before: tuple[Trace, ...] = ()
    fitted_h = 0.0
    for started, ended in zip(starts, ends, strict=True):
        ended_h = ended.service_h if ended is not None else None
        mine = (
            *_as_fitted(limit, line, started, held),
            *(trace for trace in traces if _belongs(trace, started, ended)),
        )
        reverse = None
        if started is not None and started.event is Event.TURNED and limit.measurand is Measurand.BUSH_OD_FORWARD:
            flat = old_flat(limit, before, fitted_h, started.service_h)
            mine = tuple(less_old_flat(trace, flat, line) for trace in mine)
            reverse = _reverse_before(dossier, place, started, held, tidy)
        before, fitted_h = mine, started.service_h if started is not None else 0.0
        if mine or (ended_h is None and not _turned_away(limit, started)):
            to_h = now_h if ended_h is None else ended_h
            path = _path(dossier, kinds.index(kind), limit, started, mine, to_h, reverse)
            lives.append(Life(place, limit.measurand, line, kind, entered, started, ended_h, mine, path))
    return lives


def _reverse_before(
    dossier: Dossier, place: Place, turned: PartEvent, held: frozenset[tuple[dt.date, Reading]], tidy: "_Tidy"
) -> Trace | None:
    """The last reading of the reverse face before a turn: the face that drives forward from then on."""
    limit = dossier.limit_of(place.part, Measurand.BUSH_OD_REVERSE)
    if limit is None or limit.limit_m is None:
        return None
    last_h = max((e.service_h for e in events_at(dossier, place) if e.service_h < turned.service_h), default=-1.0)
    read = _traces(dossier, place, limit.measurand, wear_line(limit), held, tidy)
    return next(
        (
            trace
            for trace in reversed(read)
            if last_h < trace.service_h and turned.follows(trace.date, trace.service_h)
        ),
        None,
    )


def _belongs(trace: Trace, started: PartEvent | None, ended: PartEvent | None) -> bool:
    """A reading at the very hour of a change was made on the part taken off, except when the machine was new."""
    after = started is None or not started.follows(trace.date, trace.service_h)
    before = ended is None or ended.follows(trace.date, trace.service_h)
    return after and before


def _as_fitted(
    limit: Limit, line: WearLine, started: PartEvent | None, held: frozenset[tuple[dt.date, Reading]]
) -> tuple[Trace, ...]:
    """The size a used part was fitted with, where somebody wrote it down."""
    if started is None or started.date is None or started.event is not Event.FITTED_PART_WORN:
        return ()
    return tuple(
        _trace(started.date, started.service_h, reading, line, 0.0, 1)
        for reading in started.readings
        if reading.measurand is limit.measurand and reading.place.part is limit.part
        if (started.date, reading) not in held
        if reading.place.position in (0, started.place.position) or reading.place.part is not started.place.part
    )


def _traces(
    dossier: Dossier,
    place: Place,
    measurand: Measurand,
    line: WearLine,
    held: frozenset[tuple[dt.date, Reading]],
    tidy: "_Tidy",
) -> list[Trace]:
    found = []
    for walk_round in dossier.walk_rounds:
        for reading in walk_round.readings:
            same = reading.place == place and reading.measurand is measurand
            if same and (walk_round.date, reading) not in held:
                step_m = tidy.steps_m[walk_round.date][place, measurand]
                alike = tidy.alike.get((walk_round.date, place, measurand), 1)
                found.append(_trace(walk_round.date, walk_round.service_h, reading, line, step_m, alike))
    return found


@dataclass(frozen=True, slots=True)
class _Tidy:
    """How the walk-rounds were read: steps that readings were rounded to, and how many places read alike."""

    steps_m: dict[dt.date, dict[tuple[Place, Measurand], float]]
    alike: dict[tuple[dt.date, Place, Measurand], int]


def _tidy(dossier: Dossier) -> _Tidy:
    rounds = dossier.walk_rounds
    alike = {
        (walk_round.date, place, group.measurand): len(group.places)
        for walk_round in rounds
        for group in copied(dossier, walk_round)
        for place in group.places
    }
    return _Tidy({walk_round.date: steps_by_others_m(walk_round) for walk_round in rounds}, alike)


def _trace(date: dt.date, service_h: float, reading: Reading, line: WearLine, step_m: float, alike: int) -> Trace:
    doubt = reading_doubt(reading, step_m)
    at = np.array([reading.value_m])
    return Trace(
        date,
        service_h,
        reading,
        doubt,
        float(line.life_used(at)[0]),
        max(float(line.life_doubt(at, np.array([doubt.u_m]))[0]), 1e-3),
        bool(line.is_beyond(at)[0]),
        alike=alike,
    )


def _path(
    dossier: Dossier,
    kind: int,
    limit: Limit,
    started: PartEvent | None,
    traces: tuple[Trace, ...],
    to_h: float,
    reverse: Trace | None,
) -> PartLife:
    """A wear path; a face that was read before it came round begins with that reading, at the hour of the turn."""
    part_worn = started is not None and (started.event is Event.FITTED_PART_WORN or _turned_away(limit, started))
    from_h = started.service_h if started is not None else 0.0
    begun = (
        []
        if reverse is None
        else [(from_h, reverse.life_used, float(np.hypot(reverse.life_used_u, TURNED_START / 2)))]
    )
    read = [*begun, *((trace.service_h, trace.life_used, trace.life_used_u) for trace in traces)]
    marks = [from_h, *(service_h for service_h, _, _ in read)]
    steps = [ground_hours(dossier, before, after) for before, after in pairwise(marks)]
    return PartLife(
        kind=kind,
        start_u=float(np.hypot(start_u(limit, started), reverse.life_used if reverse is not None else 0.0)),
        start_known=started is not None and not part_worn,
        meter_known=dossier.meter_from_new and started is None,
        step_h=np.array(steps).reshape(-1, GROUNDS),
        wear=np.array([used for _, used, _ in read]),
        wear_u=np.array([doubt for _, _, doubt in read]),
        tail_h=ground_hours(dossier, marks[-1], to_h),
        share=sum(1.0 / trace.alike for trace in traces) / len(traces) if traces else 1.0,
    )


def _turned_away(limit: Limit, started: PartEvent | None) -> bool:
    """The face that bore before a turn: it is worn by an amount nobody wrote down, and no longer bears."""
    return started is not None and started.event is Event.TURNED and limit.measurand is Measurand.BUSH_OD_REVERSE


def start_u(limit: Limit, started: PartEvent | None) -> float:
    """Spread of the true size with which a life begins, as a share of the wear allowance.

    Parameters
    ----------
    limit : Limit
        New size and limit.
    started : PartEvent or None
        What began it; None for what was there before any record.

    Returns
    -------
    float
        Standard uncertainty [1].

    References
    ----------
    Of a turned face and a rebuilt part: assumptions of this project.
    """
    allowance_m = abs(limit.new_m - (limit.limit_m or 0.0))
    new_size = NEW_SIZE_SHARE if limit.u_new_m is None else limit.u_new_m / allowance_m
    if started is not None and started.event is Event.TURNED:
        return max(TURNED_START, new_size)
    if started is not None and started.event is Event.REBUILT:
        return max(REBUILT_START, new_size)
    return new_size
