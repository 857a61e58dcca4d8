"""Work that was done and written down: what it made of the parts, what it put right, by whom, and what it cost."""

import datetime as dt
import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from pitchline.trade.asking import MOST, checked_currency
from pitchline.trade.errors import NotAllowedError, Phrase, phrase
from pitchline.trade.findings import Finding, FindingKind
from pitchline.trade.jobs import JobKind
from pitchline.trade.part_events import Because, Event, PartEvent
from pitchline.trade.parts import PartKind, Place, Side, at
from pitchline.trade.readings import Reading, WalkRound
from pitchline.trade.writing import as_day, as_figure


class Did(StrEnum):
    """What was done to a part."""

    FITTED_NEW = "fitted_new"
    FITTED_PART_WORN = "fitted_part_worn"
    REBUILT = "rebuilt"
    TURNED = "turned"
    ADJUSTED = "adjusted"
    CLEANED = "cleaned"
    BOLTS_REFITTED = "bolts_refitted"
    JOINT_REMOVED = "joint_removed"
    MENDED = "mended"
    LOOKED_INTO = "looked_into"

    @property
    def event(self) -> Event | None:
        """The life it began; None for what leaves the part as it is."""
        return next((event for event in Event if event.value == self.value), None)


RENEWING = (Did.FITTED_NEW, Did.FITTED_PART_WORN, Did.REBUILT)
"""What puts another part, or a part made good, in a worn one's place."""
ASKED = (Did.MENDED, Did.LOOKED_INTO)
"""What puts right only what it is said to."""
USUAL: dict[JobKind, Did] = {
    JobKind.TURN: Did.TURNED,
    JobKind.REPLACE: Did.FITTED_NEW,
    JobKind.RESHOE: Did.FITTED_NEW,
    JobKind.RESHELL: Did.REBUILT,
    JobKind.REBUILD: Did.REBUILT,
    JobKind.ADJUST: Did.ADJUSTED,
    JobKind.REMOVE_JOINT: Did.JOINT_REMOVED,
    JobKind.REFIT_BOLTS: Did.BOLTS_REFITTED,
    JobKind.CLEAN_OUT: Did.CLEANED,
}
"""What doing a job usually is. To measure again is a walk-round, and what came of a look nobody can take for granted."""

_CHAIN = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)
_TRACK = (PartKind.CHAIN, PartKind.RUBBER_TRACK, PartKind.TRACK_ADJUSTER)
_ONLY_ON: dict[Did, tuple[PartKind, ...]] = {
    Did.TURNED: (PartKind.BUSH,),
    Did.ADJUSTED: _TRACK,
    Did.JOINT_REMOVED: (PartKind.CHAIN,),
}
COMES_WITH: dict[PartKind, tuple[PartKind, ...]] = {
    PartKind.CHAIN: _CHAIN,
    PartKind.LINK: _CHAIN,
    PartKind.SHOE: (PartKind.SHOE, PartKind.PAD),
}
"""Parts that come along when one is renewed: common practice, no source."""
_BOLTS = (FindingKind.MISSING_BOLTS, FindingKind.LOOSE_BOLTS, FindingKind.JOINING_LINK_LOOSE)
_TENSION = (*_CHAIN, PartKind.RUBBER_TRACK, PartKind.TRACK_ADJUSTER, PartKind.IDLER, PartKind.SPROCKET)
"""Parts after whose renewal sag and adjuster are no longer as they were read."""


def doable_on(part: PartKind) -> tuple[Did, ...]:
    """What can be done to a part.

    Returns
    -------
    tuple of Did
        A turn for bushes alone, an adjustment where the track is set, a joint out of a chain.
    """
    return tuple(did for did in Did if part in _ONLY_ON.get(did, (part,)))


