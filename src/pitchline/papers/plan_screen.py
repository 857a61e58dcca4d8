"""A machine's plan of stops for a terminal, safe as plain text."""

from collections.abc import Sequence

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from pitchline.papers import names, words
from pitchline.verdict import Job, MachinePlan, PlanStop, Verdict


def plan_lines(verdict: Verdict) -> RenderableType | None:
    """A verdict's plan for a terminal.

    Parameters
    ----------
    verdict : Verdict
        The verdict.

    Returns
    -------
    rich.console.RenderableType or None
        None where no plan was asked for.

    References
    ----------
    Our own layout.
    """
    plan = verdict.plan
    if plan is None:
        return None
    before = _before(verdict, plan)
    told: list[RenderableType] = [_head(plan), *before, _stops(verdict, plan), _beside(plan)]
    return Group(*told, *map(_text, _after(plan)))


def _joined(verdict: Verdict, plan: MachinePlan) -> bool:
    """Whether the first stop comes soon enough for what falls due beside the plan."""
    return bool(plan.stops) and plan.stops[0].at_h <= (verdict.window_h or 0.0)


def _before(verdict: Verdict, plan: MachinePlan) -> list[Text]:
    """What falls due beside the plan and cannot wait for its first stop."""
    if not plan.also or _joined(verdict, plan):
        return []
    jobs = _jobs(verdict, plan.also).replace("\n", "; ")
    return [_text(f"Before its first stop: {jobs}.")]


def _text(line: str) -> Text:
    return Text(line.replace(words.GAP, " "))


def _money(plan: MachinePlan, amount: float) -> str:
    return f"{plan.currency} {amount:,.0f}"


def _head(plan: MachinePlan) -> Text:
    end = f"sold in {plan.sell_at_h:,.0f} h" if plan.sell_at_h is not None else f"{plan.horizon_h:,.0f} h ahead"
    stops = "no stop" if not plan.stops else f"{len(plan.stops)} stop{'s' if len(plan.stops) > 1 else ''}"
    proof = "Proven: no set of stops costs less."
    if not plan.proven:
        proof = f"Not proven in the time given: nothing costs less than {_money(plan, plan.lower_bound)}."
    return _text(f"Plan, {end}: {stops}, expected cost {_money(plan, plan.cost)}. {proof}")


def _stops(verdict: Verdict, plan: MachinePlan) -> RenderableType:
    if not plan.stops:
        return _text("No stop pays up to the end.")
    table = Table("stop", "when", "may move between", "jobs", box=None, padding=(0, 2, 0, 0), header_style="dim")
    for number, stop in enumerate(plan.stops, 1):
        jobs = (*plan.also, *stop.jobs) if number == 1 and _joined(verdict, plan) else stop.jobs
        moves = f"{stop.earliest_h:,.0f} and {stop.latest_h:,.0f} h"
        table.add_row(*(_text(cell) for cell in (str(number), _when(stop), moves, _jobs(verdict, jobs))))
    return table


def _when(stop: PlanStop) -> str:
    hours = "before it works again" if stop.at_h == 0 else f"in {stop.at_h:,.0f} h"
    return hours if stop.day is None or stop.at_h == 0 else f"{hours}, about {words.day(stop.day)}"


def _jobs(verdict: Verdict, jobs: Sequence[Job]) -> str:
    lines = []
    for job in jobs:
        what = words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear)))
        price = (
            f": {words.amount(job.price.usual, job.price.currency)}" if job.price is not None else ": not priced"
        )
        lines.append(what + price)
    return "\n".join(lines)


def _beside(plan: MachinePlan) -> Table:
    head = ("way of planning", "cost", "more than the plan", "stops", "standing", "limits passed")
    table = Table(*head, box=None, padding=(0, 2, 0, 0), header_style="dim")
    for row in plan.beside:
        more = "" if row is plan.beside[0] else _money(plan, row.cost - plan.cost)
        standing = "" if row.standing_h is None else f"{row.standing_h:,.0f} h"
        cells = (row.name, _money(plan, row.cost), more, str(row.stops), standing, f"{row.limits_passed:.1f}")
        table.add_row(*(_text(cell) for cell in cells))
    return table


def _after(plan: MachinePlan) -> list[str]:
    """What would change it, what is worth reading again, and what it rests on."""
    said = []
    for change in plan.changes:
        then = (
            "no stop would pay"
            if change.first_stop_h is None
            else f"the first stop would be in {change.first_stop_h:,.0f} h"
        )
        said.append(f"With {change.what}, {then}.")
    if not plan.changes and plan.tried:
        said.append("No single price, hour or reading that was tried moves the first stop.")
    for one in plan.measuring:
        said.append(f"Reading {one.part} again first is worth up to {_money(plan, one.worth)}.")
    said.append(_walk(plan))
    if plan.below_new is not None:
        said.append(f"With every planned part new, the same hours would cost {_money(plan, plan.below_new)} less.")
    if plan.idle:
        said.append(f"No job up to the end: {', '.join(plan.idle)}.")
    said += [f"Not planned: {what}." for what in plan.left_out]
    return [*said, *plan.assumed, "A plan leans on today's readings; it is a working aid, not a licence to work."]


def _walk(plan: MachinePlan) -> str:
    """When to read it again, and what that is worth."""
    if plan.latest_walk_h < 1:
        return "Walk round it again before it works again, and plan anew: a part may be at its limit already."
    last = f"no later than in {plan.latest_walk_h:,.0f} h, half the cautious hours to the next limit"
    if plan.walk_part and plan.next_walk_h > plan.latest_walk_h - 1:
        last = last.replace("no later than in", "in", 1)
    if not plan.walk_part:
        return f"Walk round it again {last}, and plan anew."
    worth = f"worth about {_money(plan, plan.walk_worth)}, most of it for {plan.walk_part}"
    about = f"in about {plan.next_walk_h:,.0f} h, " if last.startswith("no") else ""
    when = f"Walk round it again {about}{last}, and plan anew"
    return f"{when}: {worth} (each part reckoned alone, as if normal)."
