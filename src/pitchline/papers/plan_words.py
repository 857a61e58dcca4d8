"""A machine's plan of stops in words and cells, for the terminal and the paper alike."""

from collections.abc import Sequence
from dataclasses import dataclass

from pitchline.papers import names, words
from pitchline.trade.calls import Call
from pitchline.trade.parts import Side
from pitchline.trade.writing import as_figure
from pitchline.verdict import Job, Joins, MachinePlan, PlanStop, PlanWay, Verdict
from pitchline.words import counted, label, say, translated, worded
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
        worded("sold in {sell_at} h", sell_at=as_figure(plan.sell_at_h))
        if plan.sell_at_h is not None
        else worded("{horizon} h ahead", horizon=as_figure(plan.horizon_h))
    )
    stops = (
        translated("no lay-up")
        if not plan.stops
        else counted("{n} lay-up", "{n} lay-ups", len(plan.stops)).format(n=len(plan.stops))
    )
    proof = translated("Proven: no set of lay-ups that keeps to the calls costs less.")
    if not plan.proven:
        proof = worded(
            "Not proven with the effort made: nothing costs less than {plan}.",
            plan=money_said(plan, plan.lower_bound),
        )
    head = worded("Plan, {end}: {stops}. {plan} {proof}", end=end, stops=stops, plan=paid_said(plan), proof=proof)
    return " ".join(filter(None, (head, priced_alone_said(plan))))


_UNPRICED = frozenset(
    ("price.job_not_on_list", "price.not_on_list_one", "price.not_on_list_several", "plan.turn_not_on_list")
)


def priced_alone_said(plan: MachinePlan) -> str:
    """What a plan cannot hold because the price list lacks it, beside what the plan claims; empty where all has its price."""
    lacking = "; ".join(say(one) for one in plan.left_out if one.code in _UNPRICED)
    return worded("It holds what has a price alone. Not in it: {lacking}.", lacking=lacking) if lacking else ""


def paid_said(plan: MachinePlan) -> str:
    """What a plan is paid, what it may lose, and apart from both the life left at its end."""
    money = plan.beside[0].money if plan.beside else None
    if money is None:
        return worded("Expected cost {plan}.", plan=money_said(plan, plan.cost))
    paid = worded(
        "What has a price comes to about {paid}; there is more to pay. "
        "Expected loss {plan}, by limits passed and parts that break."
        if priced_alone_said(plan)
        else "To pay about {paid}. Expected loss {plan}, by limits passed and parts that break."
        if plan.stops
        else "Nothing to pay. Expected loss {plan}, by limits passed and parts that break.",
        paid=money_said(plan, money.to_pay),
        plan=money_said(plan, money.expected_loss),
    )
    if money.credit < 0.5:
        return paid
    left = worded(
        "Life left at the end is worth {amount}, which nobody pays out before a sale; it counts when ways are compared.",
        amount=money_said(plan, money.credit),
    )
    return f"{paid} {left}"


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
        moves = (
            translated("stays")
            if fast
            else worded(
                "{earliest} and {latest} h", earliest=as_figure(stop.earliest_h), latest=as_figure(stop.latest_h)
            )
        )
        found.append(StopSaid(str(number), _when(stop), moves, jobs_said(verdict, jobs)))
    return tuple(found)


def _when(stop: PlanStop) -> str:
    if stop.at_h == 0:
        stops = any(job.call is Call.STOP for job in stop.jobs)
        return translated("before it works again") if stops else translated("now")
    hours = worded("in {hours} h", hours=as_figure(stop.at_h))
    return hours if stop.day is None else worded("{hours}, about {day}", hours=hours, day=words.day(stop.day))


def jobs_said(verdict: Verdict, jobs: Sequence[Job]) -> tuple[str, ...]:
    """Jobs with their prices."""
    lines = []
    for job in jobs:
        what = words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear)))
        price = (
            words.amount(job.price.usual, job.price.currency)
            if job.price is not None
            else translated("not priced")
        )
        joined = f" ({joins_short(job.joins, verdict.plan)})" if job.joins and verdict.plan else ""
        lines.append(f"{what}{joined}: {price}")
    return tuple(lines)


def joins_short(joins: Joins, plan: MachinePlan) -> str:
    """Why a job is not done at its own time, in a few words, such as "900 h early, saves EUR 1,024"."""
    hours = words.hours(abs(joins.early_h))
    if joins.own_h is None:
        when = translated("not due by the end")
    else:
        when = worded("{hours} late", hours=hours) if joins.early_h < 0 else worded("{hours} early", hours=hours)
    if joins.with_part is not None:
        return worded("{when}, with the new {with_part}", when=when, with_part=singular(joins.with_part))
    if joins.saves is None:
        return when
    amount = money_said(plan, abs(joins.saves))
    if joins.saves >= 0:
        return worded("{when}, saves {amount}", when=when, amount=amount)
    return worded("{when}, costs {amount}", when=when, amount=amount)


