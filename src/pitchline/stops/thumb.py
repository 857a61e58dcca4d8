"""Rules of thumb to set a plan beside: what the same instance costs when it is planned the usual ways.

See docs/explanation/stops.md.
"""

from dataclasses import dataclass

import numpy as np

from pitchline.outlook.paths import FloatArray
from pitchline.stops.instance import StopInstance, implied
from pitchline.stops.plan import PlannedJob, StopPlan, Taken, plan_of
from pitchline.stops.recost import recost
from pitchline.stops.tables import NEVER, Tables, tables_of, ways_named
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.saying import Saying, saying

MEDIAN = 0.5
RUN_ON = saying("way.run_on")
"""Name of the way with no lay-up at all."""
WINDOWS = 16
"""Most windows tried for the best one, from one step to the whole horizon."""


@dataclass(frozen=True, slots=True)
class Compared:
    """One way of planning, in figures.

    Parameters
    ----------
    name : Saying
        What it is called.
    expected_cost : float
        Present cost [money].
    stops : int
        Number of stops.
    limits_passed : float
        Limits passed in service on average, over all parts and stages [1].
    chance_any : float
        Chance that at least one is passed, parts taken as independent [1].
    window_h : float or None
        The window of a window rule [h]; None for the others.
    plan : tuple of PlannedJob
        What is done when.
    """

    name: Saying
    expected_cost: float
    stops: int
    limits_passed: float
    chance_any: float
    window_h: float | None = None
    plan: tuple[PlannedJob, ...] = ()


def compared(instance: StopInstance, plan: StopPlan) -> tuple[Compared, ...]:
    """A plan beside the rules of thumb.

    Returns
    -------
    tuple of Compared
        The plan first; then each job at its own limit, the best window, everything at once, and running to the end.
        A rule of thumb that breaks one of the instance's rules is left out.

    References
    ----------
    Common practice, no source.
    """
    tables = tables_of(instance)
    own = by_window(tables, 0)
    windows = [(steps, by_window(tables, steps)) for steps in _windows(tables.steps)]
    best = min(windows, key=lambda one: plan_of(tables, one[1], -NEVER, "thumb").expected_cost)
    best_h = best[0] * instance.step_h
    rows: list[tuple[Saying, Taken, float | None]] = [
        (saying("way.own_limits"), own, None),
        (saying("way.window", window_h=best_h), best[1], best_h),
        (saying("way.all_at_once"), all_at_once(tables), None),
        (RUN_ON, [[] for _ in own], None),
    ]
    found = [_row(saying("way.this_plan"), instance, plan, None)]
    for name, taken, window_h in rows:
        other = plan_of(tables, taken, -NEVER, "thumb")
        try:
            recost(instance, other.done())
        except NotAllowedError:
            continue
        found.append(_row(name, instance, other, window_h))
    return tuple(found)


def _windows(steps: int) -> list[int]:
    return sorted({max(1, round(share)) for share in np.linspace(1, steps / 2, WINDOWS)})


def _row(name: Saying, instance: StopInstance, plan: StopPlan, window_h: float | None) -> Compared:
    chances = chances_passed(instance, plan)
    any_passed = 1 - float(np.prod([1 - chance for chance in chances]))
    return Compared(name, plan.expected_cost, len(plan.stops), sum(chances), any_passed, window_h, plan.plan)


def chances_passed(instance: StopInstance, plan: StopPlan) -> list[float]:
    """Chance of passing the limit in service, for every stay of every part in a stage.

    Returns
    -------
    list of float
        One for each stay [1], by part, then by time.
    """
    done, chances = plan.done(), []
    for part in instance.components:
        stage, entered = 0, 0
        for name, step in done[part.name]:
            chances.append(part.stages[stage].prob_limit_by_step[step - entered])
            stage = next(job.to_stage for job in part.jobs if (job.name, job.from_stage) == (name, stage))
            entered = step
        chances.append(part.stages[stage].prob_limit_by_step[instance.steps - entered])
    return chances


def by_window(tables: Tables, window: int, chance: float = MEDIAN) -> Taken:
    """Ways taken when a stop is made whenever a part reaches its limit, and all due soon join it.

    Parameters
    ----------
    tables : Tables
        The instance in numbers.
    window : int
        Steps ahead within which a part joins, 0 or more.
    chance : float
        Chance of having passed the limit at which a part counts as due [1], in 0 to 1.

    Returns
    -------
    list of list of (int, int)
        For each part the ways it takes, each with its step.

    References
    ----------
    Common practice, no source.
    """
    instance = tables.instance
    stage, entered = [0] * tables.parts, [0] * tables.parts
    taken: Taken = [[] for _ in range(tables.parts)]
    due = [_due(instance, part, 0, 0, chance) for part in range(tables.parts)]
    for step in range(tables.steps):
        if min(due) > step:
            continue
        jobs: dict[str, str] = {}
        for part in sorted(range(tables.parts), key=lambda one: due[one]):
            if due[part] <= step + window:
                _ask(tables, part, stage[part], step, jobs)
        for part, piece in enumerate(instance.components):
            way = _way(tables, part, stage[part], jobs.get(piece.name))
            fresh = not taken[part] or taken[part][-1][1] < step
            if way is not None and fresh:
                taken[part].append((way, step))
                stage[part], entered[part] = tables.ways[way].to_stage, step
                due[part] = max(step + 1, _due(instance, part, stage[part], step, chance))
            elif due[part] <= step:
                due[part] = tables.steps
    return taken


