"""What the verdict comes to, and what a reader has to know about its figures: codes and values."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from pitchline.judge.age import age_remarks
from pitchline.judge.called import before_it_works
from pitchline.judge.looked import fit_to_run, passed_by
from pitchline.judge.machine_by_day import ASSUMED_WEEK, Known
from pitchline.judge.one_sided import one_sided
from pitchline.judge.parts import counted, soonest, wear_unknown
from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.kinds import taken_for
from pitchline.outlook.learned import Learned
from pitchline.outlook.lives import Life
from pitchline.outlook.machine import LifeOutlook, MachineOutlook
from pitchline.trade.calls import Call, CallRule, Stake
from pitchline.trade.findings import FindingKind
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import ChainType
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying
from pitchline.verdict import Job, Judged, PartVerdict
from pitchline.wear.copied import copied
from pitchline.wear.history import standing

_FEWEST_WEEKS, _FAR_PACE = 2.0, 2.0
"""Weeks between walk-rounds below which nothing is said of the pace, and times it may leave the entered range: our own."""
_CHANGED, _SURE = 0.5, 0.95
_SHOWS = 0.25
"""Life used before a turn from which a pitch shows whether it came back [1]: our own choice."""
_MANY_FAR, _MANY_FAR_SHARE = 3, 0.2
"""More readings far off than these, and than this share, say that the model is wrong and not the readings: our own."""


def headline(
    parts: tuple[PartVerdict, ...],
    jobs: tuple[Job, ...],
    rule: CallRule,
    next_due: HoursLeft | None,
    old: Saying | None = None,
) -> Saying:
    """The verdict in a few sentences.

    Parameters
    ----------
    parts : tuple of PartVerdict
        The calls.
    jobs : tuple of Job
        In the order they fall due.
    rule : CallRule
        The booking window.
    next_due : HoursLeft or None
        Hours until the first part that was read is due.
    old : Saying or None
        How old the readings are, where they are too old to order by.

    Returns
    -------
    Saying
        Whatever the call; what was not looked at, and how many parts nothing could be said of. Only a stop comes before old
        readings.
    """
    said = (
        _called(parts, jobs, rule, next_due, old),
        _passed_by(parts, jobs),
        _side_missing(parts),
        _unread(parts),
    )
    return saying("headline.all", said=[each for each in said if each is not None])


def _few_looked_at(parts: Sequence[PartVerdict]) -> bool:
    return 2 * sum(part.looked_at for part in parts) < len(parts)


def _asks(jobs: Sequence[Job]) -> bool:
    return any(job.call.asks for job in jobs)


def _kinds_of(places: Sequence[Place], parts: Sequence[PartVerdict]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Places by kind of part: the kind's name alone, of one or of several, where all of its places are meant."""
    by_kind: dict[PartKind, list[Place]] = {}
    for place in places:
        by_kind.setdefault(place.part, []).append(place)
    found = []
    for part, mine in by_kind.items():
        of = sum(one.place.part is part for one in parts)
        whole = "" if len(mine) < of else "all" if of > 1 else "the_one"
        found.append((whole, tuple(place.key for place in _counted_out(mine, parts))))
    return tuple(found)


def _counted_out(places: Iterable[Place], parts: Sequence[PartVerdict]) -> list[Place]:
    """Places in order, without a number where a side has but one: whoever stands there knows an idler, and no idler 1."""
    several = {part.place.part for part in parts if part.place.position > 1}
    return sorted(place if place.part in several else replace(place, position=0) for place in places)


def _passed_by(parts: Sequence[PartVerdict], jobs: Sequence[Job]) -> Saying | None:
    """What nobody was at, and what that means for a verdict on the whole machine."""
    places, of = passed_by(parts), len(parts)
    if not places:
        return None
    looked = of - len(places)
    if _few_looked_at(parts):
        return (
            saying("headline.none_looked_at", of=of)
            if looked == 0
            else saying("headline.few_looked_at", n=looked, of=of)
        )
    named = _kinds_of(places, parts)
    quiet = not (_asks(jobs) or fit_to_run(parts))
    return saying(f"headline.{'quiet_but_' if quiet else ''}passed_by", n=len(places), of=of, kinds=named)


def _side_missing(parts: Sequence[PartVerdict]) -> Saying | None:
    """The side nobody was at, where most of the other was looked at: what is missing for a verdict on the machine."""
    for side, other in ((Side.LEFT, Side.RIGHT), (Side.RIGHT, Side.LEFT)):
        here = [part.looked_at for part in parts if part.place.side is side]
        there = [part.looked_at for part in parts if part.place.side is other]
        if here and not any(here) and 2 * sum(there) >= len(there):
            return saying("headline.side_missing", side=side)
    return None


