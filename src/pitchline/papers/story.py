"""What the paper tells, worked out as plain text and shares of an axis, ready for the template."""

from collections.abc import Iterable
from string import ascii_lowercase

from pitchline.papers import words
from pitchline.papers.rows import HoursAxis, ReadRow, hours_axis, part_rows, read_rows
from pitchline.trade.calls import Call
from pitchline.trade.findings import CONSEQUENCES
from pitchline.trade.jobs import CAUTIONS, Caution
from pitchline.trade.measurands import MEASURANDS, Role
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Job, Judged, Money, PartVerdict, SetOutlook, Verdict

CALL_SAID = {
    Call.RUN: "nothing due inside the booking window",
    Call.BOOK: "work falls due inside the booking window",
    Call.STOP: "past its limit or unsafe: do not work it",
}
_SEVERAL = 6


def story(verdict: Verdict, units: UnitSystem) -> dict[str, object]:
    """Everything the two pages say.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    units : UnitSystem
        Metric or imperial.

    Returns
    -------
    dict
        Text, lists and dicts, as the template expects them.

    References
    ----------
    Definition.
    """
    axis = hours_axis(verdict)
    letters = _letters(verdict)
    return {
        "title": f"Verdict on {verdict.machine.name}, {words.day(verdict.as_of)}".replace(words.GAP, " "),
        "author": f"pitchline {verdict.version}",
        "name": verdict.machine.name,
        "name_short": words.shortened(verdict.machine.name),
        "kind": words.machine_said(verdict.machine, units),
        "gear": list(words.gear_said(verdict.gear, units)),
        "note": verdict.machine.note,
        "as_of": words.day(verdict.as_of),
        "counts_from": words.counts_from(verdict),
        "call": verdict.call.value,
        "call_said": call_said(verdict),
        "boxes": boxes(verdict),
        "headline": verdict.headline,
        "axis": _axis(axis, verdict),
        "rows": [
            {
                "name": words.row_name(row.part, row.position, verdict.gear),
                "left": _cell(row.left, axis, letters),
                "right": _cell(row.right, axis, letters),
            }
            for row in part_rows(verdict)
        ],
        "findings": _findings(verdict, letters),
        "nothing_seen": "Nothing was noted." if verdict.walk_rounds else "No walk-round yet.",
        "jobs": _jobs(verdict),
        "read": [_read(row, verdict, units) for row in read_rows(verdict)],
        "walk_rounds": _walk_rounds(verdict),
        "method": list(words.METHOD_SAID),
        "why": _why(verdict),
        "rest_on": _rest_on(verdict),
        "sets": [_set(outlook, verdict) for outlook in verdict.sets],
        "suspicions": _suspicions(verdict, units),
        "remarks": list(verdict.remarks),
        "not_priced": list(verdict.not_priced),
        "aid": words.WORKING_AID,
        "made": f"pitchline {verdict.version} · {verdict.method}",
    }


def call_said(verdict: Verdict) -> str:
    """What the call on the machine means, in a few words.

    Parameters
    ----------
    verdict : Verdict
        The verdict.

    Returns
    -------
    str
        Says so where nothing could be judged.

    References
    ----------
    Definition.
    """
    if verdict.call is Call.RUN and verdict.next_due is None:
        return "nothing was seen against it, and nothing could be judged"
    return CALL_SAID[verdict.call]


def boxes(verdict: Verdict) -> list[dict[str, object]]:
    """The three headline figures: next due, to put right now, due inside the booking window.

    Parameters
    ----------
    verdict : Verdict
        The verdict.

    Returns
    -------
    list of dict
        For each a label, the figure, and one to three lines about it.

    References
    ----------
    Definition.
    """
    stops = [job for job in verdict.jobs if job.call is Call.STOP]
    due = [job for job in verdict.jobs if job.call is not Call.RUN]
    said = _jobs_in_short(stops, verdict) if stops else "no part is called stop"
    window = f"{words.window_said(verdict)}; with what is to put right now"
    return [
        _next_due(verdict),
        _money_box("To put right now", verdict.money_now, stops, verdict, said),
        _money_box("Falls due inside the booking window", verdict.money_window, due, verdict, window),
    ]


def _next_due(verdict: Verdict) -> dict[str, object]:
    left = verdict.next_due
    if left is None:
        return {"label": "Next due", "figure": "not known", "lines": ["no reading with a limit to judge by"]}
    lines = [words.range_said(left)]
    dates = words.dates_said(verdict.next_due_dates)
    lines += [dates] if dates else ["no dates: hours a week not entered"]
    return {"label": f"Next due: {words.next_due_said(verdict)}", "figure": words.hours(left.middle), "lines": lines}


def _money_box(label: str, money: Money | None, jobs: list[Job], verdict: Verdict, said: str) -> dict[str, object]:
    unpriced = [job for job in jobs if job.price is None]
    if money is None or (jobs and len(unpriced) == len(jobs)):
        unknown = verdict.next_due is None
        figure = "not priced" if jobs else "not known" if unknown else "nothing"
        return {"label": label, "figure": figure, "lines": [said]}
    lines = [words.amount_range(money), said]
    if any(job.not_priced or job.price is None for job in jobs):
        lines.append(words.tied("without what is not priced, see page 2"))
    return {
        "label": label,
        "figure": words.amount(money.usual, money.currency),
        "lines": [line for line in lines if line],
    }


