"""The buyer's paper: what it is, how worn, what falls due and costs, what was not looked at; no offer, no method."""

from collections.abc import Sequence
from dataclasses import asdict, replace

from pitchline.judge.age import is_old, time_said
from pitchline.judge.called import cost_within
from pitchline.papers import names, words
from pitchline.papers.ground_answer import answer_said
from pitchline.papers.photos import Photo
from pitchline.papers.pictures import told_pictures
from pitchline.papers.press import press
from pitchline.papers.story import Headline, boxes, call_said
from pitchline.papers.story_work import when_range, when_said
from pitchline.papers.whose_told import odd_in_short
from pitchline.papers.worn_told import Worn, worn_rows
from pitchline.papers.worth_told import worth_line
from pitchline.picture.part_words import invented
from pitchline.trade.asking import AskingPrice
from pitchline.trade.calls import Stake
from pitchline.trade.ground import GroundMix
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import Job, PartVerdict, Verdict
from pitchline.words import in_english, say, translated, worded
from pitchline.words.called import job_called, key_of, looked_said, machine_called
from pitchline.words.carried import note_said
from pitchline.words.labels import mix_said

AHEAD_H = 1000.0
"""Hours ahead a buyer gets one sum for: about a year of usual work, our own choice."""
MOST_PHOTOS = 6
"""Photos on the paper: what its last page has room for beside the drawings."""
NOT_IN_IT = in_english(
    "Only the running gear was gone over, from outside and without opening it: nothing of engine, hydraulics, structure, "
    "attachments, papers or ownership."
)
_PERCENT = in_english(
    "Percent: how much of a part's wear allowance is used, from new to the wear limit the yard replaces it at; at 100 % it is "
    "due. Hours left: hours of work to the next job on the part, as estimated. The booking window is {window} from today."
)
_PERCENT_TURNED = in_english(
    "Percent: how much of a part's wear allowance is used, from new to the wear limit the yard replaces it at; at 100 % it is "
    "due, and bushes are turned once, at about half. Hours left: hours of work to the next job on the part, as estimated. The "
    "booking window is {window} from today."
)
NO_PROMISE = in_english(
    "Estimated from what was measured and seen on that day: no promise of how long a part lasts, and no warranty."
)
_FIRST = in_english(
    "Of a job on several parts the hours are those of the first of them, sooner than each one's own."
)
_COSTS = in_english(
    "Parts and labour by the yard's prices, without tax; the day in the workshop itself comes on top."
)


def buyer_pdf(
    verdict: Verdict,
    units: UnitSystem = UnitSystem.METRIC,
    by: str = "",
    asking: AskingPrice | None = None,
    photos: Sequence[Photo] = (),
) -> bytes:
    """The buyer's paper, two or three A4 pages, the same bytes for the same input.

    Parameters
    ----------
    verdict : Verdict
        The machine, as judged.
    units : UnitSystem
        Metric or imperial.
    by : str
        The business it comes from; empty leaves it out.
    asking : AskingPrice or None
        What is asked for the machine, where the verdict was made without a price to hold it against.
    photos : sequence of Photo
        Photos of it; the first few are shown.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1 and PDF/A-2a.

    References
    ----------
    ISO 14289-1 (PDF/UA-1), ISO 19005-2 (PDF/A-2a); the layout is our own.
    """
    pdf, _ = press("buyer.typ", buyer_story(verdict, units, by, asking, photos), verdict.as_of, by)
    return pdf


