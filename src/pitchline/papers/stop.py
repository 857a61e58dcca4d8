"""One stop, ready to be told: its jobs, its order list, its money. What the papers of a stop are made from.

See docs/explanation/calls.md and docs/explanation/plan-of-a-machine.md.
"""

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pitchline.money.amount import Money
from pitchline.money.cost import bolting_over_h
from pitchline.money.prices import PriceList
from pitchline.money.stop_costs import Charge
from pitchline.stops.jobs import step_of
from pitchline.stops.order import OrderList, StopJob, order_list, sides_taken_over
from pitchline.trade.calls import Call
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.saying import Saying, saying
from pitchline.verdict import Job, Verdict


@dataclass(frozen=True, slots=True)
class PlannedStop:
    """One stop with its jobs, its hour and its money.

    Parameters
    ----------
    number : int
        Which stop, from 1.
    at_h : float
        When, in service hours from the verdict's own [h]; 0 for now.
    day : datetime.date
        The day meant by that, for the season and the calendar; today where `dated` says that nobody knows it.
    jobs : tuple of Job
        What is done, in order.
    order : OrderList
        What it needs.
    charges : tuple of Charge
        What it costs beside its jobs.
    not_entered : tuple of Saying
        Charges the price list does not have.
    currency : str
        Code of every amount; empty without a price list.
    tax_rate : float or None
        Tax as a share of a price [1]; None where it is not entered.
    overdue_since : datetime.date or None
        The day it was planned for, where that is past.
    dated : bool
        Whether the day is known; no for hours ahead while no hours a week are entered.
    """

    number: int
    at_h: float
    day: dt.date
    jobs: tuple[Job, ...]
    order: OrderList
    charges: tuple[Charge, ...] = ()
    not_entered: tuple[Saying, ...] = ()
    currency: str = ""
    tax_rate: float | None = None
    overdue_since: dt.date | None = None
    dated: bool = True

    @property
    def priced(self) -> bool:
        """Whether any of its jobs has a price, so that it can be quoted."""
        return any(job.price is not None for job in self.jobs)

    @property
    def price(self) -> Money | None:
        """Its priced jobs and its charges, without tax; None where no job is priced."""
        prices = [job.price for job in self.jobs if job.price is not None]
        if not prices:
            return None
        beside = sum(charge.amount for charge in self.charges)
        low, usual, high = (sum(getattr(price, figure) for price in prices) for figure in ("low", "usual", "high"))
        return Money(low + beside, usual + beside, high + beside, self.currency)


def stop_of(
    jobs: tuple[Job, ...], verdict: Verdict, prices: PriceList | None, number: int, at_h: float, day: dt.date
) -> PlannedStop:
    """A stop put together from jobs.

    Parameters
    ----------
    jobs : tuple of Job
        What is done; soil is dug out first and the sag set last, whatever their order here.
    verdict : Verdict
        The verdict of the machine.
    prices : PriceList or None
        The yard's list.
    number : int
        Which stop, from 1; 0 for what is done before the first.
    at_h : float
        Hours from the verdict's own [h].
    day : datetime.date
        The day of it.
    """
    jobs = in_order_of_work(jobs)
    wanted = tuple(_stop_job(job) for job in jobs)
    order = order_list(wanted, verdict.gear)
    if prices is None:
        return PlannedStop(number, at_h, day, jobs, order)
    over = sides_taken_over(wanted, verdict.gear)
    each_h = bolting_over_h(prices, verdict.gear)
    over_h = round(len(over) * (each_h or 0.0), 2)
    order = replace(order, labour_h=round(order.labour_h + over_h, 2))
    costs = prices.stop
    charges = costs.charges(order.labour_h, day.month, len(order.opened)) if costs else ()
    if over_h:
        what = saying("charge.shoes_over", count=len(over) * verdict.gear.joints_per_side, labour_h=over_h)
        charges = (*charges, Charge(what, round(over_h * prices.labour_per_h, 2), True))
    lacking = costs.not_entered if costs else (saying("charge.any"),)
    if over and each_h is None:
        lacking = (*lacking, saying("charge.bolting_shoes"))
    return PlannedStop(number, at_h, day, jobs, order, charges, lacking, prices.currency, prices.tax_rate)


def in_order_of_work(jobs: Iterable[Job]) -> tuple[Job, ...]:
    """Jobs of one lay-up as they are done: what stops the machine first, but a part is looked into before it is renewed."""
    found = sorted(jobs, key=lambda job: (step_of(job.kind), -job.call.rank))
    for look in [job for job in found if job.kind is JobKind.INVESTIGATE]:
        at = next(
            (n for n, job in enumerate(found) if job.kind in RENEWS and {*job.places} & {*look.places}), None
        )
        if at is not None and at < found.index(look):
            found.remove(look)
            found.insert(at, look)
    return tuple(found)


def _stop_job(job: Job) -> StopJob:
    return StopJob(job.kind, job.places, job.pieces or len(job.places), job.labour_h)


def next_stop(verdict: Verdict, prices: PriceList | None) -> PlannedStop | None:
    """The next stop as the calls ask for it: everything called stop or book done together, and what is taken along with it.

    Returns
    -------
    PlannedStop or None
        None where nothing falls due inside the booking window.
    """
    jobs = tuple(job for job in verdict.jobs if job.call is not Call.RUN or job.along)
    return stop_of(jobs, verdict, prices, 1, 0.0, verdict.as_of) if jobs else None


def planned_stops(
    verdict: Verdict, prices: PriceList | None, on: dt.date | None = None
) -> tuple[PlannedStop, ...]:
    """The stops of a verdict's plan; what falls due beside it is done at the first one, or before it where that comes too late.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    prices : PriceList or None
        The yard's list.
    on : datetime.date or None
        The day it is looked at; None takes that of the verdict. A stop of a day before stands on this one, overdue.

    Returns
    -------
    tuple of PlannedStop
        None without a plan, or where no stop pays and nothing is due. Numbered as in the plan; what is done before is 0.
    """
    plan = verdict.plan
    if plan is None:
        return ()
    stops = [(stop.at_h, stop.day or verdict.as_of, stop.jobs) for stop in plan.stops]
    window_h = verdict.window_h or 0.0
    pressing = any(job.call.asks for job in plan.also)
    first_h = stops[0][0] if stops else math.inf
    before = (pressing and first_h > window_h) or (first_h > 0 and any(job.call is Call.STOP for job in plan.also))
    if before:
        stops.insert(0, (0.0, verdict.as_of, plan.also))
    elif plan.also and stops:
        stops[0] = (stops[0][0], stops[0][1], (*plan.also, *stops[0][2]))
    on = on or verdict.as_of
    found = [
        stop_of(jobs, verdict, prices, number, at_h, max(day, on))
        for number, (at_h, day, jobs) in enumerate(stops, 0 if before else 1)
    ]
    undated = {stop.at_h for stop in plan.stops if stop.day is None and stop.at_h > 0}
    return tuple(
        replace(one, dated=False) if at_h in undated else replace(one, overdue_since=day) if day < on else one
        for one, (at_h, day, _) in zip(found, stops, strict=True)
    )


def not_in(stops: Sequence[PlannedStop], verdict: Verdict) -> tuple[Job, ...]:
    """Jobs of a verdict that no stop holds.

    Returns
    -------
    tuple of Job
        A job is held where a stop does the same at one of its places.
    """
    held = {(job.kind, place) for stop in stops for job in stop.jobs for place in job.places}
    return tuple(job for job in verdict.jobs if not any((job.kind, place) in held for place in job.places))
