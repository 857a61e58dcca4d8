"""From a verdict to the figures a machine's row in the yard carries, and to a stored judgement and back."""

import datetime as dt
import hashlib
import zlib
from collections.abc import Sequence
from functools import lru_cache

from pitchline.desk.bridge.machine_rows import Judgement, Machine
from pitchline.desk.bridge.unpriced import unpriced
from pitchline.desk.method import method_digest
from pitchline.desk.people.who import prices_seen
from pitchline.exchange.verdict_in import readable, verdict_from_json
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge.called import before_it_works, next_hours, next_job, stakes_of
from pitchline.papers.names import explained, is_overdue, jobs_said
from pitchline.trade.asking import AskingPrice
from pitchline.trade.calls import Call
from pitchline.trade.dossier import Dossier
from pitchline.trade.writing import ENGLISH, Writing
from pitchline.verdict import Job, Verdict
from pitchline.words import say, translated

LIST_FIELDS = (
    "call",
    "call_rank",
    "stake",
    "looked_at",
    "looked_of",
    "due_said",
    "due_cautious_h",
    "due_middle_h",
    "due_hopeful_h",
    "due_on",
    "money_low",
    "money_usual",
    "money_high",
    "worth_low",
    "worth_usual",
    "worth_high",
    "currency",
    "hours_h",
    "judged_for",
    "judged_by",
    "carried_h",
)
"""What `set_figures` writes."""


MOST_TOLD, THEN_TOLD = 3, 1
"""Jobs a line of the yard names, and those to book after what stops the machine; the machine's page has all."""


def set_figures(machine: Machine, verdict: Verdict, dossier: Dossier) -> None:
    """Nothing comes out; afterwards the row holds what the yard's list shows of this verdict on this machine."""
    job, money = next_job(verdict), verdict.money_window
    machine.call = "" if verdict.call is Call.UNJUDGED else verdict.call.value
    machine.call_rank = verdict.call.rank
    machine.stake = next((stake.value for stake in stakes_of(verdict)), "")
    machine.looked_at, machine.looked_of = verdict.looked_at or (None, None)
    now, booked = before_it_works(verdict.jobs)
    asked = {Call.STOP: now, Call.BOOK: booked}.get(verdict.call) or ([job] if job is not None else [])
    machine.due_said = _due_said(asked, verdict)
    if verdict.call is Call.STOP and booked:
        machine.due_said += translated("; then book: {due_said}").format(
            due_said=_due_said(booked, verdict, THEN_TOLD)
        )
    if verdict.call is Call.UNJUDGED:
        machine.due_said = say(verdict.headline).split(". ")[0].removesuffix(".")
    elif any(part.assumed_limit for part in verdict.parts) and not any(one.assumed_limit for one in asked):
        machine.due_said += translated("; some limits assumed")
    hours = next_hours(verdict) or (None, None, None)
    machine.due_cautious_h, machine.due_middle_h, machine.due_hopeful_h = hours
    machine.due_on = job.dates.middle if job is not None and job.dates is not None else None
    if verdict.call is Call.STOP:
        machine.due_on = verdict.as_of
    amounts = (money.low, money.usual, money.high) if money is not None else (None, None, None)
    machine.money_low, machine.money_usual, machine.money_high = amounts
    worth = verdict.worth.left if verdict.worth is not None and verdict.worth.is_told else None
    amounts = (worth.low, worth.usual, worth.high) if worth is not None else (None, None, None)
    machine.worth_low, machine.worth_usual, machine.worth_high = amounts
    priced = money or worth
    machine.currency = priced.currency if priced is not None else ""
    machine.hours_h = dossier.metered_h(verdict.as_of)
    machine.judged_for, machine.judged_by = verdict.as_of, method_digest()
    machine.carried_h = verdict.carried_h if verdict.utilisation is not None or verdict.carried_h else None


