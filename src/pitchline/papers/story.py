"""What the paper tells, worked out as plain text and shares of an axis, ready for the template; page 1 in full."""

from dataclasses import asdict, dataclass

from pitchline.judge.called import counted_due, either_way, next_job, ruler_of, stakes_of
from pitchline.papers import names, words
from pitchline.papers.causes_told import causes_in_short
from pitchline.papers.ground import told_ground
from pitchline.papers.pictures import told_pictures
from pitchline.papers.primer_words import primer_said
from pitchline.papers.rows import HoursAxis, hours_axis, part_rows, read_rows
from pitchline.papers.story_plan import told_plan
from pitchline.papers.story_work import (
    told_jobs,
    told_parted,
    told_reading,
    told_rest_on,
    told_suspicions,
    told_walk_rounds,
    told_why,
)
from pitchline.papers.whose_told import odd_in_short
from pitchline.papers.worth_told import worth_line
from pitchline.trade.calls import Call, Stake
from pitchline.trade.findings import why_it_matters
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import Job, Money, PartVerdict, SetOutlook, Verdict
from pitchline.words import say, translated, worded
from pitchline.words.called import called, key_of, looked_said, machine_called, part_called
from pitchline.words.carried import note_said
from pitchline.words.labels import label

_NAMED = 2
"""Jobs named under a headline figure; more are counted there, and named in the verdict's sentence."""


@dataclass(frozen=True, slots=True)
class Headline:
    """One of the three headline figures.

    Parameters
    ----------
    label : str
        What it is.
    figure : str
        The figure, set large.
    lines : tuple of str
        One to three lines about it: its range first.
    """

    label: str
    figure: str
    lines: tuple[str, ...]


def story(verdict: Verdict, units: UnitSystem) -> dict[str, object]:
    """Everything the pages say and show.

    Returns
    -------
    dict
        Text, lists and dicts, as the template expects them.
    """
    axis, doubts = hours_axis(verdict), words.of_readings(verdict)
    marks = _marks(verdict)
    return {
        "title": worded(
            "Verdict on {machine}, {as_of}", machine=verdict.machine.name, as_of=words.day(verdict.as_of)
        ).replace(words.GAP, " "),
        "author": f"pitchline {verdict.version}",
        "name": verdict.machine.name,
        "name_short": names.shortened(verdict.machine.name),
        "kind": names.machine_known(verdict.machine, units),
        "gear": list(names.gear_said(verdict.gear, units)),
        "note": verdict.machine.note,
        "as_of": words.day(verdict.as_of),
        "counts_from": words.counts_from(verdict),
        "call": verdict.call.value,
        "call_said": call_said(verdict),
        "called": machine_called(verdict),
        "looked": looked_said(verdict.looked_at),
        "boxes": [asdict(one) for one in boxes(verdict)],
        "headline": say(verdict.headline),
        "worth": worth_line(verdict.worth) if verdict.worth is not None else "",
        "mismatches": [say(one.said) for one in verdict.mismatches],
        "axis": _axis(axis, verdict),
        "assumed": any(part.assumed_limit for part in verdict.parts),
        "rows": [
            {
                "name": names.row_name(row.part, row.position, verdict.gear),
                "left": _cell(row.left, axis, marks),
                "right": _cell(row.right, axis, marks),
            }
            for row in part_rows(verdict)
        ],
        "key": [(call.value, said) for call, said in key_of(part.call for part in verdict.parts).items()],
        "notes": _notes(verdict, marks),
        "nothing_seen": translated("Nothing was noted.")
        if verdict.walk_rounds
        else translated("No walk-round yet."),
        "primer": primer_said(verdict),
        "ground": told_ground(verdict),
        "jobs": told_jobs(verdict),
        "read": [told_reading(row, verdict, units) for row in read_rows(verdict)],
        "walk_rounds": told_walk_rounds(verdict),
        "method": [translated(one) for one in words.METHOD_SAID],
        "why": told_why(verdict),
        "rest_on": told_rest_on(verdict),
        "parted": told_parted(verdict),
        "sets": [_set(outlook) for outlook in verdict.sets],
        "suspicions": [*told_suspicions(verdict), *doubts],
        "remarks": [
            *(said for remark in verdict.remarks if (said := say(remark)) not in doubts),
            *causes_in_short(verdict),
            *odd_in_short(verdict),
        ],
        "not_priced": [say(one) for one in verdict.not_priced],
        "pictures": told_pictures(verdict, units),
        "plan": told_plan(verdict),
        "aid": words.working_aid(),
        "made": worded(
            "pitchline {version} · {method}", version=verdict.version, method=translated(verdict.method)
        ),
    }


