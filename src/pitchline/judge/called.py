"""What of a verdict every page, list, drawing, paper and file goes by: the next job, hours that count, both explanations.

See docs/explanation/calls.md.
"""

from collections.abc import Iterable

from pitchline.judge.jobs import SURE
from pitchline.judge.ruler import PARTS_FROM
from pitchline.money.amount import Money
from pitchline.outlook.hours_left import HoursLeft
from pitchline.trade.calls import Call, Stake
from pitchline.trade.jobs import JobKind
from pitchline.trade.saying import says
from pitchline.verdict import EitherWay, Job, Judged, PartVerdict, Verdict


def next_job(verdict: Verdict) -> Job | None:
    """The most pressing job: the first of those called stop or book; where there is none, the first with hours."""
    return next((job for job in verdict.jobs if job.call.asks or job.due is not None), None)


def before_it_works(jobs: Iterable[Job]) -> tuple[list[Job], list[Job]]:
    """Jobs to do before the machine works again, and those to book after."""
    jobs = tuple(jobs)
    return [job for job in jobs if job.call is Call.STOP], [job for job in jobs if job.call is Call.BOOK]


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
    due = job.due
    return (due.cautious, due.middle, due.hopeful) if due is not None else (0.0, 0.0, 0.0)


def cost_within(verdict: Verdict, hours_h: float) -> Money | None:
    """What the work costs that falls due within some hours: what is due now, and of the rest each part by its own hours.

    Parameters
    ----------
    verdict : Verdict
        With prices.
    hours_h : float
        Hours from now [h], above 0.

    Returns
    -------
    Money or None
        Usual where it is due by then as likely as not, low where 9 in 10 are, high where 1 in 10 is. None without prices, and
        where the booking window reaches as far.

    References
    ----------
    Our own sum, with what is taken along at the next visit; of a job on several parts each carries the same share of its price.
    """
    due = verdict.money_window
    if due is None or (verdict.window_h is not None and verdict.window_h >= hours_h):
        return None
    own = {part.place: part.due for part in verdict.parts if part.call is not Call.UNJUDGED}
    low, usual, high = due.low, due.usual, due.high
    for job in verdict.jobs:
        if job.price is None:
            continue
        if job.call.asks:
            low += job.price.low * _surely_by(job, hours_h)
            continue
        if job.due is None and job.along is not None:
            usual, high = usual + job.price.usual, high + job.price.high
            continue
        for place in job.places:
            left = own.get(place) or job.due
            if left is not None:
                share = 1 / len(job.places)
                low += share * job.price.low * (left.hopeful <= hours_h)
                usual += share * job.price.usual * (left.middle <= hours_h)
                high += share * job.price.high * (left.cautious <= hours_h)
    return Money(low, usual, high, due.currency)


def _surely_by(job: Job, hours_h: float) -> bool:
    """Whether what is not sure in the booking window is sure by then, and decided."""
    if job.call is Call.STOP or job.due is None or job.chance_in_window >= SURE:
        return False
    return job.due.hopeful <= hours_h and not says(job.because, "turn.measure_before_deciding", "decided")


def stakes_of(verdict: Verdict) -> tuple[Stake, ...]:
    """What the machine's call is about: the stakes of the parts that carry it.

    Returns
    -------
    tuple of Stake
        The gravest first; none in verdicts of earlier versions, and where nothing asks for work.
    """
    found = {part.stake for part in verdict.parts if part.call is verdict.call and verdict.call.asks}
    return tuple(stake for stake in Stake if stake in found)


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
