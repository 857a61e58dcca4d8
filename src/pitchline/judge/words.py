"""The verdict in one sentence, and what a reader has to know about its figures."""

from collections.abc import Sequence

from pitchline.judge.age import age_remarks
from pitchline.judge.known import Known
from pitchline.judge.parts import counted, wear_unknown
from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.learned import Learned
from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.work import in_a_hundred
from pitchline.trade.calls import Call, CallRule
from pitchline.trade.ground import GROUND_EXAMPLES
from pitchline.trade.jobs import JobKind
from pitchline.trade.measurands import MEASURANDS
from pitchline.trade.parts import PARTS, PartKind, Place, Side
from pitchline.trade.units import show_hours
from pitchline.verdict import Job, Judged, PartVerdict

_FEWEST_WEEKS, _FAR_PACE = 2.0, 2.0
"""Weeks between walk-rounds below which nothing is said of the pace, and times it may leave the entered range: our own."""
_CHANGED = 0.5


def places_in_words(places: tuple[Place, ...]) -> str:
    """Several places of one kind of part, short.

    Parameters
    ----------
    places : tuple of Place
        One or more, all of one kind.

    Returns
    -------
    str
        Such as "bottom rollers 3 and 5 left, 2 right".

    References
    ----------
    Definition.

    Examples
    --------
    >>> rollers = [Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3), Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 5)]
    >>> places_in_words((*rollers, Place(PartKind.BOTTOM_ROLLER, Side.RIGHT, 2)))
    'bottom rollers 3 and 5 left, 2 right'
    >>> places_in_words((Place(PartKind.BUSH, Side.LEFT), Place(PartKind.BUSH, Side.RIGHT)))
    'bushes, left and right'
    """
    words = PARTS[places[0].part].plural if len(places) > 1 else PARTS[places[0].part].singular
    sides = [side for side in Side if any(place.side is side for place in places)]
    if not any(place.position for place in places):
        named = " and ".join(side.value for side in sides if side.value)
        return f"{words}, {named}" if named else words
    by_side = []
    for side in sides:
        numbers = [str(place.position) for place in sorted(places) if place.side is side]
        joined = numbers[0] if len(numbers) == 1 else f"{', '.join(numbers[:-1])} and {numbers[-1]}"
        by_side.append(f"{joined} {side.value}")
    return f"{words} {', '.join(by_side)}"


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
        Hours until the first part is due.
    old : str
        How old the readings are, where they are too old to order by; empty where they are not.

    Returns
    -------
    str
        Plain words, whatever the call; how many parts nothing could be said of. Only a stop comes before old readings.

    References
    ----------
    Our own wording.
    """
    return _called(parts, jobs, rule, next_due, old) + _unjudged_said(parts)


def _unjudged_said(parts: Sequence[PartVerdict]) -> str:
    unjudged, wearing = counted(parts)
    if not unjudged:
        return ""
    kinds = [PARTS[part.place.part].plural for part in parts if wear_unknown(part.judged)]
    return f" Unjudged, not read or without a limit: {unjudged} of {wearing} parts ({', '.join(dict.fromkeys(kinds))})."


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
        return f"{f'{walk}Then' if walk else 'Work it, and'} book: {_named(booked)}."
    if next_due is None:
        return f"{walk}Nothing seen asks for work, but no wear could be judged."
    window = f"the next {rule.booking_window_weeks:g} weeks"
    first = f"First something is due in about {show_hours(next_due.middle)}."
    unjudged, wearing = counted(parts)
    if 2 * unjudged > wearing:
        known = f"What could be judged asks for nothing in {window}; {first[0].lower()}{first[1:]}"
        return f"{walk}Too little is known to call it. {known}"
    on_those = " on what could be judged" if unjudged else ""
    return f"{f'{walk}By these readings' if walk else 'Run it:'} nothing falls due in {window}{on_those}. {first}"


def _named(jobs: list[Job]) -> str:
    return "; ".join(f"{job.kind.label} {places_in_words(job.places)}" for job in jobs)


def remarks(
    known: Known, parts: tuple[PartVerdict, ...], outlook: MachineOutlook | None, learned: Learned | None
) -> tuple[str, ...]:
    """What a reader has to know about these figures.

    Parameters
    ----------
    known : Known
        The dossier as it stood.
    parts : tuple of PartVerdict
        The calls.
    outlook : MachineOutlook or None
        The outlook behind them.
    learned : Learned or None
        Constants it started from.

    Returns
    -------
    tuple of str
        One sentence or two each; what matters most first.

    References
    ----------
    Our own wording.
    """
    judged = [item for part in parts for item in part.judged]
    said = [
        *age_remarks(known),
        *_held_back(judged),
        *_changed(judged),
        *_far_off(judged),
        *_missing(judged),
        *_rests_on(known, outlook, learned),
        *_assumed(known),
        *_other_pace(known),
        *_with_chain(parts),
    ]
    return tuple(said)


def _kinds(items: list[Judged]) -> str:
    return ", ".join(
        dict.fromkeys(f"{PARTS[i.place.part].plural} ({MEASURANDS[i.measurand].label})" for i in items)
    )


def _held_back(judged: list[Judged]) -> list[str]:
    held = [item for item in judged if item.status == "held back"]
    if not held:
        return []
    places = ", ".join(item.place.label for item in held)
    return [f"Held back until corrected, or kept with a reason: {places}. Their figures rest on everything else."]


def _changed(judged: list[Judged]) -> list[str]:
    return [
        f"{item.place.label[0].upper()}{item.place.label[1:]} may have been changed without a record (chance "
        f"{in_a_hundred(item.chance_changed)}): ask, and enter it in the history."
        for item in judged
        if item.chance_changed > _CHANGED
    ]


def _far_off(judged: list[Judged]) -> list[str]:
    far = [item for item in judged if item.chance_misread > _CHANGED and item.status == "judged"]
    if not far:
        return []
    places = ", ".join(f"{item.place.label} ({MEASURANDS[item.measurand].label})" for item in far)
    return [
        f"A reading lies far from what its part's others say: {places}. It was given little weight; measure again."
    ]


def _missing(judged: list[Judged]) -> list[str]:
    said = []
    no_limit = [item for item in judged if item.status == "no limit entered" and item.reading is not None]
    if no_limit:
        said.append(f"No limit entered, so nothing is said of the wear of: {_kinds(no_limit)}.")
    unread = [item for item in judged if item.status == "not read"]
    if unread:
        said.append(
            f"Not read on the part now fitted: {_kinds(unread)}. Their figures come from this machine's other parts alone."
        )
    beyond = [item for item in judged if item.beyond_line]
    if beyond:
        said.append(f"Read outside the entered sizes, the wear line carried on: {_kinds(beyond)}.")
    return said


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
            f"Typical lives, grounds and spreads are learned from {learned.readings:,} readings of the yard."
        )
    elif weak:
        said.append(
            "Typical lives are weak starting points of this project where the yard has entered none; the readings move them."
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
        said.append("No hours a week are entered: no days are given, and only what is due now can be booked.")
    return said


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
        f"Between the last two walk-rounds it worked about {worked:.0f} h a week, and {entered.usual:g} are entered: correct the "
        "meter or the hours a week, or the days given are wrong."
    ]


def _with_chain(parts: tuple[PartVerdict, ...]) -> list[str]:
    due = [part for part in parts if part.call.asks and part.job is JobKind.REPLACE]
    if any(part.place.part in (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK) for part in due):
        return [
            "A new chain on a worn sprocket wears fast: sprockets are usually changed with it (common practice)."
        ]
    return []
