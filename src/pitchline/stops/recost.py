"""What a given plan costs, reckoned straight from the definition; shares nothing with the planner.

See docs/reference/stop-instance.md.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from pitchline.stops.instance import Component, RuleKind, StageJob, StopInstance
from pitchline.trade.errors import NotAllowedError, phrase

Done = Mapping[str, Sequence[tuple[str, int]]]
"""Jobs by part: name and step of each."""


def recost(instance: StopInstance, done: Done) -> float:
    """The expected present cost of a plan: payments less credits.

    Parameters
    ----------
    instance : StopInstance
        What is planned for.
    done : mapping of str to sequence of (str, int)
        For each part its jobs with their steps, in order of time; parts left out have none.

    Returns
    -------
    float
        Present cost [money].

    Raises
    ------
    NotAllowedError
        A job that cannot be done there, two at one step on one part, or a rule broken.
    """
    parts = {part.name: part for part in instance.components}
    for name in done:
        if name not in parts:
            raise NotAllowedError("plan", name, "a part of the instance", "Correct the part's name.")
    total = 0.0
    opened: set[tuple[int, str]] = set()
    stops: set[int] = set()
    for name, part in parts.items():
        cost, used = _part_cost(instance, part, done.get(name, ()))
        total += cost
        for step, job in used:
            stops.add(step)
            opened |= {(step, group) for group in job.groups}
    _check_kept(instance, done)
    group_cost = {group.name: group.cost for group in instance.groups}
    total += sum(instance.stop_cost[step] * instance.discount(step) for step in sorted(stops))
    return total + sum(group_cost[name][step] * instance.discount(step) for step, name in sorted(opened))


def _part_cost(
    instance: StopInstance, part: Component, jobs: Sequence[tuple[str, int]]
) -> tuple[float, list[tuple[int, StageJob]]]:
    """Cost of one part alone, and the ways it took."""
    for (_, before), (name, after) in pairwise(jobs):
        if after <= before:
            raise NotAllowedError(
                phrase("plan, {part}", part=part.name),
                phrase("{name} at {after}", name=name, after=after),
                phrase("a step after {before}", before=before),
                "Sort it.",
            )
    stage, entered, total = 0, 0, 0.0
    used: list[tuple[int, StageJob]] = []
    for name, step in jobs:
        ways = [job for job in part.jobs if job.name == name and job.from_stage == stage]
        if not ways or not 0 <= step < instance.steps:
            allowed = phrase(
                "a job from stage {name} at steps 0 to {steps}",
                name=part.stages[stage].name,
                steps=instance.steps - 1,
            )
            raise NotAllowedError(
                phrase("plan, {part}", part=part.name),
                phrase("{name} at {step}", name=name, step=step),
                allowed,
                "Correct the plan.",
            )
        total += _wear(instance, part, stage, entered, step) + ways[0].cost[step] * instance.discount(step)
        used.append((step, ways[0]))
        stage, entered = ways[0].to_stage, step
    total += _wear(instance, part, stage, entered, instance.steps)
    credit = part.stages[stage].end_credit_by_age[instance.steps - entered]
    return total - credit * instance.discount(instance.steps), used


def _wear(instance: StopInstance, part: Component, stage: int, entered: int, left: int) -> float:
    penalties = part.stages[stage].penalty_by_step
    return sum(penalties[m - 1] * instance.discount(entered + m) for m in range(1, left - entered + 1))


def _check_kept(instance: StopInstance, done: Done) -> None:
    for rule in instance.rules:
        steps_a, steps_b = (
            {step for name, step in done.get(part, ()) if name == job} for part, job in (rule.a, rule.b)
        )
        broken = steps_a ^ steps_b if rule.kind is RuleKind.SAME_TIME else steps_a - steps_b
        if broken:
            seen = phrase(
                "{a} without {b} at step {step}", a=" ".join(rule.a), b=" ".join(rule.b), step=min(broken)
            )
            if min(broken) not in steps_a:
                seen = phrase(
                    "{b} without {a} at step {step}", b=" ".join(rule.b), a=" ".join(rule.a), step=min(broken)
                )
            raise NotAllowedError(
                "plan", seen, phrase("the rule {kind} kept", kind=rule.kind), "Add the other job."
            )