def buyer_story(
    verdict: Verdict,
    units: UnitSystem,
    by: str = "",
    asking: AskingPrice | None = None,
    photos: Sequence[Photo] = (),
) -> dict[str, object]:
    """Everything the buyer's paper says and shows.

    Parameters
    ----------
    verdict : Verdict
        The machine, as judged.
    units : UnitSystem
        Metric or imperial.
    by : str
        The business it comes from.
    asking : AskingPrice or None
        What is asked for the machine.
    photos : sequence of Photo
        Photos of it.

    Returns
    -------
    dict
        Text, lists and dicts, as the template expects them.
    """
    shown = [one.told() for one in photos[:MOST_PHOTOS]]
    percent = _PERCENT_TURNED if verdict.gear.has_chain else _PERCENT
    return {
        "title": worded(
            "Running gear of {machine}, {as_of}", machine=verdict.machine.name, as_of=words.day(verdict.as_of)
        ).replace(words.GAP, " "),
        "author": f"pitchline {verdict.version}",
        "by": names.shortened(by),
        "name": verdict.machine.name,
        "name_short": names.shortened(verdict.machine.name),
        "kind": names.machine_known(verdict.machine, units),
        "gear": list(names.gear_said(verdict.gear, units)),
        "invented": invented(verdict),
        "asking": asking_said(verdict, asking),
        "as_of": words.day(verdict.as_of),
        "age": age_told(verdict),
        "call": verdict.call.value,
        "called": machine_called(verdict),
        "call_said": call_said(verdict),
        "looked": looked_said(verdict.looked_at),
        "boxes": [asdict(one) for one in _boxes(verdict)],
        "headline": say(verdict.headline),
        "rows": [
            {"name": row.name(verdict), "left": _cell(row.left), "right": _cell(row.right)}
            for row in worn_rows(verdict, units)
        ],
        "percent": translated(percent).format(window=words.window_ahead(verdict)),
        "key": [(call.value, said) for call, said in key_of(part.call for part in verdict.parts).items()],
        "seen": seen_told(verdict),
        "jobs": [_job(job, verdict) for job in verdict.jobs],
        "sum": sum_told(verdict),
        "costs": " ".join(
            [costs_told(verdict), *([translated(_FIRST)] * any(_of_several(job) for job in verdict.jobs))]
        ),
        "not_seen": not_seen_told(verdict),
        "ground": answer_said(verdict.ground_fit) if verdict.ground_fit is not None else "",
        "worth": worth_line(verdict.worth) if verdict.worth is not None else "",
        "mismatches": [say(one.said) for one in verdict.mismatches],
        "odd": odd_in_short(verdict),
        "pictures": told_pictures(verdict, units, records=False),
        "photos": shown,
        "no_promise": translated(NO_PROMISE),
        "aid": words.working_aid(),
        "made": f"{names.shortened(by)} · " * bool(by)
        + worded("buyer's paper · pitchline {version}", version=verdict.version),
    }


def asking_said(verdict: Verdict, asking: AskingPrice | None) -> str:
    """What is asked for the machine, such as "EUR 48,000, without tax"; empty where nothing is."""
    if verdict.bid is not None:
        first = verdict.bid.lines[0].amount
        asking = AskingPrice(first.usual, first.currency)
    return (
        worded("{replace}, without tax", replace=asking.told.replace(" ", words.GAP)) if asking is not None else ""
    )


def age_told(verdict: Verdict) -> str:
    """When it was gone round, how old that is, and whether it is too old to buy by."""
    if not verdict.walk_rounds:
        return translated("Nobody has gone round it yet.")
    last = verdict.walk_rounds[-1]
    said = worded(
        "Gone round on {date} at {service} on the meter",
        date=words.day(last.date),
        service=words.service_hours(last.service_h),
    )
    if last.date >= verdict.as_of:
        return worded("{said}; told for that day.", said=said)
    known = verdict.utilisation is not None or verdict.carried_h > 0
    since = (
        worded("with {carried} of work since reckoned in", carried=words.service_hours(verdict.carried_h))
        if known
        else translated("without the hours worked since, which nobody entered")
    )
    later = worded(
        "told for {as_of}, {date} later",
        as_of=words.day(verdict.as_of),
        date=say(time_said(last.date, verdict.as_of)),
    )
    told = f"{said}; {later}, {since}."
    old = is_old(last.date, verdict.as_of, verdict.carried_h)
    return (
        worded("{told} These readings are old: have it gone round again before you buy by them.", told=told)
        if old
        else told
    )


def _of_several(job: Job) -> bool:
    """Whether its hours are those of the first of several parts."""
    return job.due is not None and len(job.places) > 1


def sum_told(verdict: Verdict) -> str:
    """What falls due within the hours a buyer reckons with, in one sum; empty without prices."""
    money = cost_within(verdict, AHEAD_H)
    if money is None:
        return ""
    usual, span = words.amount(money.usual, money.currency), words.amount_range(money)
    said = worded(
        "Within the next {hours} of work, with what is due now and at the same visit, each part by its own hours: about {usual}",
        hours=words.hours(AHEAD_H),
        usual=usual,
    )
    return worded("{said} ({span}).", said=said, span=span) if span else f"{said}."


