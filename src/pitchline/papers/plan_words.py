"""A machine's plan of stops in words and cells, for the terminal and the paper alike."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.papers import names, words
from pitchline.trade.calls import Call
from pitchline.trade.parts import Side
from pitchline.trade.writing import as_figure
from pitchline.verdict import Job, Joins, MachinePlan, PlanStop, PlanWay, Verdict
from pitchline.words import label, say
from pitchline.words.labels import singular


@dataclass(frozen=True, slots=True)
class StopSaid:
    """One stop in words.

    Parameters
    ----------
    number : str
        Its number.
    when, moves : str
        Its hours and day, and the hours between which it may move.
    jobs : tuple of str
        Its jobs with their prices.
    """

    number: str
    when: str
    moves: str
    jobs: tuple[str, ...]


def plan_head(plan: MachinePlan) -> str:
    """How far a plan reaches, what it costs, and whether that is proven."""
    end = (
        f"sold in {as_figure(plan.sell_at_h)} h"
        if plan.sell_at_h is not None
        else f"{as_figure(plan.horizon_h)} h ahead"
    )
    stops = "no lay-up" if not plan.stops else f"{len(plan.stops)} lay-up{'s' if len(plan.stops) > 1 else ''}"
    proof = "Proven: no set of lay-ups that keeps to the calls costs less."
    if not plan.proven:
        proof = f"Not proven with the effort made: nothing costs less than {money_said(plan, plan.lower_bound)}."
    return f"Plan, {end}: {stops}. {paid_said(plan)} {proof}"


def paid_said(plan: MachinePlan) -> str:
    """What a plan is paid, what it may lose, and apart from both the life left at its end."""
    money = plan.beside[0].money if plan.beside else None
    if money is None:
        return f"Expected cost {money_said(plan, plan.cost)}."
    paid = money_said(plan, money.jobs + money.stops + money.standing)
    left = f" {words.first_up(f'life left at the end is worth {money_said(plan, money.credit)}')}, which nobody pays out"
    left = f"{left} before a sale; it counts when ways are compared." if money.credit >= 0.5 else ""
    return (
        f"To pay about {paid}, and an expected loss of {money_said(plan, money.losses)} for limits passed.{left}"
    )


def money_said(plan: MachinePlan, amount: float) -> str:
    """An amount in a plan's currency.

    Parameters
    ----------
    plan : MachinePlan
        The plan.
    amount : float
        The amount [currency].
    """
    return (
        f"{plan.currency} {as_figure(amount)}".replace("-0", "0")
        if abs(amount) < 0.5
        else f"{plan.currency} {as_figure(amount)}"
    )


def joined(verdict: Verdict, plan: MachinePlan) -> bool:
    """Whether the first lay-up comes soon enough for what falls due beside the plan.

    Returns
    -------
    bool
        True where it lies inside the booking window; for what is called stop, where it is before the machine works again.
    """
    stops = any(job.call is Call.STOP for job in plan.also)
    return bool(plan.stops) and plan.stops[0].at_h <= (0.0 if stops else verdict.window_h or 0.0)


def stops_said(verdict: Verdict, plan: MachinePlan) -> tuple[StopSaid, ...]:
    """The stops of a plan in words.

    Returns
    -------
    tuple of StopSaid
        In order of hours; what falls due beside the plan stands at the first where that is soon enough.
    """
    found = []
    for number, stop in enumerate(plan.stops, 1):
        jobs = (*plan.also, *stop.jobs) if number == 1 and joined(verdict, plan) else stop.jobs
        fast = stop.earliest_h == stop.latest_h
        moves = "stays" if fast else f"{as_figure(stop.earliest_h)} and {as_figure(stop.latest_h)} h"
        found.append(StopSaid(str(number), _when(stop), moves, jobs_said(verdict, jobs)))
    return tuple(found)


def _when(stop: PlanStop) -> str:
    if stop.at_h == 0:
        return "before it works again" if any(job.call is Call.STOP for job in stop.jobs) else "now"
    hours = f"in {as_figure(stop.at_h)} h"
    return hours if stop.day is None else f"{hours}, about {words.day(stop.day)}"


def jobs_said(verdict: Verdict, jobs: Sequence[Job]) -> tuple[str, ...]:
    """Jobs with their prices."""
    lines = []
    for job in jobs:
        what = words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear)))
        price = (
            f": {words.amount(job.price.usual, job.price.currency)}" if job.price is not None else ": not priced"
        )
        joined = f" ({joins_short(job.joins, verdict.plan)})" if job.joins and verdict.plan else ""
        lines.append(f"{what}{joined}{price}")
    return tuple(lines)


def joins_short(joins: Joins, plan: MachinePlan) -> str:
    """Why a job is not done at its own time, in a few words, such as "900 h early, saves EUR 1,024"."""
    side = "late" if joins.early_h < 0 else "early"
    when = f"{words.hours(abs(joins.early_h))} {side}" if joins.own_h is not None else "not due by the end"
    if joins.with_part is not None:
        return f"{when}, with the new {singular(joins.with_part)}"
    if joins.saves is None:
        return when
    return f"{when}, {'saves' if joins.saves >= 0 else 'costs'} {money_said(plan, abs(joins.saves))}"


def both_sides(parts: Sequence[str]) -> tuple[str, ...]:
    """Names of parts, left and right of the same part told once.

    Parameters
    ----------
    parts : sequence of str
        Names such as "bushes, left".

    Examples
    --------
    >>> both_sides(["bushes, left", "idler 1, left", "bushes, right"])
    ('bushes, left and right', 'idler 1, left')
    """
    left, right = (f", {label(side)}" for side in (Side.LEFT, Side.RIGHT))
    twins = {name.removesuffix(left) for name in parts if name.endswith(left)} & {
        name.removesuffix(right) for name in parts if name.endswith(right)
    }
    told = []
    for name in parts:
        one = name.removesuffix(left).removesuffix(right)
        if one not in twins:
            told.append(name)
        elif name.endswith(left):
            told.append(f"{one}, left and right")
    return tuple(told)


BESIDE_HEAD = ("way of planning", "cost", "more than the plan", "lay-ups", "standing", "limits passed")
MONEY_HEAD = ("jobs", "lay-ups", "standing", "to pay", "expected loss", "life left at the end")


def beside_cells(plan: MachinePlan, row: PlanWay) -> tuple[str, ...]:
    """One way of planning in cells under `BESIDE_HEAD`.

    Returns
    -------
    tuple of str
        Empty where there is nothing to say.
    """
    more = "" if row is plan.beside[0] else money_said(plan, row.cost - plan.cost)
    standing = "" if row.standing_h is None else f"{as_figure(row.standing_h)} h"
    return (
        say(row.name),
        money_said(plan, row.cost),
        more,
        str(row.stops),
        standing,
        as_figure(row.limits_passed, ".1f"),
    )


def money_cells(row: PlanWay) -> tuple[str, ...]:
    """What one way of planning is paid for, in cells under `MONEY_HEAD`.

    Returns
    -------
    tuple of str
        Empty where it was not split.
    """
    if row.money is None:
        return ()
    paid = (row.money.jobs, row.money.stops, row.money.standing)
    split = (*paid, sum(paid), row.money.losses, row.money.credit)
    return tuple(as_figure(amount + 0.0) if abs(amount) >= 0.5 else "0" for amount in split)


def plan_notes(plan: MachinePlan) -> tuple[str, ...]:
    """What looks odd and why, what would change it, what is worth reading again, and what it rests on."""
    said = [say(one) for one in plan.why]
    for change in plan.changes:
        then = (
            "no lay-up would pay"
            if change.first_stop_h is None
            else f"the first lay-up would be in {as_figure(change.first_stop_h)} h"
        )
        said.append(f"With {say(change.what)}, {then}.")
    if not plan.changes and plan.tried:
        said.append("No single price, hour or reading that was tried moves the first lay-up.")
    for one in plan.measuring:
        said.append(f"Reading {say(one.part)} again first is worth up to {money_said(plan, one.worth)}.")
    said.append(_walk(plan))
    if plan.below_new is not None:
        said.append(
            f"With every planned part new, the same hours would cost {money_said(plan, plan.below_new)} less."
        )
    if plan.idle:
        said.append(f"No job up to the end: {'; '.join(both_sides([say(part) for part in plan.idle]))}.")
    said += [f"Not planned: {say(what)}." for what in plan.left_out]
    said += [say(one) for one in plan.assumed]
    return (*said, "A plan leans on today's readings; it is a working aid, not a licence to work.")


def _walk(plan: MachinePlan) -> str:
    """When to read it again, and what that is worth."""
    if plan.latest_walk_h < 1:
        return "Walk round it again before it works again, and plan anew: a part may be at its limit already."
    last = f"no later than in {as_figure(plan.latest_walk_h)} h, half the cautious hours to the next limit"
    if plan.walk_part is not None and plan.next_walk_h > plan.latest_walk_h - 1:
        last = last.replace("no later than in", "in", 1)
    if plan.walk_part is None:
        return f"Walk round it again {last}, and plan anew."
    worth = f"worth about {money_said(plan, plan.walk_worth)}, most of it for {say(plan.walk_part)}"
    about = f"in about {as_figure(plan.next_walk_h)} h, " if last.startswith("no") else ""
    when = f"Walk round it again {about}{last}, and plan anew"
    return f"{when}: {worth} (each part reckoned alone, as if normal)."
