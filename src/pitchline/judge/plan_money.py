"""What a way of planning costs, split into what it is paid for."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from pitchline.judge.bridged import Bridged
from pitchline.judge.stage_costs import BOLTED
from pitchline.money.cost import job_cost
from pitchline.money.prices import PriceList
from pitchline.stops.recost import recost
from pitchline.trade.parts import PartKind
from pitchline.verdict import PlanMoney

Done = Mapping[str, Sequence[tuple[str, int]]]


def money_of(prices: PriceList | None, whole: Bridged, done: Done) -> PlanMoney:
    """A way of planning, split into jobs, stops, standing, losses and the credit for life left.

    Parameters
    ----------
    prices : PriceList or None
        The yard's list.
    whole : Bridged
        The machine as an instance.
    done : mapping of str to sequence of (str, int)
        For each part its jobs with their steps, in order of time.

    Returns
    -------
    PlanMoney
        Its figures add up to what the way costs.
    """
    instance = whole.plain
    losses, breaking, credit = _losses_and_credit(whole, done)
    stops, standing = _stops(whole, done), 0.0
    for part, jobs in done.items():
        for name, step in jobs:
            standing += instance.discount(step) * _standing(prices, whole, part, name, step)
    whole_cost = recost(instance, done)
    jobs_cost = whole_cost - stops - standing - losses - breaking + credit
    return PlanMoney(jobs_cost, stops, standing, losses, credit, breaking)


def _stops(whole: Bridged, done: Done) -> float:
    """Stops, openings and old shoes bolted to new chains; new shoes have their bolting in their own job."""
    instance = whole.plain
    jobs = {(part.name, job.name): job.groups for part in instance.components for job in part.jobs}
    steps = {step for rows in done.values() for _, step in rows}
    opened = {(group, step) for part, rows in done.items() for name, step in rows for group in jobs[part, name]}
    opened -= {
        (group, step)
        for part, rows in done.items()
        for name, step in rows
        if (item := whole.done[part, name]) is not None and item.place.part in (PartKind.SHOE, PartKind.PAD)
        for group in jobs[part, name]
        if group == BOLTED.format(item.place.side.value)
    }
    cost = {group.name: group.cost for group in instance.groups}
    return sum(instance.stop_cost[step] * instance.discount(step) for step in steps) + sum(
        cost[group][step] * instance.discount(step) for group, step in opened
    )


def _losses_and_credit(whole: Bridged, done: Done) -> tuple[float, float, float]:
    """What limits passed cost, new parts in place of those that broke on the way, and life left."""
    losses, breaking, credit, instance = 0.0, 0.0, 0.0, whole.plain
    for part in instance.components:
        stage, rows = 0, list(done.get(part.name, ()))
        edges = [0, *(step for _, step in rows), instance.steps]
        for number, (start, end) in enumerate(pairwise(edges)):
            new = whole.renewals.get((part.name, stage), (0.0,) * instance.steps)
            lost = part.stages[stage].penalty_by_step
            for age in range(end - start):
                losses += (lost[age] - new[age]) * instance.discount(start + age + 1)
                breaking += new[age] * instance.discount(start + age + 1)
            if number < len(rows):
                name = rows[number][0]
                stage = next(job.to_stage for job in part.jobs if (job.name, job.from_stage) == (name, stage))
        credit += part.stages[stage].end_credit_by_age[instance.steps - edges[-2]] * instance.discount(
            instance.steps
        )
    return losses, breaking, credit


def _standing(prices: PriceList | None, whole: Bridged, part: str, name: str, step: int) -> float:
    """The machine standing for a job's labour, by the month."""
    done = whole.done[part, name]
    if done is None:
        return 0.0
    labour_h = job_cost(prices, done.kind, done.place.part, 1, done.pieces).labour_h
    return (labour_h or 0.0) * whole.standing_per_h[step]
