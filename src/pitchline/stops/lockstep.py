"""Parts whose every job is tied to the same job of another part go through life in step: they are planned as one.

See docs/explanation/stops.md.
"""

from dataclasses import replace

from pitchline.stops.instance import Component, Rule, RuleKind, Stage, StageJob, StopInstance, implied

Members = tuple[tuple[str, ...], ...]
"""For each part of the smaller instance, the parts it stands for."""


def in_lockstep(instance: StopInstance) -> tuple[StopInstance, Members]:
    """The same instance with parts that go in step made one, and which those are.

    Returns
    -------
    smaller : StopInstance
        Each such group is one part with summed losses, credits and costs, under the name of its first. Any plan of it is a
        plan of the whole with the same cost, and the other way round.
    members : tuple of tuple of str
        For each of its parts the parts of the whole, in its order.

    Examples
    --------
    >>> shoes = [
    ...     Component(name, (Stage("now", (0, 1), (5,), (0, 0)), Stage("new", (0, 0), (0,), (0, 0))),
    ...               (StageJob("replace", 0, 1, (2,)),))
    ...     for name in ("left", "right")
    ... ]
    >>> rule = Rule(RuleKind.SAME_TIME, ("left", "replace"), ("right", "replace"))
    >>> smaller, members = in_lockstep(StopInstance("tiny", 1, 100, 2000, 0.0, (1,), (), tuple(shoes), (rule,)))
    >>> members, smaller.components[0].jobs[0].cost
    ((('left', 'right'),), (4,))
    """
    same = tuple(rule for rule in instance.rules if rule.kind is RuleKind.SAME_TIME)
    if not same:
        return instance, tuple((part.name,) for part in instance.components)
    sets: list[list[Component]] = []
    for part in instance.components:
        # Like enough to the first of a set is like all of it: ties of "at the same time" carry on from part to part.
        mine = next((one for one in sets if _goes_with(one[0], part, same)), None)
        if mine is None:
            sets.append([part])
        else:
            mine.append(part)
    members = tuple(tuple(part.name for part in one) for one in sets)
    if len(members) == len(instance.components):
        return instance, members
    # A rule between two parts of one set says nothing any more; between sets it is the rule of their first parts, said once.
    head = {name: names[0] for names in members for name in names}
    rules = tuple(dict.fromkeys(_renamed(rule, head) for rule in instance.rules if not _inside(rule, head)))
    return replace(instance, components=tuple(_one(part) for part in sets), rules=rules), members


def _goes_with(one: Component, other: Component, same: tuple[Rule, ...]) -> bool:
    """Whether two parts have the same jobs between the same stages, each tied to its twin."""
    if _shape(one) != _shape(other) or not one.jobs:
        return False
    return all((other.name, name) in implied((one.name, name), same) for name in {job.name for job in one.jobs})


def _shape(part: Component) -> tuple[int, tuple[tuple[str, int, int], ...]]:
    return len(part.stages), tuple((job.name, job.from_stage, job.to_stage) for job in part.jobs)


def _inside(rule: Rule, head: dict[str, str]) -> bool:
    return head[rule.a[0]] == head[rule.b[0]]


def _renamed(rule: Rule, head: dict[str, str]) -> Rule:
    a, b = (head[rule.a[0]], rule.a[1]), (head[rule.b[0]], rule.b[1])
    if rule.kind is RuleKind.SAME_TIME and b < a:
        a, b = b, a
    return Rule(rule.kind, a, b)


def _one(parts: list[Component]) -> Component:
    if len(parts) == 1:
        return parts[0]
    stages = tuple(_stage([part.stages[number] for part in parts]) for number in range(len(parts[0].stages)))
    jobs = tuple(_job([part.jobs[number] for part in parts]) for number in range(len(parts[0].jobs)))
    return Component(parts[0].name, stages, jobs)


def _stage(stages: list[Stage]) -> Stage:
    """Summed losses and credits; the chance is of the likeliest, which no cost leans on."""
    return Stage(
        stages[0].name,
        tuple(max(chances) for chances in zip(*(one.prob_limit_by_step for one in stages), strict=True)),
        tuple(sum(losses) for losses in zip(*(one.penalty_by_step for one in stages), strict=True)),
        tuple(sum(credits) for credits in zip(*(one.end_credit_by_age for one in stages), strict=True)),
    )


def _job(jobs: list[StageJob]) -> StageJob:
    cost = tuple(sum(costs) for costs in zip(*(one.cost for one in jobs), strict=True))
    return replace(jobs[0], cost=cost, groups=tuple(dict.fromkeys(name for one in jobs for name in one.groups)))
