"""What page 2 tells: the work with its cautions, the readings, and why each figure."""

import math
import re
from collections.abc import Callable, Iterable

from pitchline.judge.called import apart, counted_due
from pitchline.papers import names, words
from pitchline.papers.rows import ReadRow, read_rows
from pitchline.stops.doubted import tells_of_misreading
from pitchline.trade.calls import Call
from pitchline.trade.ground import GroundMix
from pitchline.trade.jobs import Caution, JobKind
from pitchline.trade.measurands import MEASURANDS, Role
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.saying import says
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import Job, Judged, PartVerdict, Verdict
from pitchline.words import cautions, counted, say, translated, worded
from pitchline.words.called import job_called, joins_word
from pitchline.words.labels import label, mix_said, quantity, singular
from pitchline.words.readings import reading_said
from pitchline.words.speaking import in_a_hundred

_CHANCE_TOLD = ("wear.past_", "wear.within_window_", "turn.past_turn_point")
"""How the codes of reasons begin that tell the chance themselves."""
_TOLD_IN_TABLE = ("reading", "sizes")
_NUMBER = re.compile(r"\d[\d,.]*(?<![,.])(?: h\b)?")


def told_jobs(verdict: Verdict) -> list[dict[str, object]]:
    """Each job with what it needs and its cautions, each caution's text at the first job that needs it."""
    numbers: dict[Caution, int] = {}
    told = []
    for number, job in enumerate(verdict.jobs, 1):
        heeded = []
        for caution in job.cautions:
            first = caution not in numbers
            numbers.setdefault(caution, len(numbers) + 1)
            heeded.append(
                {
                    "number": numbers[caution],
                    "title": cautions.title(caution),
                    "text": cautions.caution_text(caution) if first else None,
                }
            )
        told.append(
            _job(number, job, verdict) | {"cautions": sorted(heeded, key=lambda x: str(x["number"]).zfill(3))}
        )
    return told


def _job(number: int, job: Job, verdict: Verdict) -> dict[str, object]:
    where = names.places_said(job.places, verdict.gear)
    chance = (
        worded(
            "chance {chance_in_window} inside the booking window",
            chance_in_window=in_a_hundred(job.chance_in_window),
        )
        if job.call is Call.BOOK
        else ""
    )
    told_already = job.due is None or says(job.because, _CHANCE_TOLD, "chance")
    return {
        "number": number,
        "title": words.first_up(names.job_said(job.kind, where)),
        "call": job.call.value,
        "measure": job.kind is JobKind.MEASURE,
        "called": job_called(job),
        "when": when_said(job),
        "when_range": when_range(job),
        "chance": "" if told_already else chance,
        "because": because_said(job, verdict),
        "parts": words.listed([f"{count}{words.GAP}× {say(piece)}" for piece, count in job.parts_needed])
        if job.parts_needed
        else "",
        "labour": words.tied(worded("labour {hours} h", hours=as_figure(job.labour_h, "g")))
        if job.labour_h is not None
        else "",
        "price": words.amount(job.price.usual, job.price.currency) if job.price else translated("not priced"),
        "price_range": words.amount_range(job.price) if job.price else "",
        "not_priced": words.listed([say(one) for one in job.not_priced]) if job.not_priced and job.price else "",
    }


def because_said(job: Job, verdict: Verdict) -> str:
    """Why a job is done or taken along, both explanations of a reading that is not understood, and what is looked at again."""
    both = names.explained(job, verdict)
    told = both is None or tells_of_misreading(job.because)
    either = "" if told or both is None else f"{words.first_up(names.either_said(both))}."
    checked = job.after if job.call.asks or job.along or job.joins else None
    joined = joins_said(job, verdict.plan.currency) if verdict.plan else ""
    return " ".join(said for said in (say(job.because), either, say(job.along), joined, say(checked)) if said)


