"""The verdict in one sentence, and what a reader has to know about its figures."""

from collections.abc import Sequence

import numpy as np

from pitchline.judge.age import age_remarks
from pitchline.judge.looked import fit_to_run, passed_by
from pitchline.judge.machine_by_day import ASSUMED_WEEK, Known
from pitchline.judge.one_sided import one_sided
from pitchline.judge.parts import counted, wear_unknown
from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.kinds import taken_for
from pitchline.outlook.learned import Learned
from pitchline.outlook.lives import Life
from pitchline.outlook.machine import LifeOutlook, MachineOutlook
from pitchline.stops.work import in_a_hundred
from pitchline.trade.calls import Call, CallRule
from pitchline.trade.findings import FindingKind
from pitchline.trade.ground import GROUND_EXAMPLES
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import ChainType
from pitchline.trade.measurands import MEASURANDS, Measurand
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.units import show_hours
from pitchline.trade.writing import as_day, as_figure
from pitchline.verdict import Job, Judged, PartVerdict
from pitchline.wear.copied import copied
from pitchline.wear.history import standing

_FEWEST_WEEKS, _FAR_PACE = 2.0, 2.0
"""Weeks between walk-rounds below which nothing is said of the pace, and times it may leave the entered range: our own."""
_CHANGED, _SURE = 0.5, 0.95
_SHOWS = 0.25
"""Life used before a turn from which a pitch shows whether it came back [1]: our own choice."""
_MOST_KINDS = 3
"""Kinds of part named in the headline before the rest is only counted."""
_MANY_FAR, _MANY_FAR_SHARE = 3, 0.2
"""More readings far off than these, and than this share, say that the model is wrong and not the readings: our own."""


def places_in_words(places: tuple[Place, ...]) -> str:
    """Several places of one kind of part, short.

    Parameters
    ----------
    places : tuple of Place
        One or more, all of one kind.

    Returns
    -------
    str
        Such as "bottom rollers 1 to 3 and 5 left, 2 right".

    Examples
    --------
    >>> rollers = [Place(PartKind.BOTTOM_ROLLER, Side.LEFT, number) for number in (1, 2, 3, 5)]
    >>> places_in_words((*rollers, Place(PartKind.BOTTOM_ROLLER, Side.RIGHT, 2)))
    'bottom rollers 1 to 3 and 5 left, 2 right'
    >>> places_in_words((Place(PartKind.BUSH, Side.LEFT), Place(PartKind.BUSH, Side.RIGHT)))
    'bushes, left and right'
    """
    words = PARTS[places[0].part].plural if len(places) > 1 else PARTS[places[0].part].singular
    sides = [side for side in Side if any(place.side is side for place in places)]
    if not any(place.position for place in places):
        named = " and ".join(side.value for side in sides if side.value)
        return f"{words}, {named}" if named else words
    numbers = {
        side: _numbers([place.position for place in sorted(places) if place.side is side]) for side in sides
    }
    if len(sides) == 2 and len(set(numbers.values())) == 1:
        return f"{words} {numbers[sides[0]]}, {sides[0].value} and {sides[1].value}"
    return f"{words} {', '.join(f'{said} {side.value}' for side, said in numbers.items())}"


def _numbers(positions: list[int]) -> str:
    """Numbers with runs drawn together, such as "1 to 3, 5 and 8"."""
    runs: list[list[int]] = []
    for position in positions:
        if runs and runs[-1][-1] == position - 1:
            runs[-1].append(position)
        else:
            runs.append([position])
    said: list[str] = []
    for run in runs:
        said += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"


def kinds_in_words(places: Sequence[Place], everywhere: Sequence[Place]) -> str:
    """Places of several kinds of part, short.

    Parameters
    ----------
    places : sequence of Place
        One or more.
    everywhere : sequence of Place
        All places of the machine; a kind that is named whole needs no numbers.

    Returns
    -------
    str
        Three kinds at most, and how many more there are.

    Examples
    --------
    >>> idlers = [Place(PartKind.IDLER, side, 1) for side in (Side.LEFT, Side.RIGHT)]
    >>> ring = Place(PartKind.SLEW_RING, Side.NONE)
    >>> kinds_in_words([*idlers, ring], [*idlers, ring]), kinds_in_words(idlers[:1], idlers)
    ('idlers, slew ring', 'idler 1 left')
    """
    by_kind: dict[PartKind, list[Place]] = {}
    for place in places:
        by_kind.setdefault(place.part, []).append(place)
    said = []
    for part, mine in by_kind.items():
        of = sum(place.part is part for place in everywhere)
        whole = PARTS[part].plural if of > 1 else PARTS[part].singular
        said.append(whole if len(mine) == of else places_in_words(tuple(mine)))
    more = len(said) - _MOST_KINDS
    if more <= 0:
        return ", ".join(said)
    return f"{', '.join(said[:_MOST_KINDS])} and {more} more {'kind' if more == 1 else 'kinds'} of part"