def call_said(verdict: Verdict) -> str:
    """What the call on the machine means, in a few words.

    Returns
    -------
    str
        Says so where nothing could be judged.
    """
    looked, every = verdict.looked_at or (0, 0)
    if verdict.call is Call.UNJUDGED and looked < every:
        few = 2 * looked < every
        return (
            translated("too little was looked at to call it")
            if few
            else worded("{looked} of {every} parts not looked at", looked=every - looked, every=every)
        )
    if not verdict.call.asks and verdict.next_due is None:
        return translated("nothing was seen against it, and nothing could be judged")
    if verdict.call is Call.UNJUDGED:
        return translated("too little is known to call it")
    stakes = stakes_of(verdict)
    if verdict.call is Call.STOP:
        return (
            translated("do not work it")
            if stakes
            else translated("unsafe, or ruins what is dearer: do not work it")
        )
    if Stake.CONFIRM in stakes:
        return translated("look the limit up before it works on")
    if stakes == (Stake.MEASURE,):
        return translated("before anything is ordered")
    ahead = words.window_ahead(verdict)
    if verdict.call is not Call.BOOK:
        due = worded("nothing due within the next {hours}", hours=ahead)
    else:
        due = worded("work due within the next {hours}", hours=ahead)
    return f"{due}{translated('; what is worn out works on at your cost')}" if Stake.WORN_OUT in stakes else due


def boxes(verdict: Verdict, brief: bool = False) -> tuple[Headline, Headline, Headline]:
    """The three headline figures: next due, to put right now, due inside the booking window.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    brief : bool
        Without the soonest of many parts, and without what the window is.
    """
    stops = [job for job in verdict.jobs if job.call is Call.STOP]
    due = [job for job in verdict.jobs if job.call is not Call.RUN]
    said = _jobs_in_short(stops, verdict) if stops else translated("no part is called stop")
    weeks = words.window_weeks(verdict)
    window = worded("the booking window, {weeks}; jobs alone, the quote adds the lay-up itself", weeks=weeks)
    return (
        _next_due(verdict, [] if brief else _first_of_all(verdict)),
        _money_headline(translated("To put right now"), verdict.money_now, stops, verdict, said),
        _money_headline(
            worded("Cost of the work due, within {verdict}", verdict=words.window_ahead(verdict)),
            verdict.money_window,
            due,
            verdict,
            "" if brief else window,
        ),
    )


def _next_due(verdict: Verdict, lines: list[str]) -> Headline:
    """The most pressing job and its hours; below, when the first of all parts that were read is due."""
    job = next_job(verdict)
    if job is None:
        return Headline(
            translated("Falls due first"),
            translated("not known"),
            (translated("no reading with a limit to judge by"),),
        )
    what = names.job_said(job.kind, names.places_said(job.places, verdict.gear))
    label = worded("Falls due first: {what}", what=what)
    both = names.explained(job, verdict)
    if both is not None:
        return Headline(
            label,
            translated("now"),
            (names.either_said(both), translated("order nothing before it was measured again"), *lines),
        )
    if job.due is None or job.call is Call.STOP:
        chance = worded("or at the next chance within {verdict}", verdict=words.window_ahead(verdict))
        return Headline(
            label,
            translated("now"),
            (translated("before it works again") if job.call is Call.STOP else chance, *lines),
        )
    if names.is_overdue(job) and words.is_now(job.due.hopeful):  # no range and no day to come is left to tell
        return Headline(label, translated("now, overdue"), tuple(lines))
    dates = words.dates_said(job.dates) or translated("no dates: hours a week not entered")
    figure = translated("now, overdue") if names.is_overdue(job) else words.hours(job.due.middle)
    return Headline(label, figure, (words.range_said(job.due), dates, *lines))


def _first_of_all(verdict: Verdict) -> list[str]:
    """Of many parts some one is due sooner than any single one of them, by its own figures."""
    read = sum(
        part.call is not Call.UNJUDGED and any(judged.status == "judged" for judged in part.judged)
        for part in verdict.parts
    )
    if verdict.next_due is None or read < 2:
        return []
    return [
        worded(
            "soonest of the {read} parts read: {middle}", read=read, middle=words.hours(verdict.next_due.middle)
        )
    ]