def _unread(parts: Sequence[PartVerdict]) -> Saying | None:
    """Parts somebody was at of whose wear nothing can be said; a chain whose rails were read has hours by them."""
    silent = [part for part in parts if part.looked_at and wear_unknown(part.judged)]
    hours = [soonest(part.judged) if part.call is Call.STOP else part.due for part in silent]
    places = [
        part.place for part, due in zip(silent, hours, strict=True) if due is None or part.call is Call.UNJUDGED
    ]
    _, wearing = counted(parts)
    if not places or _few_looked_at(parts):
        return None
    return saying("headline.wear_unknown", count=len(places), of=wearing, kinds=_kinds_of(places, parts))


def _called(
    parts: tuple[PartVerdict, ...],
    jobs: tuple[Job, ...],
    rule: CallRule,
    next_due: HoursLeft | None,
    old: Saying | None,
) -> Saying | None:
    stopped, booked = before_it_works(jobs)
    walk = saying("headline.go_round_first", old=old) if old is not None else None
    if stopped:
        said = [
            saying("headline.do_not_work_it", jobs=_named(stopped, parts)),
            saying("headline.go_round_before_ordering", old=old) if old is not None else None,
            saying("headline.then_book", jobs=_named(booked, parts)) if booked else None,
        ]
        return saying("headline.all", said=[one for one in said if one is not None])
    confirm = [part.place for part in parts if part.stake is Stake.CONFIRM]
    if booked and confirm:  # nobody is told to work it before the limit is known
        first = [
            saying("headline.look_limit_up", kinds=_kinds_of(confirm, parts)),
            *([walk] if walk is not None else []),
        ]
        return saying("headline.all", said=[*first, saying("headline.then_book", jobs=_named(booked, parts))])
    if booked:
        if walk is not None:
            return saying("headline.all", said=[walk, saying("headline.then_book", jobs=_named(booked, parts))])
        return saying(
            f"headline.{'work_it_and_book' if fit_to_run(parts) else 'book'}", jobs=_named(booked, parts)
        )
    if not fit_to_run(parts):
        return walk
    before = [walk] if walk is not None else []
    if next_due is None:
        return saying("headline.all", said=[*before, saying("headline.no_wear_judged")])
    weeks, due_h = rule.booking_window_weeks, next_due.middle
    unjudged, wearing = counted(parts)
    if 2 * unjudged > wearing:
        told = saying("headline.too_little_known", weeks=weeks, due_h=due_h)
    else:
        how = "by_these_readings" if walk is not None else "run_it"
        told = saying(f"headline.{how}{'_as_judged' if unjudged else ''}", weeks=weeks, due_h=due_h)
    return saying("headline.all", said=[*before, told])


def _named(jobs: list[Job], parts: Sequence[PartVerdict]) -> tuple[Saying, ...]:
    """Jobs in a row; what two jobs do to the same kind of part is said once."""
    gathered: dict[tuple[JobKind, PartKind], set[Place]] = {}
    for job in jobs:
        gathered.setdefault((job.kind, job.part), set()).update(job.places)
    return tuple(
        saying(f"job.{kind.value}", places=_counted_out(places, parts)) for (kind, _), places in gathered.items()
    )


def remarks(
    known: Known, parts: tuple[PartVerdict, ...], outlook: MachineOutlook | None, learned: Learned | None
) -> tuple[Saying, ...]:
    """What a reader has to know about these figures.

    Returns
    -------
    tuple of Saying
        One sentence or two each; what matters most first.
    """
    judged = [item for part in parts for item in part.judged]
    return (
        *age_remarks(known),
        *_done_since(known),
        *_held_back(judged),
        *(group.said for group in one_sided(known, outlook)),
        *_changed(judged),
        *_far_off(judged),
        *_pitch_stayed(known, outlook),
        *_read_alike(known),
        *_missing(judged),
        *_rests_on(known, outlook, learned),
        *_assumed(known),
        *_dry_on_dry(known),
        *_other_pace(known),
        *_with_chain(parts),
    )


def _kinds(items: list[Judged]) -> tuple[Saying, ...]:
    found = dict.fromkeys((item.place.part, item.measurand) for item in items)
    return tuple(saying("remark.kind_read", part=part, quantity=quantity) for part, quantity in found)