def headline(
    parts: tuple[PartVerdict, ...],
    jobs: tuple[Job, ...],
    rule: CallRule,
    next_due: HoursLeft | None,
    old: str = "",
) -> str:
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
    old : str
        How old the readings are, where they are too old to order by; empty where they are not.

    Returns
    -------
    str
        Plain words, whatever the call; what was not looked at, and how many parts nothing could be said of. Only a stop comes
        before old readings.
    """
    said = (_called(parts, jobs, rule, next_due, old), _passed_by(parts, jobs), _unread(parts))
    return " ".join(each for each in said if each)


def _few_looked_at(parts: Sequence[PartVerdict]) -> bool:
    return 2 * sum(part.looked_at for part in parts) < len(parts)


def _asks(jobs: Sequence[Job]) -> bool:
    return any(job.call.asks for job in jobs)


def _passed_by(parts: Sequence[PartVerdict], jobs: Sequence[Job]) -> str:
    """What nobody was at, and what that means for a verdict on the whole machine."""
    places, of = passed_by(parts), len(parts)
    if not places:
        return ""
    looked = of - len(places)
    if _few_looked_at(parts):
        first = "None" if looked == 0 else f"Only {looked}"
        return f"{first} of {of} parts {'was' if looked < 2 else 'were'} looked at: no verdict on the machine."
    named = kinds_in_words(places, [part.place for part in parts])
    said = f"{len(places)} of {of} parts {'was' if len(places) == 1 else 'were'} not looked at: {named}."
    if _asks(jobs) or fit_to_run(parts):
        return said
    return f"Nothing seen asks for work, but {said} Go round them before it is called."


def _unread(parts: Sequence[PartVerdict]) -> str:
    """Parts somebody was at of whose wear nothing can be said."""
    places = [part.place for part in parts if part.looked_at and wear_unknown(part.judged)]
    _, wearing = counted(parts)
    if not places or _few_looked_at(parts):
        return ""
    named = kinds_in_words(places, [part.place for part in parts])
    return (
        f"Nothing is said of the wear of {len(places)} of {wearing} parts, not read or without a limit: {named}."
    )


def _called(
    parts: tuple[PartVerdict, ...], jobs: tuple[Job, ...], rule: CallRule, next_due: HoursLeft | None, old: str
) -> str:
    stopped = [job for job in jobs if job.call is Call.STOP]
    booked = [job for job in jobs if job.call is Call.BOOK]
    if stopped:
        then = f" Then book: {_named(booked)}." if booked else ""
        before = f" Go round it before anything is ordered: {old}." if old else ""
        return f"Do not work it before this is done: {_named(stopped)}.{before}{then}"
    walk = f"Go round it first: {old}. " if old else ""
    if booked:
        work_it = "Work it, and book" if fit_to_run(parts) else "Book"
        return f"{f'{walk}Then book' if walk else work_it}: {_named(booked)}."
    if not fit_to_run(parts):
        return walk.rstrip()
    if next_due is None:
        return f"{walk}Nothing seen asks for work, but no wear could be judged."
    window = f"the next {as_figure(rule.booking_window_weeks, 'g')} weeks"
    first = f"The first of the parts read is due in about {show_hours(next_due.middle)}."
    unjudged, wearing = counted(parts)
    if 2 * unjudged > wearing:
        known = f"What could be judged asks for nothing in {window}; {first[0].lower()}{first[1:]}"
        return f"{walk}Too little is known to call it. {known}"
    on_those = " on what could be judged" if unjudged else ""
    return f"{f'{walk}By these readings' if walk else 'Run it:'} nothing falls due in {window}{on_those}. {first}"


def _named(jobs: list[Job]) -> str:
    """Jobs in a row; what two jobs do to the same kind of part is said once."""
    gathered: dict[tuple[JobKind, PartKind], set[Place]] = {}
    for job in jobs:
        gathered.setdefault((job.kind, job.part), set()).update(job.places)
    return "; ".join(kind.order(places_in_words(tuple(sorted(places)))) for (kind, _), places in gathered.items())


def remarks(
    known: Known, parts: tuple[PartVerdict, ...], outlook: MachineOutlook | None, learned: Learned | None
) -> tuple[str, ...]:
    """What a reader has to know about these figures.

    Returns
    -------
    tuple of str
        One sentence or two each; what matters most first.
    """
    judged = [item for part in parts for item in part.judged]
    said = [
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
    ]
    return tuple(said)


def _kinds(items: list[Judged]) -> str:
    return ", ".join(
        dict.fromkeys(f"{PARTS[i.place.part].plural} ({MEASURANDS[i.measurand].label})" for i in items)
    )


def _kinds_unread(judged: list[Judged]) -> str:
    """Kinds of part, with the quantity where another one of the same part was read."""
    read = {item.place for item in judged if item.readings}
    unread = [item for item in judged if item.status == "not read"]
    partly = [item for item in unread if item.place in read]
    wholly = dict.fromkeys(PARTS[item.place.part].plural for item in unread if item.place not in read)
    return ", ".join([*wholly, *([_kinds(partly)] if partly else [])])


def _done_since(known: Known) -> list[str]:
    """The work written down since the last walk-round."""
    last = known.dossier.walk_rounds[-1]
    done = [
        f"{places_in_words(one.places)}: {one.did.label} at {as_figure(one.service_h)} h"
        for one in known.dossier.work
        if one.follows(last)
    ]
    return [f"Done since the walk-round of {as_day(last.date)}: {'; '.join(done)}."] if done else []


def _held_back(judged: list[Judged]) -> list[str]:
    held = [item for item in judged if item.status == "held back"]
    if not held:
        return []
    places = ", ".join(item.place.label for item in held)
    return [
        f"Readings held back until they are corrected, or kept with a reason: {places}. Hours left there rest on everything else."
    ]


def _changed(judged: list[Judged]) -> list[str]:
    said = []
    for item in judged:
        if item.chance_changed > _CHANGED:
            sure = "was almost surely" if item.chance_changed > _SURE else "may have been"
            said.append(
                f"{item.place.label[0].upper()}{item.place.label[1:]} {sure} changed without a record (chance "
                f"{in_a_hundred(item.chance_changed)}): ask, and enter it in the history."
            )
    return said


def _far_off(judged: list[Judged]) -> list[str]:
    read = [item for item in judged if item.status == "judged"]
    far = [item for item in read if item.chance_misread > _CHANGED]
    if not far:
        return []
    if len(far) > max(_MANY_FAR, _MANY_FAR_SHARE * len(read)):
        return [
            f"{len(far)} of {len(read)} readings look far off. So many are not misread: what is expected of this machine is "
            "wrong. Look at its limits, its hours and the work nobody wrote down; its hours left are rough until then."
        ]
    places = ", ".join(f"{item.place.label} ({MEASURANDS[item.measurand].label})" for item in far)
    return [f"Far less wear was read than all else says: {places}. That was given little weight; measure again."]


def _read_alike(known: Known) -> list[str]:
    """Places of the last walk-round that look copied from one of them."""
    last = known.dossier.walk_rounds[-1]
    return [
        f"{len(group.places)} {PARTS[group.part].plural} read alike ({group.reading.words}, "
        f"{MEASURANDS[group.measurand].label}): was each one measured? They count as one reading of how fast this machine wears."
        for group in copied(known.dossier, last)
    ]


def _missing(judged: list[Judged]) -> list[str]:
    said = []
    no_limit = [item for item in judged if item.status == "no limit entered" and item.reading is not None]
    if no_limit:
        said.append(f"No limit entered, so nothing is said of the wear of: {_kinds(no_limit)}.")
    unread = [item for item in judged if item.status == "not read"]
    if unread:
        said.append(
            f"Not read on the part now fitted, and in no call: {_kinds_unread(judged)}. Hours shown for them go by age and by "
            "this machine's other parts alone."
        )
    larger = [item for item in judged if item.beyond_line and _better_than_new(item)]
    if larger:
        said.append(f"Read better than new by the sizes entered: {_kinds(larger)}. Is the size when new right?")
    return said


def _better_than_new(item: Judged) -> bool:
    """Whether a size lies farther on the good side of the size when new than twice the reading's doubt: new parts differ too."""
    if item.value_m is None or item.new_m is None or item.limit_m is None:
        return False
    better_m = np.sign(item.new_m - item.limit_m) * (item.value_m - item.new_m)
    return bool(better_m > 2 * (item.expanded_u_m or 0.0))