def joins_said(job: Job, currency: str) -> str:
    """Why a job is done at its lay-up and not at its own time, in hours and money; empty where that is the same."""
    joins = job.joins
    if joins is None:
        return ""
    word = words.first_up(joins_word(joins))
    early = words.hours(abs(joins.early_h))
    if joins.own_h is None:
        when = translated("though it would last to the end of the plan")
    elif joins.early_h < 0:
        when = worded("{hours} past its own time", hours=early)
    else:
        when = worded("{hours} before its own time", hours=early)
    if joins.with_job is not None and joins.with_part is not None:
        old = (
            translated("an old one wears it fast")
            if job.part is PartKind.SPROCKET
            else translated("too little is left to take the old ones over")
        )
        return worded(
            "{word}, {when}: a new one goes with the new {singular}, because {old}.",
            word=word,
            when=when,
            singular=singular(joins.with_part),
            old=old,
        )
    if joins.saves is None:
        return f"{word}, {when}."
    amount = f"{currency}{words.GAP}{as_figure(abs(joins.saves))}"
    if joins.own_h is None:
        text = (
            translated("{word}, {when}: left out until then, the plan would cost {amount} more.")
            if joins.saves >= 0
            else translated("{word}, {when}: left out until then, the plan would cost {amount} less.")
        )
    else:
        text = (
            translated("{word}, {when}: done by itself then, the plan would cost {amount} more.")
            if joins.saves >= 0
            else translated("{word}, {when}: done by itself then, the plan would cost {amount} less.")
        )
    return text.format(word=word, when=when, amount=amount)


def when_range(job: Job) -> str:
    """The range of a job's hours and about which day; empty where it is now or has none."""
    if job.call is Call.STOP or job.due is None or words.is_now(job.due.hopeful):
        return ""
    dates = f", {words.when_about(job.dates)}" if job.dates and not words.is_now(job.due.middle) else ""
    return f"{words.between(words.hours(job.due.cautious), words.hours(job.due.hopeful))}{dates}"


def when_said(job: Job) -> str:
    """When a job is due, in hours or in words.

    Returns
    -------
    str
        Such as "in 620 h" or "before it works again".
    """
    if job.call is Call.STOP:
        return translated("before it works again")
    if job.along:
        return translated("at the same visit")
    if job.due is None:
        return translated("book it now") if job.call is Call.BOOK else translated("when next at it")
    told = words.hours(job.due.middle)
    return told if words.is_now(job.due.middle) else worded("in {hours}", hours=told)


def told_reading(row: ReadRow, verdict: Verdict, units: UnitSystem) -> dict[str, object]:
    """What was read of one quantity on both sides, with what, and the yard's sizes."""
    first = row.both[0]
    tools = dict.fromkeys(translated(judged.reading.tool.label) for judged in row.both if judged.reading)
    limit = translated("setting") if MEASURANDS[row.measurand].role is Role.SETTING else translated("none entered")
    if first.limit_m is not None:
        limit = words.length(first.limit_m, units)
        limit = worded("{size}, assumed", size=limit) if first.limit_assumed else limit
    return {
        "part": "" if names.says_part(quantity(row.measurand), row.part) else _part_read(row, verdict),
        "quantity": quantity(row.measurand),
        "left": _readings(row.left, verdict, units),
        "right": _readings(row.right, verdict, units),
        "tool": " / ".join(tools),
        "new": words.length(first.new_m, units) if first.new_m is not None else "",
        "limit": limit,
    }


def _part_read(row: ReadRow, verdict: Verdict) -> str:
    positions = sorted({judged.place.position for judged in row.both})
    if len(positions) < 2:
        return names.row_name(row.part, positions[0], verdict.gear)
    return f"{names.plural(row.part)} {names.numbers_said(positions)}"


def _readings(side: tuple[Judged, ...], verdict: Verdict, units: UnitSystem) -> dict[str, str] | None:
    """The readings of one side; those of numbered parts in a row, each with its number where some were not read."""
    read = [(judged, judged.reading) for judged in side if judged.reading is not None]
    if not read:
        return None
    typed = [words.as_typed(reading) for _, reading in read]
    if len(read) > 1:
        numbered = [judged.place.position for judged, _ in read] != list(range(1, len(read) + 1))
        numbers = [f"({judged.place.position}){words.GAP}" if numbered else "" for judged, _ in read]
        typed = [number + text for number, text in zip(numbers, words.unit_once(typed), strict=True)]
    first, reading = read[0]
    alone = len(read) == 1 and reading.joints > 1 and first.value_m is not None
    return {
        "typed": "; ".join(typed),
        "each": worded("{value} each", value=words.length(first.value_m or 0.0, units)) if alone else "",
        "doubt": words.doubts([judged.expanded_u_m for judged, _ in read if judged.expanded_u_m], units),
        "marks": "; ".join(dict.fromkeys(mark for judged, _ in read for mark in _marks(judged, verdict))),
    }