def _due_said(jobs: Sequence[Job], verdict: Verdict, most: int = MOST_TOLD) -> str:
    """The first jobs with their places, whatever is to be measured again, those overdue marked, and how many more."""
    named = (
        jobs
        if len(jobs) <= most + 1
        else [job for n, job in enumerate(jobs) if n < most or explained(job, verdict)]
    )
    told = [_job_said(job, verdict) for job in named]
    if len(named) < len(jobs):
        told.append(translated("and {n} more jobs").format(n=len(jobs) - len(named)))
    return "; ".join(told)


def _job_said(job: Job, verdict: Verdict) -> str:
    marks = (
        translated(" (overdue)") if is_overdue(job) else "",
        translated(" (assumed limit)") if job.assumed_limit else "",
    )
    return jobs_said([job], verdict) + "".join(marks)


def footing_of(inputs: str, prices_digest: str, constants_digest: str = "") -> str:
    """One short text for all that the figures of a judgement rest on but its day, the method and learned constants included."""
    told = "\n".join((method_digest(), prices_digest, *filter(None, (constants_digest,)), inputs))
    return hashlib.sha256(told.encode()).hexdigest()


def digest_of(
    footing: str,
    units: str,
    way: Writing,
    day: dt.date,
    asking: AskingPrice | None = None,
    seen: Sequence[object] = (),
) -> str:
    """One short text for everything a judgement rests on; units and the way of writing only change how it is told.

    The asking price stands beside the footing: it moves the offer alone, and no plan of work is made anew for it. So do the hours
    its meter showed since: they move on with the days.
    """
    told = [footing, units, way.numbers, way.days, day.isoformat()]
    if asking is not None:
        told += [repr(asking.amount), asking.currency]
    if way.language != ENGLISH:
        told.append(way.language)
    if seen:
        told.append(repr(seen))
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


def judgement_row(
    verdict: Verdict,
    inputs: str,
    footing: str,
    units: str,
    asking: AskingPrice | None = None,
    seen: Sequence[object] = (),
) -> Judgement:
    """An unsaved judgement; whose and of which machine is for the caller to say."""
    packed = zlib.compress(
        verdict_json(verdict, is_compact=True).encode(), 3
    )  # half the time for a sixth more room
    _JUST_JUDGED[0] = (packed, verdict)
    return Judgement(
        digest=digest_of(footing, units, verdict.writing, verdict.as_of, asking, seen),
        footing=footing,
        as_of=verdict.as_of,
        from_service_h=verdict.from_service_h,
        call=verdict.call.value,
        headline=say(verdict.headline),
        method=verdict.method,
        method_digest=method_digest(),
        version=verdict.version,
        units=units,
        inputs_packed=zlib.compress(inputs.encode()),
        verdict_packed=packed,
    )


def verdict_text(judgement: Judgement) -> str:
    """The verdict's JSON for reading, to the last digit as it was given."""
    return readable(zlib.decompress(bytes(judgement.verdict_packed)).decode())


def inputs_text(judgement: Judgement) -> str:
    """The machine file the verdict rests on, walk-rounds included."""
    return zlib.decompress(bytes(judgement.inputs_packed)).decode()


def verdict_of(judgement: Judgement) -> Verdict:
    """The verdict as it was given; nothing is judged anew."""
    packed, (known, just_judged) = bytes(judgement.verdict_packed), _JUST_JUDGED[0]
    return just_judged if just_judged is not None and known == packed else _verdict(packed, str(judgement.as_of))


def verdict_seen(judgement: Judgement) -> Verdict:
    """The verdict as whoever asks may see it: without an amount where they see no prices."""
    verdict = verdict_of(judgement)
    return verdict if prices_seen() else unpriced(verdict)


_JUST_JUDGED: list[tuple[bytes, Verdict | None]] = [(b"", None)]
"""The verdict packed last: whoever judges in the background draws it next, and need not read what it has just written."""


@lru_cache(maxsize=8)  # a verdict never changes, and the pages of one machine are asked for one after the other
def _verdict(packed: bytes, as_of: str) -> Verdict:
    return verdict_from_json(zlib.decompress(packed).decode(), f"verdict of {as_of}")