def _rests_on(known: Known, outlook: MachineOutlook | None, learned: Learned | None) -> list[str]:
    if outlook is None:
        return ["No limits are entered for what was read: hours left cannot be given."]
    said = []
    if len(known.dossier.walk_rounds) == 1:
        said.append(
            "One walk-round only: how fast this machine wears is mostly assumed. A second one narrows the ranges."
        )
    weak = [part.life for part in outlook.parts if not part.life.kind_entered and part.life.traces]
    if learned is not None:
        said.append(
            f"Typical lives, grounds and spreads are learned from {as_figure(learned.readings, ',')} readings of the yard."
        )
    elif weak:
        said.append(
            f"Where the yard has entered no typical life, a weak one is assumed, for {taken_for(known.dossier)}; the readings "
            "move it."
        )
    unknown = {part.life.place.part for part in outlook.parts if part.life.started is None and part.life.traces}
    if unknown:
        names = ", ".join(PARTS[part].plural for part in PartKind if part in unknown)
        said.append(f"Hours of fitting not known for: {names}. Enter them in the history and the ranges narrow.")
    return said


def _assumed(known: Known) -> list[str]:
    dossier = known.dossier
    ground = f"{dossier.usual_ground.label} ({GROUND_EXAMPLES[dossier.usual_ground]})"
    said = [f"Hours to come are taken on {ground} ground."]
    if dossier.ground_to_come is not None:
        said = [f"Hours to come are taken on this ground: {dossier.ground_to_come.label}."]
    elif not dossier.ground_entered:
        said = [f"No ground is entered: hours past and to come are taken on {ground} ground."]
    if dossier.utilisation is None:
        said.append(
            f"No hours a week are entered: no days are given, and work is booked ahead as at "
            f"{as_figure(ASSUMED_WEEK.usual, 'g')} h a week."
        )
    return said


