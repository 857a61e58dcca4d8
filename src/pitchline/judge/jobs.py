"""Work place by place, gathered into jobs with price and cautions, and the money figures.

See docs/explanation/calls.md.
"""

from pitchline.judge.machine_by_day import Known
from pitchline.judge.parts import dates_of
from pitchline.money.amount import Money
from pitchline.money.cost import job_cost, total
from pitchline.money.prices import PriceList
from pitchline.outlook.hours_left import NOW, HoursLeft
from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.jobs import check_after, parts_needed, step_of
from pitchline.stops.work import Work
from pitchline.trade.calls import Call, Stake
from pitchline.trade.jobs import Caution, JobKind, cautions_of
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import Saying, saying, then, within
from pitchline.trade.units import rounded_hours
from pitchline.verdict import Job

SURE = 0.9
"""Chance from which work counts in the low figure too [1]: our own choice."""
_TOLD_APART = 4
"""Different reasons of one job that are told one by one: our own choice."""
_PLAINLY = 0.95
"""Share of the likeliest place's hours below which those of the first of all are told too [1]: our own choice."""


def jobs_of(
    work: list[Work],
    known: Known,
    outlook: MachineOutlook | None,
    prices: PriceList | None,
    together: bool = False,
) -> tuple[Job, ...]:
    """Work gathered into jobs: the same job on the same kind of part under the same call for the same stake is one.

    What must not work before it is done is one job whatever it is about, and says the gravest of it.

    Parameters
    ----------
    work : list of Work
        What the machine asks for.
    known : Known
        The dossier as it stood.
    outlook : MachineOutlook or None
        For the first of several places to fall due.
    prices : PriceList or None
        The yard's list.
    together : bool
        Whether all of it is done at one time, whatever its call: a new chain then brings the shoe bolts of its side.

    Returns
    -------
    tuple of Job
        Stop first, then book, then run, each in the order they fall due.
    """
    groups: dict[tuple[JobKind, PartKind, Call, Stake | None, bool], list[Work]] = {}
    for item in work:
        about = None if item.call is Call.STOP else item.stake
        groups.setdefault((item.job, item.place.part, item.call, about, bool(item.along)), []).append(item)
    chains = frozenset(
        item.place.side
        for item in work
        if (item.call.asks or together) and item.job is JobKind.REPLACE and item.place.part is PartKind.CHAIN
    )
    jobs = [_job(items, known, outlook, prices, chains, together) for items in groups.values()]
    return tuple(sorted(jobs, key=in_order))


def in_order(job: Job) -> tuple[int, float, int, str]:
    """By call, then by hours; of what is due together soil is dug out first and the sag set last.

    Returns
    -------
    tuple
        Small for what comes first: its hours [h] after its call.
    """
    return (-job.call.rank, job.due.middle if job.due else 0.0, step_of(job.kind), job.kind)


def _job(
    items: list[Work],
    known: Known,
    outlook: MachineOutlook | None,
    prices: PriceList | None,
    chains: frozenset[Side],
    together: bool,
) -> Job:
    items = sorted(
        items, key=lambda item: (item.stake is not Stake.UNSAFE, item.due.middle if item.due is not None else 0.0)
    )
    first = items[0]
    places = tuple(dict.fromkeys(item.place for item in items))
    pieces = sum(item.pieces for item in items)
    cost = job_cost(prices, first.job, first.place.part, len(places), pieces)
    due = NOW if first.call is Call.STOP else _first_due(items, outlook)
    with_chain = chains if first.call.asks or together else frozenset()
    bolted = sum(item.pieces for item in items if item.place.side not in with_chain)
    cautions = cautions_of(first.job, first.place.part, known.dossier.gear)
    if first.call is Call.STOP:
        cautions = (Caution.UNSAFE_MACHINE, *cautions)
    return Job(
        kind=first.job,
        part=first.place.part,
        places=tuple(sorted(places)),
        call=first.call,
        because=_because(items, due),
        due=due,
        dates=dates_of(due, known),
        chance_in_window=max(item.chance for item in items),
        parts_needed=parts_needed(first.job, places, pieces, known.dossier.gear, bolted),
        labour_h=cost.labour_h,
        price=cost.price,
        not_priced=(cost.not_priced,) if cost.not_priced else (),
        cautions=cautions,
        pieces=pieces,
        stake=first.stake,
        along=first.along,
        after=check_after(first.job, first.place.part),
        assumed_limit=any(_by_assumed_limit(item, outlook) for item in items),
    )


def _by_assumed_limit(item: Work, outlook: MachineOutlook | None) -> bool:
    row = item.part_row
    return row is not None and outlook is not None and outlook.parts[row].life.line.limit.assumed