@dataclass(frozen=True, slots=True)
class Spent:
    """What some work cost in fact, without tax.

    Parameters
    ----------
    labour, parts : float
        Each 0 or more [currency].
    currency : str
        Its code.

    Raises
    ------
    NotAllowedError
        A negative amount, or no code.
    """

    labour: float
    parts: float
    currency: str

    def __post_init__(self) -> None:
        for field, amount in (("labour", self.labour), ("parts", self.parts)):
            if not 0 <= amount <= MOST:
                raise NotAllowedError(
                    phrase("cost of {field}", field=field), amount, "0 or more", "Enter what it cost, without tax."
                )
        checked_currency(self.currency)

    @property
    def total(self) -> float:
        """Both together [currency]."""
        return self.labour + self.parts


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What the same work was reckoned to cost before it was done.

    Parameters
    ----------
    amount : float
        0 or more [currency].
    currency : str
        Its code.
    source : str
        Where it stood, such as "verdict of 2026-11-30".

    Raises
    ------
    NotAllowedError
        A negative amount, or no code.
    """

    amount: float
    currency: str
    source: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.amount <= MOST:
            raise NotAllowedError("cost as reckoned", self.amount, "0 or more")
        checked_currency(self.currency)


@dataclass(frozen=True, slots=True)
class WorkDone:
    """One job that was done.

    Parameters
    ----------
    key : str
        Its own short name, once on a machine.
    did : Did
        What was done.
    places : tuple of Place
        To what, one or more.
    date : datetime.date
        The day.
    service_h : float
        Service hours then [h], zero or more.
    seen_on : datetime.date or None
        The last walk-round before it; None where there was none, or of that day nobody knows.
    put_right : tuple of (Place, FindingKind)
        What had been seen and no longer stands.
    readings : tuple of Reading
        Sizes of a used part as it was fitted, sag and adjuster as they were set.
    by : str
        Who did it, as typed.
    spent : Spent or None
        What it cost; None where nobody said.
    reckoned : Reckoned or None
        What it was reckoned to cost; None where it was not.
    note : str
        Free text as typed.
    because : Because
        Why what was there before came off; said of renewed parts alone.

    Raises
    ------
    NotAllowedError
        No place, one twice, several kinds of part, or one on which such work cannot be done; negative hours; a walk-round after
        it; a size read elsewhere; a mending or a look that puts nothing right; a reason where
        nothing came off.
    """

    key: str
    did: Did
    places: tuple[Place, ...]
    date: dt.date
    service_h: float
    seen_on: dt.date | None = None
    put_right: tuple[tuple[Place, FindingKind], ...] = ()
    readings: tuple[Reading, ...] = ()
    by: str = ""
    spent: Spent | None = None
    reckoned: Reckoned | None = None
    note: str = ""
    because: Because = Because.UNKNOWN

    def __post_init__(self) -> None:
        if not self.places or len(set(self.places)) < len(self.places):
            raise NotAllowedError(
                "parts",
                phrase("{places} places", places=len(self.places)),
                "one or more, each once",
                "Name each once.",
            )
        if len({place.part for place in self.places}) > 1:
            step = "Write down each kind of part by itself."
            raise NotAllowedError(
                "parts",
                phrase("{places:places_listed}", places=[one.key for one in self.places]),
                "one kind of part",
                step,
            )
        for place in self.places:
            if self.did not in doable_on(place.part):
                seen = phrase("{place:place}, {did:did}", place=place.key, did=self.did)
                allowed = phrase("this on {parts:parts_listed}", parts=_ONLY_ON[self.did])
                step = "Choose what was done to this part."
                raise NotAllowedError("what was done", seen, allowed, step)
        if not (0 <= self.service_h < math.inf):
            raise NotAllowedError("hours", self.service_h, "0 h or more", "Read the meter again.")
        if self.seen_on is not None and self.seen_on > self.date:
            raise NotAllowedError(
                "day",
                self.date.isoformat(),
                phrase("{seen_on} or later", seen_on=self.seen_on),
                "Correct the day.",
            )
        if self.did in ASKED and not self.put_right:
            step = "Tick it; where it still stands, or something else is seen, make a walk-round."
            raise NotAllowedError("what was put right", "nothing", "something that was seen there", step)
        if self.because is not Because.UNKNOWN and self.did not in RENEWING:
            seen = phrase("{did:did}", did=self.did)
            step = "Leave it out, or choose what was fitted instead."
            raise NotAllowedError("why the old one came off", seen, "empty, where nothing came off", step)
        sides = {place.side for place in self.places}
        for reading in self.readings:
            if reading.place.side not in sides:
                raise NotAllowedError("size", at(reading.place), "a size of the part that was worked on")

    @property
    def part_events(self) -> tuple[PartEvent, ...]:
        """The lives it began, place by place."""
        event = self.did.event
        if event is None:
            return ()
        return tuple(
            PartEvent(
                place,
                event,
                self.service_h,
                self.date,
                self.seen_on,
                tuple(one for one in self.readings if one.place.side is place.side),
                self.because,
            )
            for place in self.places
        )

    def follows(self, walk_round: WalkRound) -> bool:
        """Whether a walk-round came before it; of one the same day, only where that is written down or its hours say so."""
        if walk_round.date != self.date:
            return walk_round.date < self.date
        return self.seen_on == self.date or (self.seen_on is None and walk_round.service_h < self.service_h)

    def resets(self, side: Side) -> bool:
        """Whether sag and adjuster of a side are no longer as they were read before it."""
        setting = (Did.ADJUSTED, Did.CLEANED, Did.JOINT_REMOVED, Did.TURNED)
        return any(
            place.side is side and (self.did in setting or (self.did in RENEWING and place.part in _TENSION))
            for place in self.places
        )

    def closes(self, finding: Finding, walk_round: WalkRound) -> bool:
        """Whether it put right what was seen on a walk-round.

        Parameters
        ----------
        finding : Finding
            What was seen.
        walk_round : WalkRound
            When.

        Returns
        -------
        bool
            What it names, where the walk-round was before it; a renewed part has nothing of what was seen on the old one on an
            earlier day, but for a cause of one-sided wear, which outlives it.
        """
        if not self.follows(walk_round):
            return False
        named = (finding.place, finding.kind) in self.put_right
        return named or (walk_round.date < self.date and self.would_close(finding))

    def would_close(self, finding: Finding) -> bool:
        """Whether such work puts right what was seen there, without anybody saying so."""
        return closed_by(self.did, self.places, finding)


def closed_by(did: Did, places: Iterable[Place], finding: Finding) -> bool:
    """Whether some work by itself puts right what was seen.

    Parameters
    ----------
    did : Did
        What was done.
    places : iterable of Place
        To what; position 0 of a numbered part is every one of that side.
    finding : Finding
        What was seen.

    Returns
    -------
    bool
        Doubt leaves it standing: a turn mends no joint, and new rollers do not straighten a track.

    References
    ----------
    Common practice, no source.
    """
    kinds: Collection[FindingKind] = ()
    if did in RENEWING:
        kinds = set(FindingKind) - {FindingKind.UNEVEN_TREAD}
    elif did is Did.BOLTS_REFITTED:
        kinds = _BOLTS
    elif did is Did.CLEANED:
        kinds = (FindingKind.PACKED_WITH_SOIL,)
    if finding.kind not in kinds:
        return False
    return any(_reaches(did, place, finding.place) for place in places)


def _reaches(did: Did, at: Place, place: Place) -> bool:
    parts = COMES_WITH.get(at.part, (at.part,)) if did in RENEWING else (at.part,)
    return (
        place.part in parts
        and place.side is at.side
        and (at.part is not place.part or at.position in (0, place.position))
    )


def joints_out(work: Sequence[WorkDone], events: Sequence[PartEvent]) -> tuple[int, int]:
    """Joints taken out of the left and the right chain that are on the machine now.

    Parameters
    ----------
    work : sequence of WorkDone
        What was done, in any order.
    events : sequence of PartEvent
        The history beside it.

    Returns
    -------
    tuple of (int, int)
        Left and right; a chain that is fitted later is whole again.
    """
    fitted = [
        event for event in (*events, *(each for one in work for each in one.part_events)) if _brings_chain(event)
    ]

    def out(side: Side) -> int:
        since_h = max((event.service_h for event in fitted if event.place.side is side), default=-math.inf)
        return sum(
            one.did is Did.JOINT_REMOVED and place.side is side and one.service_h > since_h
            for one in work
            for place in one.places
        )

    return out(Side.LEFT), out(Side.RIGHT)


def _brings_chain(event: PartEvent) -> bool:
    fitted = event.event in (Event.FITTED_NEW, Event.FITTED_PART_WORN)
    return fitted and PartKind.CHAIN in COMES_WITH.get(event.place.part, ())


def check_work(work: Sequence[WorkDone], walk_rounds: Sequence[WalkRound], events: Sequence[PartEvent]) -> None:
    """Nothing when work, walk-rounds and history can follow each other.

    Parameters
    ----------
    work : sequence of WorkDone
        What was done, in any order.
    walk_rounds : sequence of WalkRound
        In order of date.
    events : sequence of PartEvent
        The history beside it.

    Raises
    ------
    NotAllowedError
        A name twice, hours that fall or that no day has, bushes turned and renewed at once or turned twice.
    """
    keys = [one.key for one in work]
    twice = next((key for key in keys if keys.count(key) > 1), None)
    if twice is not None:
        raise NotAllowedError(
            "work done", phrase("{twice} twice", twice=twice), "each name once", "Rename or delete one of the two."
        )
    ordered = sorted(work, key=lambda one: (one.date, one.service_h))
    for before, after in pairwise(ordered):
        if after.service_h < before.service_h:
            least = phrase("at least the {hours} h of the work of {day:day}", **_of(before))
            raise NotAllowedError("hours", _told(after), least, _FALLS)
    for one in work:
        _check_hours(one, walk_rounds)
    _check_turns(ordered, events)


_FALLS = phrase("Read the meter again, or correct the day; if the meter was changed, enter the change.")


def _of(one: WorkDone | WalkRound) -> dict[str, str]:
    return {"hours": as_figure(one.service_h, "g"), "day": one.date.isoformat()}


def _told(one: WorkDone) -> Phrase:
    return phrase("{hours} h on {day:day}", **_of(one))


def _check_hours(one: WorkDone, walk_rounds: Sequence[WalkRound]) -> None:
    before = [walk for walk in walk_rounds if one.follows(walk) or walk.date == one.date]
    if before:
        last = before[-1]
        if one.service_h < last.service_h and one.follows(last):
            least = phrase("at least the {hours} h of the walk-round of {day:day}", **_of(last))
            raise NotAllowedError("hours", _told(one), least, _FALLS)
        most_h = last.service_h + 24.0 * ((one.date - last.date).days + 1)
        if one.service_h > most_h:
            raise NotAllowedError(
                "hours",
                _told(one),
                phrase(
                    "at most {most_h} h, because {date} had {service_h} h and a day has 24",
                    most_h=as_figure(most_h, "g"),
                    date=as_day(last.date),
                    service_h=as_figure(last.service_h, "g"),
                ),
                "Read the meter again, or correct the day.",
            )
    later = next((walk for walk in walk_rounds if not one.follows(walk)), None)
    if later is not None and one.service_h > later.service_h:
        raise NotAllowedError(
            "hours",
            _told(one),
            phrase(
                "at most the {service_h} h of the walk-round of {date}",
                service_h=as_figure(later.service_h, "g"),
                date=as_day(later.date),
            ),
            "Read the meter again, or correct the day.",
        )


def _check_turns(ordered: Sequence[WorkDone], events: Sequence[PartEvent]) -> None:
    for one in ordered:
        for place in one.places if one.did is Did.TURNED else ():
            others = [event for other in ordered if other is not one for event in other.part_events]
            renewing = [event for event in (*events, *others) if _renews_bushes(event, place)]
            same = next(
                (event for event in renewing if event.date == one.date and event.event is not Event.TURNED), None
            )
            if same is not None:
                seen = phrase(
                    "{place:place} turned, and {other:place} renewed, both on {day:day}",
                    place=place.key,
                    other=same.place.key,
                    day=one.date.isoformat(),
                )
                step = "Bushes that are new are not turned: leave out one of the two, or correct its day."
                raise NotAllowedError("what was done", seen, "a turn or a renewal", step)
            earlier = [event for event in renewing if event.service_h <= one.service_h]
            last = max(earlier, key=lambda event: event.service_h, default=None)
            if last is not None and last.event is Event.TURNED:
                seen = phrase(
                    "{place:place} turned again; turned at {last_h} h",
                    place=place.key,
                    last_h=as_figure(last.service_h),
                )
                step = "Where new ones were fitted since, write that down first; else write what was really done."
                raise NotAllowedError("what was done", seen, "bushes that were not turned yet", step)


def _renews_bushes(event: PartEvent, place: Place) -> bool:
    return event.place.part in _CHAIN and event.place.side is place.side