def _marks(judged: Judged, verdict: Verdict) -> list[str]:
    number = f"{judged.place.position}: " if verdict.gear.count(judged.place.part) > 1 else ""
    last = verdict.walk_rounds[-1].date if verdict.walk_rounds else None
    old = judged.read_on if judged.read_on != last else None
    kept = judged.reading.kept_because if judged.reading else ""
    return [
        *([worded("{number}held back", number=number)] if judged.status == "held back" else []),
        *([worded("{number}outside the entered sizes", number=number)] if judged.beyond_line else []),
        *([worded("{number}kept: {kept}", number=number, kept=kept)] if kept else []),
        *([words.day(old)] if old else []),
    ]


def told_walk_rounds(verdict: Verdict) -> str:
    """The walk-rounds behind the figures."""
    if not verdict.walk_rounds:
        return translated("No walk-round yet.")
    told = [
        worded("{day} at {hours}", day=words.day(walk.date), hours=words.service_hours(walk.service_h))
        + (f" ({walk.by})" if walk.by else "")
        for walk in verdict.walk_rounds
    ]
    return counted(
        "Walk-round of {told}. Readings are of the last one unless a day is given; those of numbered parts stand in a row, from "
        "the front.",
        "Walk-rounds of {told}. Readings are of the last one unless a day is given; those of numbered parts stand in a row, from "
        "the front.",
        len(told),
    ).format(told=words.listed(told))


def told_why(verdict: Verdict) -> list[dict[str, str]]:
    """Why these figures: each ingredient once, with the kinds of part it differs for; of each kind the one first due.

    Returns
    -------
    list of dict
        What, its value in words, and where it comes from.
    """
    kept: dict[tuple[str, str], dict[str, str]] = {}
    for part in sorted(verdict.parts, key=_first_due):
        for judged in part.judged:
            for why in judged.why:
                if why.what not in _TOLD_IN_TABLE:
                    name = names.row_name(part.place.part, 0, verdict.gear)
                    kept.setdefault((why.what, say(why.source)), {}).setdefault(name, say(why.said))
    sizes = dict.fromkeys(
        say(why.source)
        for part in verdict.parts
        for judged in part.judged
        for why in judged.why
        if why.what == "sizes"
    )
    told = [
        {"what": words.first_up(translated(what)), "said": _said_of(by_part), "source": source}
        for (what, source), by_part in kept.items()
    ]
    return told + [
        {"what": translated("Sizes"), "said": translated("in the table above"), "source": source}
        for source in sizes
    ]


def _first_due(part: PartVerdict) -> float:
    due = counted_due(part)
    return due.middle if due is not None else math.inf


def told_parted(verdict: Verdict) -> list[str]:
    """Where the judged figures part from what was read, why, and what a ruler says of every quantity.

    Returns
    -------
    list of str
        Both figures of life used where they differ, each kind of reason once, and the ruler's hours; none in verdicts of earlier
        versions.
    """
    used = _by_quantity(verdict, lambda one: words.used_twice(one) if apart(one) else "")
    ruled = _by_quantity(verdict, lambda one: words.hours(one.ruler_h) if one.ruler_h is not None else "")
    told = (
        [worded("Used as read / as judged, where they differ by more than 3 points. {used}", used=used)]
        if used
        else []
    )
    if ruled:
        ruled = worded("Hours to the limit at the rate so far, as a ruler draws them. {ruled}", ruled=ruled)
    return [*told, *_reasons_apart(verdict), *([ruled] if ruled else [])]


def _reasons_apart(verdict: Verdict) -> list[str]:
    """Why figures part: of sentences that differ in figures alone the first, with how many others there are."""
    found: dict[str, list[str]] = {}
    for judged in (one for part in verdict.parts for one in part.judged if one.parted):
        where = f"{names.place_said(judged.place, verdict.gear)}, {quantity(judged.measurand)}"
        why = say(judged.parted)
        found.setdefault(_NUMBER.sub("", why), []).append(f"{words.first_up(where)}: {why}")
    others = {1: "", 2: translated(" The same at one other place.")}
    return [
        said[0] + others.get(len(said), worded(" The same at {said} other places.", said=len(said) - 1))
        for said in found.values()
    ]