def _due(instance: StopInstance, part: int, stage: int, entered: int, chance: float) -> int:
    """Step at which a part reaches its limit; past the horizon where it does not."""
    passed = np.array(instance.components[part].stages[stage].prob_limit_by_step) >= chance
    return entered + int(passed.argmax()) if passed.any() else instance.steps


def _ask(tables: Tables, part: int, stage: int, step: int, jobs: dict[str, str]) -> None:
    """Add the cheapest job out of a part's stage that no rule ties, else a tied one, with all it asks for."""
    instance = tables.instance
    name = instance.components[part].name
    if name in jobs:
        return
    leaving = [way for way in tables.ways if (way.part, way.from_stage) == (part, stage)]
    free = [way for way in leaving if len(implied((name, way.name), instance.rules)) == 1]
    for way in sorted(free or leaving, key=lambda one: float(_with_all(tables, (name, one.name))[step])):
        wanted = dict(implied((name, way.name), instance.rules))
        if all(jobs.get(other, job) == job for other, job in wanted.items()):
            jobs.update(wanted)
            return
        jobs.update(wanted)
        return


def _with_all(tables: Tables, job: tuple[str, str]) -> FloatArray:
    """Cost of a job by step, with all that the rules make of it."""
    costs = [tables.ways[ways_named(tables, one)[0]].cost for one in implied(job, tables.instance.rules)]
    return np.asarray(np.sum(costs, axis=0))


def _way(tables: Tables, part: int, stage: int, job: str | None) -> int | None:
    found = [
        number
        for number, way in enumerate(tables.ways)
        if (way.part, way.from_stage, way.name) == (part, stage, job)
    ]
    return found[0] if found else None


def all_at_once(tables: Tables) -> Taken:
    """Ways taken when every stop renews everything, at the times that cost least.

    Returns
    -------
    list of list of (int, int)
        For each part the ways it takes, each with its step.

    References
    ----------
    One machine renewed as a whole is a shortest path (Wagner and Whitin 1958).
    """
    renewing = [_renewing(tables, part) for part in range(tables.parts)]
    shared = tables.stop + tables.group.sum(axis=0)
    best: list[tuple[float, list[int], list[int]]] = [(0.0, [], [0] * tables.parts)]
    for step in range(tables.steps):
        ways = []
        for before, (cost, path, stages) in enumerate(best):
            moves = [renewing[part].get(stage) for part, stage in enumerate(stages)]
            own = sum(
                float(tables.wear[before, part, stages[part], step] + tables.ways[way].cost[step])
                for part, way in enumerate(moves)
                if way is not None
            )
            ways.append((cost + own + float(shared[step]), [*path, step]))
        cost, path = min(ways)
        best.append((cost, path, _stages_after(tables, renewing, len(path))))
    ends = [
        cost + sum(float(tables.end[entry, part, stage]) for part, stage in enumerate(stages))
        for entry, (cost, _, stages) in enumerate(best)
    ]
    return _renewed_at(tables, renewing, best[int(np.argmin(ends))][1])


def _renewing(tables: Tables, part: int) -> dict[int, int]:
    """By stage the way that renews a part: a tied job where there is one, else the dearest."""
    name, found = tables.instance.components[part].name, {}

    def weight(number: int) -> tuple[int, float]:
        way = tables.ways[number]
        tied = any((name, way.name) in (rule.a, rule.b) for rule in tables.instance.rules)
        return int(tied), float(_with_all(tables, (name, way.name)).sum())

    numbers = [number for number, way in enumerate(tables.ways) if way.part == part]
    for number in sorted(numbers, key=weight):
        found[tables.ways[number].from_stage] = number
    return found


def _stages_after(tables: Tables, renewing: list[dict[int, int]], times: int) -> list[int]:
    stages = [0] * tables.parts
    for _ in range(min(times, tables.wear.shape[2])):
        stages = [
            tables.ways[renewing[part][stage]].to_stage if stage in renewing[part] else stage
            for part, stage in enumerate(stages)
        ]
    return stages


def _renewed_at(tables: Tables, renewing: list[dict[int, int]], steps: list[int]) -> Taken:
    taken: Taken = [[] for _ in range(tables.parts)]
    for part, ways in enumerate(taken):
        stage = 0
        for step in steps:
            if stage in renewing[part]:
                ways.append((renewing[part][stage], step))
                stage = tables.ways[renewing[part][stage]].to_stage
    return taken