def _because(items: list[Work], due: HoursLeft | None) -> Saying:
    """The first one's reason, and how many more; what was seen or set is told for each, where it differs and is not too much."""
    first = items[0]
    apart = {item.because: item.place for item in reversed(items)}
    if 1 < len(apart) <= _TOLD_APART and all(item.part_row is None for item in items):
        told = {item.because: item.place for item in items}
        return then(*(_at(place, list(apart.values()), because) for because, place in told.items()))
    more = {item.place for item in items[1:]} - {first.place}
    if not more:
        return first.because
    if first.call.asks:
        # What another place is not booked for is told of the place it is about.
        alike = len({_codes(item.because) for item in items}) == 1
        why = first.because if alike else _at(first.place, [item.place for item in items], first.because)
        if due is not None and _is_plainly_sooner(due, first):
            first_of = saying("others.ask_too_first", n=len(more), of=len(more) + 1, due_h=due.middle)
            return then(why, first_of, _undecided(items))
        return then(why, saying("others.ask_too", n=len(more)), _undecided(items))
    return then(first.because, _later(items, due, len(more)))


def _codes(told: Saying) -> tuple[str, ...]:
    """What kind of thing is said, whatever its figures."""
    return tuple(one.code for one in within(told))


def _undecided(items: list[Work]) -> Saying | None:
    """Which of the others is to be measured before it is decided, where the first is decided."""
    first, *others = items
    for item in others:
        if item.undecided is not None and first.undecided is None:
            return _at(item.place, [one.place for one in items], item.undecided)
    return None


def _is_plainly_sooner(due: HoursLeft, first: Work) -> bool:
    """Whether the first of all places is due plainly sooner than the one that is told."""
    return first.due is not None and due.middle < _PLAINLY * first.due.middle


def _later(items: list[Work], due: HoursLeft | None, more: int) -> Saying:
    """When the other places of a job nobody presses for are due, and the first of them all, which is sooner than each."""
    first, soonest = items[0], dict[Place, float]()
    for item in items:
        if item.place != first.place and item.due is not None:
            soonest.setdefault(item.place, item.due.middle)
    if first.due is None or due is None or not soonest:
        return saying("others.likewise", n=more)
    low_h, high_h = min(soonest.values()), max(soonest.values())
    every = None
    if _is_plainly_sooner(due, first):
        code = "others.first_of_both" if len(soonest) == 1 else "others.first_of_all"
        every = saying(code, of=len(soonest) + 1, due_h=due.middle)
    if rounded_hours(low_h) == rounded_hours(high_h):
        return saying("others.due", n=more, due_h=low_h, every=every)
    return saying("others.due_between", n=more, low_h=low_h, high_h=high_h, every=every)


def _at(place: Place, among: list[Place], because: Saying) -> Saying:
    """By the side where that tells them apart, else by the part's name."""
    sides = [one.side for one in among]
    apart = len(set(sides)) == len(sides) and place.side is not Side.NONE
    return saying("others.on_side" if apart else "others.at_place", place=place, side=place.side, why=because)


def _first_due(items: list[Work], outlook: MachineOutlook | None) -> HoursLeft | None:
    rows = [item.part_row for item in items if item.part_row is not None]
    if outlook is None or not rows or any(item.part_row is None for item in items):
        return None
    if len(rows) == 1 or items[0].job is JobKind.MEASURE:
        return items[0].due
    turning = items[0].job is JobKind.TURN
    return outlook.first_due(rows) if turning else outlook.first_at_limit(rows)


def money_figures(
    work: list[Work], prices: PriceList | None
) -> tuple[Money | None, Money | None, tuple[Saying, ...]]:
    """What stops the machine now, and what falls due inside the booking window.

    Returns
    -------
    now : Money or None
        Price of what is called stop; None without a price list.
    window : Money or None
        Usual and high: everything called stop or book, at usual and at high prices. Low: of that, what is called stop or falls
        due almost surely (chance 0.9 or more), at low prices, without what is to be measured before it is decided.
    not_priced : tuple of Saying
        What those figures leave out.
    """
    due = [item for item in work if item.call is not Call.RUN]
    costs = [(item, job_cost(prices, item.job, item.place.part, 1, item.pieces)) for item in due]
    lacking = tuple(dict.fromkeys(cost.not_priced for _, cost in costs if cost.not_priced))
    if prices is None:
        return None, None, lacking
    priced = [(item, cost.price) for item, cost in costs if cost.price is not None]
    now = total([price for item, price in priced if item.call is Call.STOP], prices.currency)
    sure = [
        price.low
        for item, price in priced
        if item.call is Call.STOP or (item.chance >= SURE and item.undecided is None)
    ]
    called = total([price for _, price in priced], prices.currency)
    return now, Money(sum(sure), called.usual, called.high, prices.currency), lacking