def _by_quantity(verdict: Verdict, figure: Callable[[Judged], str]) -> str:
    """A figure of every quantity that has one, by kind of part: "Bottom rollers, tread diameter: left 3 35 / 43 %"."""
    told = []
    for row in read_rows(verdict):
        several = verdict.gear.count(row.part) > 1
        sides = []
        for side, found in _sides(row):
            figures = [(one.place.position, figure(one)) for one in found if figure(one)]
            said = ", ".join(f"({position}){words.GAP}{text}" if several else text for position, text in figures)
            sides += [f"{side} {said}".strip()] if said else []
        if sides:
            told.append(
                f"{words.first_up(names.plural(row.part))}, {quantity(row.measurand)}: {'; '.join(sides)}."
            )
    return " ".join(told)


def _sides(row: ReadRow) -> tuple[tuple[str, tuple[Judged, ...]], ...]:
    one = not any(judged.place.side.value for judged in row.both)
    return (("", row.left),) if one else ((label(Side.LEFT), row.left), (label(Side.RIGHT), row.right))


def _said_of(by_part: dict[str, str]) -> str:
    """Each value with its parts; after the first in full, the numbers alone where the words are the same."""
    parts: dict[str, list[str]] = {}
    for name, said in by_part.items():
        parts.setdefault(said, []).append(name)
    first = next(iter(parts))
    if len(parts) == 1:
        return first
    alike = [said for said in parts if _NUMBER.sub("", said) == _NUMBER.sub("", first)]
    numbers = {said: _NUMBER.findall(said) for said in alike}
    differ = [n for n in range(len(numbers[first])) if len({numbers[said][n] for said in alike}) > 1]
    told = []
    for said, where in parts.items():
        short = said in numbers and said is not first
        shown = " / ".join(numbers[said][n] for n in differ) if short else said
        told.append(f"{shown} ({', '.join(where)})")
    return "; ".join(told)


def told_rest_on(verdict: Verdict) -> list[dict[str, str]]:
    """What the figures assume of the time to come, and the rule behind the calls."""
    use = verdict.utilisation
    hours = (
        translated("not entered, so no dates")
        if use is None
        else worded(
            "{usual} h, from {low} to {high} h",
            usual=as_figure(use.usual, "g"),
            low=as_figure(use.low, "g"),
            high=as_figure(use.high, "g"),
        )
    )
    rule = verdict.call_rule
    return [
        {
            "what": translated("Ground to come"),
            "said": mix_said(verdict.ground_to_come or GroundMix.all_of(verdict.ground)),
        },
        {"what": translated("Hours a week"), "said": hours},
        {
            "what": translated("Calls"),
            "said": worded(
                "book at a chance of {book_chance} or more of falling due within {booking_window_weeks} weeks; "
                "stop at {stop_chance} of being past a limit that is unsafe or ruins what is dearer, or by a "
                "finding",
                book_chance=in_a_hundred(rule.book_chance),
                booking_window_weeks=as_figure(rule.booking_window_weeks, "g"),
                stop_chance=in_a_hundred(rule.stop_chance),
            ),
        },
    ]


def told_suspicions(verdict: Verdict) -> list[str]:
    """Readings that look wrong, what was probably meant, and whether they count."""
    told = []
    for suspicion in verdict.suspicions:
        reading = suspicion.reading
        label = quantity(reading.measurand)
        told.append(
            worded(
                "{place}, {label}, read {reading} on {date}: {suspects}",
                place=words.first_up(names.place_said(reading.place, verdict.gear)),
                label=label,
                reading=reading_said(reading),
                date=words.day(suspicion.date),
                suspects=say(suspicion.suspects),
            )
            + (
                translated(" Held back from the figures.")
                if suspicion.held
                else translated(" Kept in the figures.")
            )
        )
    return told


def caution_titles(jobs: Iterable[Job]) -> list[str]:
    """The titles of every caution some jobs need, each once."""
    return list(dict.fromkeys(cautions.title(caution) for job in jobs for caution in job.cautions))