def _kinds_unread(judged: list[Judged]) -> tuple[Saying, ...]:
    """Kinds of part, with the quantity where another one of the same part was read."""
    read = {item.place for item in judged if item.readings}
    unread = [item for item in judged if item.status == "not read"]
    partly = [item for item in unread if item.place in read]
    wholly = dict.fromkeys(item.place.part for item in unread if item.place not in read)
    return (*(saying("remark.kind", part=part) for part in wholly), *_kinds(partly))


def _done_since(known: Known) -> list[Saying]:
    """The work written down since the last walk-round."""
    last = known.dossier.walk_rounds[-1]
    done = [
        saying("remark.work", places=one.places, did=one.did, at_h=one.service_h)
        for one in known.dossier.work
        if one.follows(last)
    ]
    return [saying("remark.done_since", day=last.date, done=done)] if done else []


def _held_back(judged: list[Judged]) -> list[Saying]:
    held = [saying("remark.place", place=item.place) for item in judged if item.status == "held back"]
    return [saying("remark.held_back", places=held)] if held else []


def _changed(judged: list[Judged]) -> list[Saying]:
    changed = [item for item in judged if item.chance_changed > _CHANGED]
    return [
        saying(
            f"remark.{'almost_surely' if item.chance_changed > _SURE else 'may_be'}_changed",
            place=item.place,
            chance=item.chance_changed,
        )
        for item in changed
    ]


def _far_off(judged: list[Judged]) -> list[Saying]:
    read = [item for item in judged if item.status == "judged"]
    far = [item for item in read if item.chance_misread > _CHANGED]
    if not far:
        return []
    if len(far) > max(_MANY_FAR, _MANY_FAR_SHARE * len(read)):
        return [saying("remark.many_far_off", count=len(far), of=len(read))]
    places = [saying("remark.place_read", place=item.place, quantity=item.measurand) for item in far]
    return [saying("remark.far_less_wear", places=places)]


def _read_alike(known: Known) -> list[Saying]:
    """Places of the last walk-round that look copied from one of them."""
    last = known.dossier.walk_rounds[-1]
    return [
        saying(
            "remark.read_alike",
            count=len(group.places),
            part=group.part,
            typed=group.reading.words,
            quantity=group.measurand,
        )
        for group in copied(known.dossier, last)
    ]


def _missing(judged: list[Judged]) -> list[Saying]:
    said = []
    no_limit = [item for item in judged if item.status == "no limit entered" and item.reading is not None]
    if no_limit:
        said.append(saying("remark.no_limit", kinds=_kinds(no_limit)))
    assumed = [item for item in judged if item.limit_assumed and item.readings]
    if assumed:
        said.append(saying("remark.assumed_limit", kinds=_kinds(assumed)))
    if any(item.status == "not read" for item in judged):
        said.append(saying("remark.not_read", kinds=_kinds_unread(judged)))
    larger = [item for item in judged if item.beyond_line and _better_than_new(item)]
    if larger:
        said.append(saying("remark.better_than_new", kinds=_kinds(larger)))
    return said


def _better_than_new(item: Judged) -> bool:
    """Whether a size lies farther on the good side of the size when new than twice the reading's doubt: new parts differ too."""
    if item.value_m is None or item.new_m is None or item.limit_m is None:
        return False
    better_m = np.sign(item.new_m - item.limit_m) * (item.value_m - item.new_m)
    return bool(better_m > 2 * (item.expanded_u_m or 0.0))


def _rests_on(known: Known, outlook: MachineOutlook | None, learned: Learned | None) -> list[Saying]:
    if outlook is None:
        return [saying("remark.no_limits_at_all")]
    said = []
    if len(known.dossier.walk_rounds) == 1:
        said.append(saying("remark.one_walk_round"))
    weak = [part.life for part in outlook.parts if not part.life.kind_entered and part.life.traces]
    if learned is not None:
        said.append(saying("remark.learned", readings=learned.readings))
    elif weak:
        said.append(saying("remark.weak_life", taken=taken_for(known.dossier)))
    unknown = {part.life.place.part for part in outlook.parts if part.life.started is None and part.life.traces}
    if unknown:
        said.append(saying("remark.fitted_unknown", parts=[part for part in PartKind if part in unknown]))
    return said


