"""What the calls of a verdict are called for reading: one place for page, list, drawing, paper, screen, files and calendar.

See docs/explanation/calls.md.
"""

from pitchline.judge.ruler import PARTS_FROM
from pitchline.outlook.hours_left import HoursLeft
from pitchline.trade.calls import Call, Stake, called
from pitchline.trade.jobs import JobKind
from pitchline.verdict import EitherWay, Job, Joins, Judged, PartVerdict, Verdict

_READ_BUT = {"held back": "held back", "no limit entered": "no limit"}


def part_called(part: PartVerdict, brief: bool = False) -> str:
    """The call on a part with what it is about.

    Returns
    -------
    str
        As `pitchline.trade.calls.called` says it; "no limit" or "held back" for a part that was read, but cannot be judged.
    """
    if part.call is Call.UNJUDGED:
        told = {judged.status for judged in part.judged if judged.reading is not None}
        return next((words for status, words in _READ_BUT.items() if status in told), part.call.label)
    return called(part.call, part.stake, brief)


def job_called(job: Job, brief: bool = False) -> str:
    """The call of a job with what it is about; in a plan, with the word for a time that is not its own."""
    word = called(job.call, job.stake, brief)
    return f"{word}, {joins_word(job.joins)}" if job.joins is not None else word


def joins_word(joins: Joins) -> str:
    """What a plan does with a job that is not due at its lay-up, such as "joins lay-up 1"."""
    return f"{'waits for' if joins.early_h < 0 else 'joins'} lay-up {joins.layup}"


def next_job(verdict: Verdict) -> Job | None:
    """The most pressing job: the first of those called stop or book; where there is none, the first with hours."""
    return next((job for job in verdict.jobs if job.call.asks or job.due is not None), None)


def next_hours(verdict: Verdict) -> tuple[float, float, float] | None:
    """Hours to the most pressing job, cautious, middle and hopeful: what list, chart and page go by.

    Returns
    -------
    tuple of float or None
        Nothing but now for what is called stop, and for what is booked without hours; None without such a job [h].
    """
    job = next_job(verdict)
    if job is None:
        return None
    due = job.due if job.call is not Call.STOP else None
    return (due.cautious, due.middle, due.hopeful) if due is not None else (0.0, 0.0, 0.0)


def stakes_of(verdict: Verdict) -> tuple[Stake, ...]:
    """What the machine's call is about: the stakes of the parts that carry it.

    Returns
    -------
    tuple of Stake
        The gravest first; none in verdicts of earlier versions, and where nothing asks for work.
    """
    found = {part.stake for part in verdict.parts if part.call is verdict.call and verdict.call.asks}
    return tuple(stake for stake in Stake if stake in found)


def machine_called(verdict: Verdict, brief: bool = False) -> str:
    """The call on the machine with the gravest of what it is about.

    Returns
    -------
    str
        Such as "stop: unsafe".
    """
    return called(verdict.call, next(iter(stakes_of(verdict)), None), brief)


def counted_due(part: PartVerdict) -> HoursLeft | None:
    """Hours until a part's job, where it has a call.

    Returns
    -------
    HoursLeft or None
        None for a part nobody read: its hours are by age alone, and count nowhere.
    """
    return part.due if part.call is not Call.UNJUDGED else None


def age_alone(part: PartVerdict) -> HoursLeft | None:
    """Hours of a part nobody read, by its age alone.

    Returns
    -------
    HoursLeft or None
        None for every part with a call.
    """
    return part.due if part.call is Call.UNJUDGED else None


def either_way(part: PartVerdict) -> EitherWay | None:
    """Both explanations of the worst reading of a part that is not understood.

    Returns
    -------
    EitherWay or None
        None where every reading is understood.
    """
    found = [judged.either_way for judged in part.judged if judged.either_way is not None]
    return min(found, key=lambda one: one.if_right_h, default=None)


def ruler_of(part: PartVerdict) -> float | None:
    """Hours to the limit as a ruler draws them, of the quantity that runs out first.

    Returns
    -------
    float or None
        Hours [h]; None where a turn is due first, or nothing was read.
    """
    if part.job is JobKind.TURN:
        return None
    found = [judged for judged in part.judged if judged.ruler_h is not None and judged.to_limit is not None]
    first = min(found, key=lambda judged: judged.to_limit.middle if judged.to_limit else 0.0, default=None)
    return first.ruler_h if first is not None else None


def apart(judged: Judged) -> bool:
    """Whether life used as read and as judged differ by more than three points.

    Returns
    -------
    bool
        False where one of them is not known.

    References
    ----------
    Our own rule; three points are about the doubt of one good reading (assumption).
    """
    if judged.life_used is None or judged.life_used_read is None:
        return False
    return abs(judged.life_used - judged.life_used_read) > PARTS_FROM + 1e-9


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
    looked, every = looked_at
    if looked >= every:
        return f"all {every} parts looked at"
    return f"{looked or 'none'} of {every} parts looked at"