def costs_told(verdict: Verdict) -> str:
    """What the costs and the days rest on; empty without a job."""
    if not verdict.jobs:
        return ""
    ground = mix_said(verdict.ground_to_come or GroundMix.all_of(verdict.ground))
    use = verdict.utilisation
    weekly = translated("no days are told, because hours a week are not known")
    if use is not None:
        weekly = worded(
            "days at {usual}{gap}h a week: worked more, they come sooner",
            usual=as_figure(use.usual, "g"),
            gap=words.GAP,
        )
    return worded(
        "{costs} Hours are for {ground} ground; {weekly}.", costs=translated(_COSTS), ground=ground, weekly=weekly
    )


def _boxes(verdict: Verdict) -> tuple[Headline, Headline, Headline]:
    """Next job, to put right now, due in the window: as on every paper, what they mean told for a buyer."""
    first, now, window = boxes(verdict, brief=True)
    label = worded("Due within {verdict} of work", verdict=words.window_ahead(verdict))
    return (
        first,
        now,
        replace(window, label=label, lines=(*window.lines, translated("what is to be put right now included"))),
    )


def _cell(worn: Worn | None) -> dict[str, object] | None:
    return None if worn is None else asdict(worn) | {"call": worn.call.value}


def seen_told(verdict: Verdict, notes: bool = True) -> list[str]:
    """What was seen on it, such as "Bottom roller 5, left: leak, severe (“oil down the shell”)", and what is out of its range.

    Notes stand there only where asked for.
    """
    return [
        f"{words.first_up(names.place_said(part.place, verdict.gear))}: {say(finding.told())}"
        + (f" (“{note_said(finding)}”)" if notes and note_said(finding) else "")
        for part in verdict.parts
        for finding in part.findings
    ] + [
        f"{words.first_up(names.place_said(part.place, verdict.gear))}: {say(part.reason)}"
        for part in verdict.parts
        if part.stake is Stake.SETTING
    ]


def _job(job: Job, verdict: Verdict) -> dict[str, str]:
    both = names.explained(job, verdict)
    price = words.amount(job.price.usual, job.price.currency) if job.price else translated("not priced")
    return {
        "what": words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear))),
        "call": job.call.value,
        "called": job_called(job),
        "when": when_said(job),
        "range": when_range(job),
        "either": words.first_up(names.either_said(both)) if both is not None else "",
        "price": price,
        "price_range": words.amount_range(job.price) if job.price else "",
    }


def not_seen_told(verdict: Verdict) -> list[str]:
    """What was not looked at, not measured or not cleared up, and what no walk-round of a running gear tells.

    Returns
    -------
    list of str
        A sentence each, the gravest first; never empty.
    """
    passed = [part for part in verdict.parts if not part.looked_at]
    held = [part for part in verdict.parts if any(judged.status == "held back" for judged in part.judged)]
    bare = [part for part in verdict.parts if part.looked_at and part.judged and not _is_measured(part)]
    eye = [part for part in verdict.parts if part.looked_at and not part.judged]
    told = [
        (passed, translated("Not looked at: {}.")),
        (held, translated("Measured, but a reading is not cleared up and counts for nothing: {}.")),
        (bare, translated("Looked at, not measured: {}.")),
        (eye, translated("By eye only, as there is nothing to measure: {}.")),
    ]
    if not verdict.walk_rounds:
        return [translated("Nothing was looked at yet."), translated(NOT_IN_IT)]
    return [*(said.format(parts_said(parts, verdict)) for parts, said in told if parts), translated(NOT_IN_IT)]


def _is_measured(part: PartVerdict) -> bool:
    return any(judged.reading is not None for judged in part.judged)


def parts_said(parts: Sequence[PartVerdict], verdict: Verdict) -> str:
    """Parts by kind in few words, such as "bottom rollers 2 and 3, left; final drives, both sides"."""
    by_kind: dict[PartKind, list[Place]] = {}
    for part in parts:
        by_kind.setdefault(part.place.part, []).append(part.place)
    return "; ".join(names.places_said(tuple(places), verdict.gear) for places in by_kind.values())
