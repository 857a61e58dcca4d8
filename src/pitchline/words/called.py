"""What the calls of a verdict are called: one place for page, list, drawing, paper, screen, files and calendar.

See docs/explanation/calls.md.
"""

from collections.abc import Iterable

from pitchline.judge.called import stakes_of
from pitchline.trade.calls import Call, Stake
from pitchline.verdict import Job, Joins, Judged, PartVerdict, Verdict
from pitchline.words.catalogue import translated
from pitchline.words.labels import brief as brief_label
from pitchline.words.labels import label


def called(call: Call, stake: Stake | None = None, brief: bool = False) -> str:
    """A call with what it is about.

    Parameters
    ----------
    call : Call
        The call.
    stake : Stake or None
        What it is about; None where that is not known.
    brief : bool
        Whether room is narrow.

    Returns
    -------
    str
        Such as "stop: unsafe", "book: worn out, works on at your cost", "run" or "not read".

    Examples
    --------
    >>> called(Call.BOOK, Stake.WORN_OUT), called(Call.BOOK, Stake.WORN_OUT, brief=True), called(Call.UNJUDGED)
    ('book: worn out, works on at your cost', 'book: worn out', 'not read')
    """
    if stake is None or not call.asks:
        return label(call)
    return f"{label(call)}: {brief_label(stake) if brief else label(stake)}"


def part_called(part: PartVerdict, brief: bool = False) -> str:
    """The call on a part with what it is about.

    Returns
    -------
    str
        As `called` says it, and that a limit is assumed; "no limit" or "held back" for a part that was read and cannot be judged.
    """
    if part.call is Call.UNJUDGED:
        return call_word(part)
    word = called(part.call, part.stake, brief)
    return translated("{called}, assumed limit").format(called=word) if part.assumed_limit and not brief else word


def call_word(part: PartVerdict) -> str:
    """The call on a part alone; of one that was read, but cannot be judged, why."""
    told = {judged.status for judged in part.judged if judged.reading is not None}
    if part.call is Call.UNJUDGED and "held back" in told:
        return translated("held back")
    if part.call is Call.UNJUDGED and "no limit entered" in told:
        return translated("no limit")
    return label(part.call)


def limit_called(judged: Judged) -> str:
    """What a quantity's wear limit is called: "limit", or "assumed limit" where it is a rule of thumb."""
    return translated("assumed limit") if judged.limit_assumed else translated("limit")


def job_called(job: Job, brief: bool = False) -> str:
    """The call of a job with what it is about; in a plan, with the word for a time that is not its own."""
    word = called(job.call, job.stake, brief)
    if job.assumed_limit and not brief:
        word = translated("{called}, assumed limit").format(called=word)
    return f"{word}, {joins_word(job.joins)}" if job.joins is not None else word


def joins_word(joins: Joins) -> str:
    """What a plan does with a job that is not due at its lay-up, such as "joins lay-up 1"."""
    text = translated("waits for lay-up {n}") if joins.early_h < 0 else translated("joins lay-up {n}")
    return text.format(n=joins.layup)


def machine_called(verdict: Verdict, brief: bool = False) -> str:
    """The call on the machine with the gravest of what it is about.

    Returns
    -------
    str
        Such as "stop: unsafe".
    """
    return called(verdict.call, next(iter(stakes_of(verdict)), None), brief)


def looked_said(looked_at: tuple[int, int] | None) -> str:
    """How much of a machine was looked at, such as "1 of 21 parts looked at"; empty where that is not known.

    Parameters
    ----------
    looked_at : tuple of (int, int) or None
        Parts read or looked over, of how many.

    Returns
    -------
    str
        Says so where it was all of them.

    Examples
    --------
    >>> looked_said((1, 21)), looked_said((21, 21)), looked_said(None)
    ('1 of 21 parts looked at', 'all 21 parts looked at', '')
    """
    if looked_at is None:
        return ""
    looked, of = looked_at
    if looked >= of:
        return translated("all {of} parts looked at").format(of=of)
    if not looked:
        return translated("none of {of} parts looked at").format(of=of)
    return translated("{looked} of {of} parts looked at").format(looked=looked, of=of)


def hatch_said() -> str:
    """How the calls are told apart without colour."""
    return translated("Run is plain, book hatched one way, stop both ways; what was not read has a dotted edge.")


def key_of(calls: Iterable[Call]) -> dict[Call, str]:
    """What the hatches mean, for the key of a drawing or paper that shows these calls; not read stands only where it is shown."""
    shown = {Call.RUN, Call.BOOK, Call.STOP, *calls}
    meant = {
        Call.UNJUDGED: translated("no call"),
        Call.RUN: translated("nothing due in the booking window"),
        Call.BOOK: translated("worn out, or due in it"),
        Call.STOP: translated("unsafe, or ruins what is dearer"),
    }
    order = (Call.RUN, Call.BOOK, Call.STOP, Call.UNJUDGED)
    return {call: f"{label(call)}: {meant[call]}" for call in order if call in shown}