def beside_head() -> list[str]:
    """The head above ways of planning."""
    return [
        translated("way of planning"),
        translated("cost"),
        translated("more than the plan"),
        translated("lay-ups"),
        translated("standing"),
        translated("limits passed"),
    ]


def money_head() -> list[str]:
    """The head above what a way of planning is paid for."""
    return [
        translated("jobs"),
        translated("lay-ups"),
        translated("standing"),
        translated("to pay"),
        translated("expected loss"),
        translated("life left at the end"),
    ]


def beside_cells(plan: MachinePlan, row: PlanWay) -> tuple[str, ...]:
    """One way of planning in cells under `beside_head`.

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
    """What one way of planning is paid for, in cells under `money_head`.

    Returns
    -------
    tuple of str
        Empty where it was not split.
    """
    if row.money is None:
        return ()
    money = row.money
    split = (money.jobs, money.stops, money.standing, money.to_pay, money.expected_loss, money.credit)
    return tuple(as_figure(amount + 0.0) if abs(amount) >= 0.5 else "0" for amount in split)


def plan_notes(plan: MachinePlan) -> tuple[str, ...]:
    """What looks odd and why, what would change it, what is worth reading again, and what it rests on."""
    said = [say(one) for one in plan.why]
    for change in plan.changes:
        then = (
            translated("no lay-up would pay")
            if change.first_stop_h is None
            else worded("the first lay-up would be in {first_stop} h", first_stop=as_figure(change.first_stop_h))
        )
        said.append(worded("With {what}, {then}.", what=say(change.what), then=then))
    if not plan.changes and plan.tried:
        said.append(translated("No single price, hour or reading that was tried moves the first lay-up."))
    for one in plan.measuring:
        said.append(
            worded(
                "Reading {part} again first is worth up to {plan}.",
                part=say(one.part),
                plan=money_said(plan, one.worth),
            )
        )
    said.append(_walk(plan))
    if plan.below_new is not None:
        said.append(
            worded(
                "With every planned part new, the same hours would cost {plan} less.",
                plan=money_said(plan, plan.below_new),
            )
        )
    if plan.idle:
        said.append(
            worded("No job up to the end: {idle}.", idle="; ".join(both_sides([say(part) for part in plan.idle])))
        )
    said += [worded("Not planned: {what}.", what=what) for what in not_planned(plan)]
    said += [say(one) for one in plan.assumed]
    return (*said, translated("A plan leans on today's readings; it is a working aid, not a licence to work."))


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
            told.append(worded("{one}, left and right", one=one))
    return tuple(told)


def not_planned(plan: MachinePlan) -> list[str]:
    """What is not planned and why; parts of a kind that were not read in one line."""
    unread = _by_kind([one.values["place"] for one in plan.left_out if one.code == "plan.not_read"])
    told = [worded("{places:places}: not read", places=keys) for keys in unread]
    return told + [say(one) for one in plan.left_out if one.code != "plan.not_read"]


def _by_kind(keys: Sequence[str]) -> list[tuple[str, ...]]:
    """Places of a kind together."""
    kinds = dict[str, list[str]]()
    for key in keys:
        kinds.setdefault(key.partition("/")[0], []).append(key)
    return [tuple(each) for each in kinds.values()]


def _walk(plan: MachinePlan) -> str:
    """When to read it again, and what that is worth."""
    if plan.latest_walk_h < 1:
        return translated(
            "Walk round it again before it works again, and plan anew: a part may be at its limit already."
        )
    latest = as_figure(plan.latest_walk_h)
    if plan.walk_part is None:
        return worded(
            "Walk round it again no later than in {latest} h, half the cautious hours to the next limit, and plan anew.",
            latest=latest,
        )
    worth = worded(
        "worth about {plan}, most of it for {walk_part}",
        plan=money_said(plan, plan.walk_worth),
        walk_part=say(plan.walk_part),
    )
    if plan.next_walk_h > plan.latest_walk_h - 1:
        when = worded(
            "Walk round it again in {latest} h, half the cautious hours to the next limit, and plan anew",
            latest=latest,
        )
    else:
        when = worded(
            "Walk round it again in about {next_walk} h, no later than in {latest} h, half the cautious hours to the next "
            "limit, and plan anew",
            next_walk=as_figure(plan.next_walk_h),
            latest=latest,
        )
    return worded("{when}: {worth} (each part reckoned alone, as if normal).", when=when, worth=worth)