def _pitch_stayed(known: Known, outlook: MachineOutlook | None) -> list[str]:
    """Chains whose pitch was read as long after a recorded turn of the bushes as before it."""
    stayed = [life for part in (outlook.parts if outlook else ()) for life in [part.life] if _stayed(known, part)]
    if not stayed:
        return []
    places = places_in_words(tuple(life.place for life in stayed))
    first = "; ".join(
        f"{100 * _before_turn(known, life):.0f} % before, {100 * life.traces[0].life_used:.0f} % at "
        f"{as_figure(life.traces[0].service_h)} h"
        for life in stayed
    )
    return [
        f"{places[0].upper()}{places[1:]}: the pitch did not come back with the turn of the bushes ({first}). Was the turn done "
        "there, and was the track pulled tight when it was measured?"
    ]


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


def _dry_on_dry(known: Known) -> list[str]:
    """A dry joint told of a chain that never had oil: either is wrong, and the finding's call stands meanwhile."""
    last = known.dossier.last_walk_round
    if last is None or known.dossier.gear.chain_type is not ChainType.DRY:
        return []
    dry = [finding.place for finding in standing(known.dossier, last) if finding.kind is FindingKind.DRY_JOINT]
    seen = tuple(dict.fromkeys(dry))
    if not seen:
        return []
    return [
        f"A dry joint was seen on {places_in_words(seen)}, but the chain is entered as dry and has no oil to lose: look "
        "again whether a joint is stiff, hot or longer than the others, or correct the chain type. Its call stands until then."
    ]


def _other_pace(known: Known) -> list[str]:
    """Hours a week worked between the last two walk-rounds, where they lie far from those entered."""
    dossier = known.dossier
    if dossier.utilisation is None or len(dossier.walk_rounds) < 2:
        return []
    before, last = dossier.walk_rounds[-2:]
    weeks = (last.date - before.date).days / 7
    if weeks < _FEWEST_WEEKS:
        return []
    worked = (last.service_h - before.service_h) / weeks
    entered = dossier.utilisation
    if entered.low / _FAR_PACE <= worked <= entered.high * _FAR_PACE:
        return []
    return [
        f"Between the last two walk-rounds it worked about {worked:.0f} h a week, and "
        f"{as_figure(entered.usual, 'g')} are entered: correct the meter or the hours a week, or the days given are wrong."
    ]


def _with_chain(parts: tuple[PartVerdict, ...]) -> list[str]:
    sprockets = [one for part in parts if part.place.part is PartKind.SPROCKET for one in part.judged]
    if any(one.status == "judged" for one in sprockets):
        return []  # a sprocket that was read is told by `mismatches`
    due = [part for part in parts if part.call.asks and part.job is JobKind.REPLACE]
    if any(part.place.part in (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK) for part in due):
        return [
            "A new chain on a worn sprocket wears fast: sprockets are usually changed with it (common practice)."
        ]
    return []
