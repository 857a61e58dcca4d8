"""What another price list moves: its own lines, and the money of the machines that have them."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.prices import digest_of_prices, kept_costs, priced_as
from pitchline.desk.trail.actions import Told
from pitchline.money.cost import job_cost
from pitchline.money.machine_class import PricedMachine
from pitchline.money.price_changes import Moved, moved
from pitchline.money.prices import PriceList
from pitchline.papers.price_words import class_said
from pitchline.papers.words import first_up
from pitchline.trade.errors import phrase
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import Verdict
from pitchline.words.labels import ordered, singular

MOST_RECKONED = 60
"""Machines whose money is reckoned anew for the page, our own choice: each verdict has to be read for it."""
MOST_PLANS = 8
"""Kept plans whose cost is reckoned anew for the page, our own choice: each takes half a second a list."""
MOST_TOLD = 200
"""Lines that are told one by one."""


@dataclass(frozen=True, slots=True)
class LineMoved:
    """One line of the list, in words.

    Parameters
    ----------
    what, which : str
        What it is, and for which machines.
    before, after, by : str
        The figures, and how much that is; empty where there was none, or is none.
    """

    what: str
    which: str
    before: str
    after: str
    by: str


@dataclass(frozen=True, slots=True)
class MachineMoved:
    """The work called stop or book of one machine, or its kept plan, by both lists; None where nothing of it is priced."""

    machine: Machine
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Moves:
    """Everything another list moves.

    Parameters
    ----------
    lines : tuple of LineMoved
        Its own lines.
    more_lines : int
        How many more there are.
    machines : tuple of MachineMoved
        Machines whose work costs something else, the most first.
    touched : int
        Machines with another price or figure, whether it is in their work or not.
    unreckoned : int
        Of these, how many were not reckoned.
    before, after : float
        Work of all reckoned machines.
    currency : str
        Of the list.
    plans : tuple of MachineMoved
        What kept plans cost over all their hours, as their lay-ups stand, the most first.
    more_plans : int
        How many more plans are kept of machines with another price.
    """

    lines: tuple[LineMoved, ...]
    more_lines: int
    machines: tuple[MachineMoved, ...]
    touched: int
    unreckoned: int
    before: float
    after: float
    currency: str
    plans: tuple[MachineMoved, ...] = ()
    more_plans: int = 0


def moves_of(business: Business, before: PriceList | None, after: PriceList) -> Moves:
    """What a list moves that is not in force yet; nothing is changed."""
    units = UnitSystem(business.units)
    lines = [_line(one, units) for one in moved(before, after)]
    touched = _touched(business, before, after)
    few = touched[:MOST_RECKONED]
    judged = Judgement.objects.in_bulk([machine.judgement_id for machine, _, _ in few])
    reckoned = [
        MachineMoved(machine, *(_work(verdict_of(judged[machine.judgement_id]), each) for each in (was, now)))
        for machine, was, now in few
        if machine.judgement_id in judged
    ]
    other = [one for one in reckoned if one.before != one.after]
    other.sort(key=lambda one: -abs((one.after or 0.0) - (one.before or 0.0)))
    kept = kept_costs([machine.pk for machine, _, _ in touched])
    plans = [
        MachineMoved(machine, *(cost and float(round(cost)) for cost in map(kept[machine.pk], (was, now))))
        for machine, was, now in [one for one in touched if one[0].pk in kept][:MOST_PLANS]
    ]
    plans.sort(key=lambda one: -abs((one.after or 0.0) - (one.before or 0.0)))
    sums = [round(sum(getattr(one, name) or 0.0 for one in reckoned), 2) for name in ("before", "after")]
    return Moves(
        tuple(lines[:MOST_TOLD]),
        max(len(lines) - MOST_TOLD, 0),
        tuple(other),
        len(touched),
        max(len(touched) - MOST_RECKONED, 0),
        sums[0],
        sums[1],
        after.currency,
        tuple(plans),
        max(len(kept) - MOST_PLANS, 0),
    )


def told_of(business: Business, before: PriceList | None, after: PriceList, why: str) -> Sequence[Told]:
    """The same for the trail, line by line; of a first list its lines are not told apart."""
    if before is None:
        return ()
    units = UnitSystem(business.units)
    lines = [_line(one, units) for one in moved(before, after)[:MOST_TOLD]]
    return [
        Told(
            phrase("price: {what}, {which}", what=line.what, which=line.which),
            line.before,
            line.after,
            why,
        )
        for line in lines
    ]


def _line(one: Moved, units: UnitSystem) -> LineMoved:
    what = one.figure
    if one.job is not None and one.part is not None:
        what = ordered(one.job, singular(one.part)) + (f", {one.figure}" if one.figure else "")
    before, after = ("" if each is None else as_figure(each, ",.10g") for each in (one.before, one.after))
    by = ""
    if one.before and one.after is not None and one.before != one.after:
        by = f"{as_figure((one.after / one.before - 1) * 100, '+,.0f')} %"
    return LineMoved(first_up(what), class_said(one.which, units), before, after, by)


def _touched(
    business: Business, before: PriceList | None, after: PriceList
) -> list[tuple[Machine, PriceList | None, PriceList]]:
    """Judged machines that have another price or figure of their own, with both of their lists."""
    machines = Machine.objects.filter(business=business, archived_at=None, judgement__isnull=False)
    heavy = ("file_text", "judgement__inputs_packed", "judgement__verdict_packed")
    found, known = [], dict[PricedMachine, tuple[PriceList | None, PriceList, bool]]()
    for machine in machines.select_related("judgement").defer(*heavy):
        if machine.judgement is None:
            continue
        priced = priced_as(machine.judgement)
        if priced not in known:  # a yard has many machines, and few kinds of them
            was, now = before and before.for_machine(priced), after.for_machine(priced)
            known[priced] = (was, now, digest_of_prices(was) != digest_of_prices(now))
        was, now, moves = known[priced]
        if moves:
            found.append((machine, was, now))
    return sorted(found, key=lambda each: -(each[0].money_usual or 0.0))


def _work(verdict: Verdict, prices: PriceList | None) -> float | None:
    """What is called stop or book at usual prices, as the verdict counts it."""
    costs = [
        job_cost(prices, job.kind, job.part, len(job.places), job.pieces or len(job.places)).price
        for job in verdict.jobs
        if job.call.asks
    ]
    priced = [cost.usual for cost in costs if cost is not None]
    return round(sum(priced), 2) if priced else None