def _money_headline(label: str, money: Money | None, jobs: list[Job], verdict: Verdict, said: str) -> Headline:
    priced = [job for job in jobs if job.price is not None]
    if money is None or (jobs and not priced):
        figure = (
            translated("not priced")
            if jobs
            else translated("not known")
            if verdict.next_due is None
            else translated("nothing")
        )
        return Headline(label, figure, (said,) if said else ())
    lines = [words.amount_range(money), said]
    if len(priced) < len(jobs) or any(job.not_priced for job in jobs):
        lines.append(translated("without what is not priced; the jobs say what"))
    return Headline(label, words.amount(money.usual, money.currency), tuple(line for line in lines if line))


def _jobs_in_short(jobs: list[Job], verdict: Verdict) -> str:
    if len(jobs) > _NAMED:
        return worded("{jobs} jobs called stop", jobs=len(jobs))
    return "; ".join(names.job_said(job.kind, names.places_said(job.places, verdict.gear)) for job in jobs)


def _axis(axis: HoursAxis, verdict: Verdict) -> dict[str, object] | None:
    if not any(counted_due(part) for part in verdict.parts):
        return None
    window = verdict.window_h
    return {
        "marks": [{"at": axis.share(mark), "said": as_figure(mark)} for mark in axis.marks_h],
        "unit": f"{words.GAP}h",
        "window": axis.share(window) if window is not None and window < axis.end_h else None,
    }


def _unexplained(part: PartVerdict, verdict: Verdict) -> bool:
    """Whether a call is not run, though its hours left do not show why."""
    if not part.call.asks or any(finding.call is part.call for finding in part.findings):
        return False
    return part.due is None or verdict.window_h is None or part.due.cautious > verdict.window_h


def _marks(verdict: Verdict) -> dict[str, str]:
    """The figure of each part's note: figures, as a letter behind a call reads as a grade."""
    noted = [part.place.key for part in verdict.parts if part.findings or _unexplained(part, verdict)]
    return {key: f"{number})" for number, key in enumerate(noted, 1)}


def _cell(part: PartVerdict | None, axis: HoursAxis, marks: dict[str, str]) -> dict[str, object] | None:
    if part is None:
        return None
    told: dict[str, object] = {
        "call": part.call.value,
        "called": part_called(part, brief=True),
        "note": marks.get(part.place.key, ""),
        "used": words.life_used(part),
    }
    both, due = either_way(part), counted_due(part)
    if both is not None and part.call.asks:
        return told | {"said": names.either_said(both, brief=True), "band": None}
    if due is None:
        return told | {"said": names.hours_cell(part), "band": None}
    band = axis.band(due)
    ruler = ruler_of(part)
    return told | {
        "said": translated("now") if part.call is Call.STOP else words.hours(due.middle),
        "band": {
            "low": band.low,
            "middle": band.middle,
            "high": band.high,
            "runs_on": band.runs_on,
            "off": band.off,
            "ruler": axis.share(ruler) if ruler is not None and ruler <= axis.end_h else None,
            "alt": worded(
                "{place}: {due}, middle {middle}",
                place=label(part.place),
                due=words.range_said(due),
                middle=words.hours(due.middle),
            )
            + (worded(", at the rate so far {ruler}", ruler=words.hours(ruler)) if ruler is not None else ""),
        },
    }


def _notes(verdict: Verdict, marks: dict[str, str]) -> list[dict[str, str]]:
    told = []
    for part in verdict.parts:
        where = {"mark": marks.get(part.place.key, ""), "place": names.place_said(part.place, verdict.gear)}
        for finding in part.findings:
            note = f" (“{note}”)" if (note := note_said(finding)) else ""
            said = f"{say(finding.told())}{note}; {say(why_it_matters(finding.kind))}."
            call = finding.call
            stake = finding.stake_of(call)
            told.append(where | {"said": said, "call": call.value, "called": called(call, stake)})
        if _unexplained(part, verdict):
            told.append(where | {"said": say(part.reason), "call": part.call.value, "called": part_called(part)})
    return told


def _set(outlook: SetOutlook) -> str:
    gone = words.is_now(outlook.first.hopeful)
    date = f", {words.when_about(outlook.dates)}" if outlook.dates and not gone else ""
    first = worded(
        "First of {places} {part}: {middle}{date}",
        places=len(outlook.places),
        part=names.plural(outlook.part),
        middle=words.hours(outlook.first.middle),
        date=date,
    )
    return f"{first}." if gone else f"{first}; {words.range_said(outlook.first)}."