def _jobs_in_short(jobs: list[Job], verdict: Verdict) -> str:
    told = [words.job_said(job.kind, words.places_said(job.places, verdict.gear)) for job in jobs]
    more = f"; and {len(told) - 2} more" if len(told) > 2 else ""
    return "; ".join(told[:2]) + more


def _axis(axis: HoursAxis, verdict: Verdict) -> dict[str, object] | None:
    if not any(part.due for part in verdict.parts):
        return None
    window = verdict.window_h
    return {
        "marks": [{"at": axis.share(mark), "said": f"{mark:,.0f}"} for mark in axis.marks_h],
        "window": axis.share(window) if window is not None and window < axis.end_h else None,
    }


def _letters(verdict: Verdict) -> dict[str, str]:
    seen = [part.place.key for part in verdict.parts if part.findings]
    names = [*ascii_lowercase, *(a + b for a in ascii_lowercase for b in ascii_lowercase)]
    return dict(zip(seen, names, strict=False))


def _cell(part: PartVerdict | None, axis: HoursAxis, letters: dict[str, str]) -> dict[str, object] | None:
    if part is None:
        return None
    told: dict[str, object] = {
        "call": part.call.value,
        "note": letters.get(part.place.key, ""),
        "used": words.life_used(part),
    }
    if part.due is None:
        return told | {"said": words.hours_cell(part), "band": None}
    band = axis.band(part.due)
    return told | {
        "said": words.hours(part.due.middle),
        "band": {
            "low": band.low,
            "middle": band.middle,
            "high": band.high,
            "runs_on": band.runs_on,
            "off": band.off,
            "alt": f"{part.place.label}: {words.range_said(part.due)}, middle {words.hours(part.due.middle)}",
        },
    }


def _findings(verdict: Verdict, letters: dict[str, str]) -> list[dict[str, str]]:
    return [
        {
            "letter": letters[part.place.key],
            "place": words.place_said(part.place, verdict.gear),
            "said": finding.words,
            "note": finding.note,
            "because": CONSEQUENCES[finding.kind].because,
            "call": finding.call.value,
        }
        for part in verdict.parts
        for finding in part.findings
    ]


def _jobs(verdict: Verdict) -> list[dict[str, object]]:
    numbers: dict[Caution, int] = {}
    told = []
    for number, job in enumerate(verdict.jobs, 1):
        cautions = []
        for caution in job.cautions:
            first = caution not in numbers
            numbers.setdefault(caution, len(numbers) + 1)
            text = CAUTIONS[caution]
            cautions.append(
                {"number": numbers[caution], "title": text.title, "text": text.text if first else None}
            )
        told.append(_job(number, job, verdict) | {"cautions": sorted(cautions, key=lambda x: str(x["number"]).zfill(3))})
    return told


def _job(number: int, job: Job, verdict: Verdict) -> dict[str, object]:
    where = words.places_said(job.places, verdict.gear)
    chance = f"{words.percent(job.chance_in_window)} chance inside the window" if job.call is Call.BOOK else ""
    return {
        "number": number,
        "title": words.first_up(words.job_said(job.kind, where)),
        "call": job.call.value,
        "when": when_said(job),
        "when_range": _when_range(job),
        "chance": chance if job.due is not None else "",
        "because": job.because,
        "parts": words.listed([f"{count}{words.GAP}× {name}" for name, count in job.parts_needed])
        if job.parts_needed
        else "",
        "labour": f"{words.GAP.join(('labour', f'{job.labour_h:g}', 'h'))}" if job.labour_h is not None else "",
        "price": words.amount(job.price.usual, job.price.currency) if job.price else "not priced",
        "price_range": words.amount_range(job.price) if job.price else "",
        "not_priced": words.listed(job.not_priced) if job.not_priced and job.price else "",
    }


def _when_range(job: Job) -> str:
    if job.call is Call.STOP or job.due is None:
        return ""
    dates = f", {words.when_about(job.dates)}" if job.dates else ""
    return f"{words.hours(job.due.cautious)} to {words.hours(job.due.hopeful)}{dates}"


def when_said(job: Job) -> str:
    """When a job is due, in hours or in words.

    Parameters
    ----------
    job : Job
        The job.

    Returns
    -------
    str
        Such as "in 620 h" or "before it works again".

    References
    ----------
    Definition.
    """
    if job.call is Call.STOP:
        return "before it works again"
    if job.due is None:
        return "inside the booking window" if job.call is Call.BOOK else "when next at it"
    told = words.hours(job.due.middle)
    return told if told == "now" else f"in {told}"