def _assumed(known: Known) -> list[Saying]:
    dossier = known.dossier
    if dossier.ground_to_come is not None:
        mix = [(100 * dossier.ground_to_come.shares[ground], ground) for ground in dossier.ground_to_come.grounds]
        said = [saying("remark.ground_mix", mix=mix)]
    else:
        entered = "ground_to_come" if dossier.ground_entered else "no_ground"
        said = [saying(f"remark.{entered}", ground=dossier.usual_ground)]
    if dossier.utilisation is None:
        said.append(saying("remark.no_hours_a_week", assumed_h=ASSUMED_WEEK.usual))
    return [*said, *_week_learned(known)]


def _week_learned(known: Known) -> list[Saying]:
    """Where the hours a week come from, when that is the hours seen."""
    week, use = known.week, known.week.utilisation
    if week.stood_weeks:
        return [saying("remark.stands", weeks=week.stood_weeks)]
    if not week.learned_weeks or use is None:
        return []
    told = {"weeks": week.learned_weeks, "low_h": use.low, "usual_h": use.usual, "high_h": use.high}
    if known.entered_week is None:
        return [saying("remark.week_learned", **told)]
    return [saying("remark.week_learned_over", **told, entered_h=known.entered_week.usual)]


def _pitch_stayed(known: Known, outlook: MachineOutlook | None) -> list[Saying]:
    """Chains whose pitch was read as long after a recorded turn of the bushes as before it."""
    stayed = [life for part in (outlook.parts if outlook else ()) for life in [part.life] if _stayed(known, part)]
    if not stayed:
        return []
    first = [
        saying(
            "remark.pitch_before_and_after",
            before=_before_turn(known, life),
            after=life.traces[0].life_used,
            at_h=life.traces[0].service_h,
        )
        for life in stayed
    ]
    return [saying("remark.pitch_stayed", places=[life.place for life in stayed], first=first)]


def _stayed(known: Known, part: LifeOutlook) -> bool:
    """Whether more than half of the stretch before a turn is still there, less what was worn since."""
    life = part.life
    if life.measurand is not Measurand.PITCH or not life.turned or not life.traces or life.started is None:
        return False
    before, first = _before_turn(known, life), life.traces[0]
    fresh = (first.service_h - life.started.service_h) / part.whole_life_h[0]
    return before >= _SHOWS and first.life_used - 2 * first.life_used_u > before / 2 + fresh


def _before_turn(known: Known, life: Life) -> float:
    """Life used by the last reading before the event that began a life; 0 where there is none."""
    started = life.started
    read_m = [
        reading.value_m
        for walk_round in known.dossier.walk_rounds
        for reading in walk_round.readings
        if (reading.place, reading.measurand) == (life.place, life.measurand)
        if started is not None and started.follows(walk_round.date, walk_round.service_h)
    ]
    return float(life.line.life_used(np.array(read_m[-1:]))[0]) if read_m else 0.0


def _dry_on_dry(known: Known) -> list[Saying]:
    """A dry joint told of a chain that never had oil: either is wrong, and the finding's call stands meanwhile."""
    last = known.dossier.last_walk_round
    if last is None or known.dossier.gear.chain_type is not ChainType.DRY:
        return []
    seen = dict.fromkeys(
        finding.place for finding in standing(known.dossier, last) if finding.kind is FindingKind.DRY_JOINT
    )
    return [saying("remark.dry_on_dry", places=list(seen))] if seen else []


def _other_pace(known: Known) -> list[Saying]:
    """Hours a week worked between the last two walk-rounds, where they lie far from those entered."""
    dossier = known.dossier
    if known.week.learned_weeks or dossier.utilisation is None or len(dossier.walk_rounds) < 2:
        return []
    before, last = dossier.walk_rounds[-2:]
    weeks = (last.date - before.date).days / 7
    if weeks < _FEWEST_WEEKS:
        return []
    worked = (last.service_h - before.service_h) / weeks
    entered = dossier.utilisation
    if entered.low / _FAR_PACE <= worked <= entered.high * _FAR_PACE:
        return []
    return [saying("remark.other_pace", worked_h=worked, entered_h=entered.usual)]


def _with_chain(parts: tuple[PartVerdict, ...]) -> list[Saying]:
    sprockets = [one for part in parts if part.place.part is PartKind.SPROCKET for one in part.judged]
    if any(one.status == "judged" for one in sprockets):
        return []  # a sprocket that was read is told by `mismatches`
    due = [part for part in parts if part.call.asks and part.job is JobKind.REPLACE]
    chain = any(part.place.part in (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK) for part in due)
    return [saying("remark.new_chain_on_sprocket")] if chain else []
