"""A plan whose stops are put elsewhere by hand: costed from the definition, refused where something would break.

See docs/explanation/plan-of-a-machine.md.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pitchline.judge.teller import renewed_now
from pitchline.outlook.dates import day_when, working_day
from pitchline.stops.instance import StopInstance
from pitchline.stops.plan import NEAR_BEST, PlannedJob, StopPlan
from pitchline.stops.recost import recost
from pitchline.stops.thumb import chances_passed
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.saying import saying
from pitchline.trade.writing import as_figure
from pitchline.verdict import MachinePlan, PlanRow, PlanStop, PlanWay, Verdict

BY_HAND = saying("way.by_hand")
"""Name of a moved plan among the ways of planning."""


@dataclass(frozen=True, slots=True)
class Footing:
    """What a plan's cost is reckoned from.

    Parameters
    ----------
    instance : StopInstance
        What wears, what may be done and what it costs.
    forced : tuple of str
        Parts that have to be renewed before the machine works again.
    """

    instance: StopInstance
    forced: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Spot:
    """A step a stop could be moved to.

    Parameters
    ----------
    step : int
        The step, from 0.
    at_h : float
        The same in hours from the verdict's own [h].
    cost : float or None
        Cost of the whole plan with the stop there [currency]; None where it cannot go.
    refused : str
        Why it cannot; empty where it can.
    """

    step: int
    at_h: float
    cost: float | None
    refused: str = ""


def put_at(plan: MachinePlan, steps: Sequence[int]) -> tuple[PlanRow, ...]:
    """The rows of a plan with each stop at a step of its own; its jobs go along.

    Parameters
    ----------
    plan : MachinePlan
        The plan.
    steps : sequence of int
        A step for each of its stops, in their order.

    Raises
    ------
    NotAllowedError
        Another number of steps than stops, or one outside the plan.
    """
    if len(steps) != len(plan.stops):
        allowed = phrase("one step for each of the {stops} lay-ups", stops=len(plan.stops))
        raise NotAllowedError("steps", phrase("{steps} steps", steps=len(steps)), allowed, "Open the plan again.")
    last = last_step(plan)
    for number, step in enumerate(steps, 1):
        if not 0 <= step <= last:
            allowed = phrase("0 to {last} h", last=as_figure(last * plan.step_h))
            raise NotAllowedError(
                phrase("lay-up {number}", number=number),
                f"{as_figure(step * plan.step_h)} h",
                allowed,
                "Put it inside the plan.",
            )
    goes_to = dict(zip(steps_of(plan), steps, strict=True))
    return tuple(sorted((replace(row, step=goes_to[row.step]) for row in plan.rows), key=lambda row: row.step))


def steps_of(plan: MachinePlan) -> tuple[int, ...]:
    """The steps of a plan's stops.

    Returns
    -------
    tuple of int
        Rising, from 0.
    """
    return tuple(round(stop.at_h / plan.step_h) for stop in plan.stops)


def last_step(plan: MachinePlan) -> int:
    """The last step at which a stop can be.

    Returns
    -------
    int
        One before the sale, or before the end of what is planned.
    """
    return max(1, round((plan.sell_at_h or plan.horizon_h) / plan.step_h)) - 1


def cost_of(footing: Footing, plan: MachinePlan, steps: Sequence[int]) -> float:
    """What a plan costs with its stops at other steps.

    Parameters
    ----------
    footing : Footing
        What it is reckoned from.
    plan : MachinePlan
        The plan.
    steps : sequence of int
        A step for each of its stops, in their order.

    Returns
    -------
    float
        Expected cost over the horizon [currency].

    Raises
    ------
    NotAllowedError
        A stop outside the plan, jobs on one part that would change places, or a part that must not work on and would.

    References
    ----------
    `stops.recost`, which shares nothing with the planner.
    """
    rows = put_at(plan, steps)
    _check(footing, plan, steps)
    return recost(footing.instance, _done(rows, footing.instance))


def _done(rows: Sequence[PlanRow], instance: StopInstance) -> dict[str, list[tuple[str, int]]]:
    done: dict[str, list[tuple[str, int]]] = {part.name: [] for part in instance.components}
    for row in rows:
        done[row.component].append((row.job, row.step))
    return done


def _check(footing: Footing, plan: MachinePlan, steps: Sequence[int]) -> None:
    """The order of the jobs on each part stays, and what must be renewed before the machine works again is."""
    number_of = {step: number for number, step in enumerate(steps_of(plan))}
    stands: dict[str, list[tuple[int, str, int]]] = {}
    for row in sorted(plan.rows, key=lambda row: row.step):
        number = number_of[row.step]
        stands.setdefault(row.component, []).append((steps[number], row.job, number + 1))
    for part, jobs in stands.items():
        for (step, job, one), (later, next_job, other) in pairwise(jobs):
            if later <= step:
                seen = phrase(
                    "{job} at lay-up {one} not before {next_job} at lay-up {other}",
                    job=job,
                    one=one,
                    next_job=next_job,
                    other=other,
                )
                step_said = "Move it less far, or move the other lay-up first."
                raise NotAllowedError(
                    part, seen, "jobs on one part in their order, at different lay-ups", step_said
                )
        if part in footing.forced and jobs[0][0] != 0:
            seen = phrase("{jobs} only in {jobs_2} h", jobs=jobs[0][1], jobs_2=as_figure(jobs[0][0] * plan.step_h))
            allowed = "before the machine works again: it is called stop"
            raise NotAllowedError(part, seen, allowed, "Leave this lay-up where it is.")


def spots_for(footing: Footing, plan: MachinePlan, number: int, steps: Sequence[int]) -> tuple[Spot, ...]:
    """Every step one stop could be moved to, the others where they are.

    Parameters
    ----------
    footing : Footing
        What the plan is reckoned from.
    plan : MachinePlan
        The plan.
    number : int
        Which stop, from 1.
    steps : sequence of int
        Where the stops are now, in their order.

    Raises
    ------
    NotAllowedError
        No such stop.
    """
    if not 1 <= number <= len(plan.stops):
        raise NotAllowedError(
            "lay-up", number, phrase("1 to {stops}", stops=len(plan.stops)), "Choose one of the lay-ups."
        )
    found = []
    for step in range(last_step(plan) + 1):
        tried = [*steps[: number - 1], step, *steps[number:]]
        try:
            found.append(Spot(step, step * plan.step_h, cost_of(footing, plan, tried)))
        except NotAllowedError as error:
            problem = error.problem
            said = f"{problem.field}: {problem.seen}. Allowed: {problem.allowed}."
            found.append(Spot(step, step * plan.step_h, None, said))
    return tuple(found)


def moved_plan(footing: Footing, verdict: Verdict, steps: Sequence[int]) -> MachinePlan:
    """A verdict's plan with its stops at other steps, told like any plan.

    Parameters
    ----------
    footing : Footing
        What the plan is reckoned from.
    verdict : Verdict
        With a plan.
    steps : sequence of int
        A step for each of its stops, in their order; stops at one step become one.

    Returns
    -------
    MachinePlan
        The ways beside it are kept, itself first and the cheapest second.

    Raises
    ------
    NotAllowedError
        No plan, or as `cost_of`.
    """
    plan = verdict.plan
    if plan is None:
        raise NotAllowedError("plan", "none", "a verdict with a plan of lay-ups", "Work the plan out first.")
    cost = cost_of(footing, plan, steps)
    rows = put_at(plan, steps)
    stops = tuple(_stop(footing, verdict, plan, steps, step, cost) for step in sorted(set(steps)))
    way = _way(footing, plan, rows, cost)
    return replace(
        plan, cost=cost, proven=False, stops=stops, rows=rows, beside=(way, *plan.beside), changes=(), tried=0
    )


def _stop(
    footing: Footing, verdict: Verdict, plan: MachinePlan, steps: Sequence[int], step: int, cost: float
) -> PlanStop:
    """One stop of a moved plan; the hours within which it hardly matters are those of its first one moved."""
    numbers = [number for number, at in enumerate(steps) if at == step]
    at_h, weekly = step * plan.step_h, verdict.utilisation
    fits = [
        place.at_h
        for place in spots_for(footing, plan, numbers[0] + 1, steps)
        if place.cost is not None and place.cost - cost <= NEAR_BEST * abs(cost)
    ]
    early, late = _around(fits, at_h, plan.step_h)
    jobs = tuple(replace(job, joins=None) for number in numbers for job in plan.stops[number].jobs)
    day = day_when(verdict.as_of, at_h, weekly.usual) if weekly is not None else None
    day = working_day(day, verdict.as_of) if day is not None else None
    return PlanStop(at_h, early, late, day, jobs)


def _around(fits: list[float], at_h: float, step_h: float) -> tuple[float, float]:
    """The unbroken run of steps around one."""
    early = late = at_h
    while any(math.isclose(early - step_h, fit, abs_tol=1e-6) for fit in fits):
        early -= step_h
    while any(math.isclose(late + step_h, fit, abs_tol=1e-6) for fit in fits):
        late += step_h
    return early, late


def _way(footing: Footing, plan: MachinePlan, rows: Sequence[PlanRow], cost: float) -> PlanWay:
    instance = footing.instance
    planned = tuple(PlannedJob(row.component, row.job, row.step, row.step * plan.step_h) for row in rows)
    names = tuple(part.name for part in instance.components)
    first = {row.component: row.step for row in reversed(rows)}
    now = [name for name in footing.forced if first.get(name) == 0]
    chances = chances_passed(renewed_now(instance, now), StopPlan(cost, cost, (), planned, names, BY_HAND.code))
    stops = len({row.step for row in rows})
    standing = plan.beside[0].standing_h if plan.beside else None
    return PlanWay(BY_HAND, cost, stops, standing, sum(chances), 1 - math.prod(1 - chance for chance in chances))