def _read(row: ReadRow, verdict: Verdict, units: UnitSystem) -> dict[str, object]:
    quantity = MEASURANDS[row.measurand]
    first = row.both[0]
    tools = dict.fromkeys(judged.reading.tool.label for judged in row.both if judged.reading)
    days = list(dict.fromkeys(words.day(judged.read_on) for judged in row.both if judged.read_on))
    last = verdict.walk_rounds[-1]
    setting = quantity.role is Role.SETTING
    said_already = words.says_part(quantity.label, row.part)
    return {
        "part": "" if said_already else words.row_name(row.part, row.position, verdict.gear),
        "quantity": quantity.label,
        "left": _reading(row.left, units),
        "right": _reading(row.right, units),
        "tool": " / ".join(tools),
        "day": " / ".join(days) if days != [words.day(last.date)] else "",
        "new": words.length(first.new_m, units) if first.new_m is not None else "",
        "limit": words.length(first.limit_m, units)
        if first.limit_m is not None
        else ("set, not worn" if setting else "none entered"),
    }


def _reading(judged: Judged | None, units: UnitSystem) -> dict[str, str] | None:
    if judged is None or judged.reading is None:
        return None
    reading = judged.reading
    each = f"{words.length(judged.value_m, units)} each" if reading.joints > 1 and judged.value_m else ""
    marks = ["held back"] if judged.status == "held back" else []
    marks += ["outside new to limit"] if judged.beyond_line else []
    marks += [f"kept: {reading.kept_because}"] if reading.kept_because else []
    return {
        "typed": words.as_typed(reading),
        "each": each,
        "doubt": words.doubt(judged.expanded_u_m, units) if judged.expanded_u_m is not None else "",
        "marks": "; ".join(marks),
    }


def _walk_rounds(verdict: Verdict) -> str:
    if not verdict.walk_rounds:
        return "No walk-round yet."
    told = [
        f"{words.day(walk.date)} at {words.service_hours(walk.service_h)}" + (f" ({walk.by})" if walk.by else "")
        for walk in verdict.walk_rounds
    ]
    noun = "Walk-round of" if len(told) == 1 else "Walk-rounds of"
    return f"{noun} {words.listed(told)}. Readings are of the last one unless a day is given."


def _why(verdict: Verdict) -> list[dict[str, str]]:
    kept: dict[tuple[str, str], dict[str, list[str]]] = {}
    for part in verdict.parts:
        for judged in part.judged:
            name = words.row_name(judged.place.part, 0, verdict.gear)
            for why in judged.why:
                names = kept.setdefault((why.what, why.source), {}).setdefault(why.said, [])
                names += [name] if name not in names else []
    return [
        {"what": words.first_up(what), "said": _said_of(told), "source": source}
        for (what, source), told in kept.items()
    ]


def _said_of(told: dict[str, list[str]]) -> str:
    if len(told) == 1:
        return next(iter(told))
    some = [f"{said} ({', '.join(names)})" for said, names in list(told.items())[:_SEVERAL]]
    more = len(told) - _SEVERAL
    return "; ".join(some) + (f"; and {more} more" if more > 0 else "")


def _rest_on(verdict: Verdict) -> list[dict[str, str]]:
    use = verdict.utilisation
    hours = "not entered, so no dates" if use is None else f"{use.usual:g} h, from {use.low:g} to {use.high:g} h"
    rule = verdict.call_rule
    return [
        {"what": "Ground to come", "said": verdict.ground.label},
        {"what": "Hours a week", "said": hours},
        {
            "what": "Calls",
            "said": f"book at {words.percent(rule.book_chance)} chance or more of falling due within "
            f"{rule.booking_window_weeks:g} weeks; stop at {words.percent(rule.stop_chance)} or more of being past "
            "the limit now, or by a finding",
        },
    ]


def _set(outlook: SetOutlook, verdict: Verdict) -> str:
    name = words.places_said(outlook.places, verdict.gear)
    dates = words.dates_said(outlook.dates)
    return (
        f"First of {len(outlook.places)} {name}: {words.hours(outlook.first.middle)}; "
        f"{words.range_said(outlook.first)}" + (f"; {dates}." if dates else ".")
    )


def _suspicions(verdict: Verdict, units: UnitSystem) -> list[str]:
    told = []
    for suspicion in verdict.suspicions:
        reading = suspicion.reading
        label = MEASURANDS[reading.measurand].label
        meant = []
        if suspicion.instead_m is not None:
            meant.append(words.length(suspicion.instead_m, units))
        if suspicion.instead_joints is not None:
            meant.append(f"over {suspicion.instead_joints} joints")
        told.append(
            f"{words.first_up(words.place_said(reading.place, verdict.gear))}, {label}, read {reading.words} on "
            f"{words.day(suspicion.date)}: {suspicion.suspects.rstrip('.')}."
            + (f" Did you mean {' '.join(meant)}?" if meant else "")
            + (" Held back from the figures." if suspicion.held else " Kept in the figures.")
        )
    return told


def caution_titles(jobs: Iterable[Job]) -> list[str]:
    """The titles of every caution some jobs need, each once.

    Parameters
    ----------
    jobs : iterable of Job
        The jobs.

    Returns
    -------
    list of str
        In the order they are first needed.

    References
    ----------
    Definition.
    """
    return list(dict.fromkeys(CAUTIONS[caution].title for job in jobs for caution in job.cautions))
