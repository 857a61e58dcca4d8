"""A plan of stops: what is done when, what it costs, and how surely nothing cheaper exists.

See docs/reference/stop-instance.md and docs/explanation/stops.md.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pitchline.outlook.paths import FloatArray
from pitchline.stops.instance import StopInstance
from pitchline.stops.tables import Tables

PROVEN_WITHIN = 1e-7
"""A bound this near the cost, relative to it, counts as a proof."""
NEAR_BEST = 0.01
"""A stop's hours are told as a range within which the whole plan costs at most this share more."""
Taken = list[list[tuple[int, int]]]
"""For each part the ways it takes, each with its step, in order of time."""


@dataclass(frozen=True, slots=True)
class PlannedJob:
    """One job of a plan.

    Parameters
    ----------
    component : str
        The part.
    job : str
        What is done.
    step : int
        When, from 0.
    hour : float
        When, in service hours from now [h].
    """

    component: str
    job: str
    step: int
    hour: float


@dataclass(frozen=True, slots=True)
class StopRange:
    """One stop and how far it can be moved, with all its jobs, at hardly any loss.

    Parameters
    ----------
    step : int
        When it is planned, from 0.
    hour : float
        The same in service hours from now [h].
    earliest_h, latest_h : float
        Hours within which the plan costs at most 1 % more, the other stops kept [h].
    opened : tuple of str
        Groups opened at it.
    """

    step: int
    hour: float
    earliest_h: float
    latest_h: float
    opened: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StopPlan:
    """The cheapest plan found.

    Parameters
    ----------
    expected_cost : float
        Present cost: all payments less credits [money].
    lower_bound : float
        No plan costs less [money].
    stops : tuple of StopRange
        Its stops, in order of time; none when nothing pays.
    plan : tuple of PlannedJob
        Its jobs, by part, then by time.
    components : tuple of str
        All parts planned for, those without a job too.
    method : str
        How it was found: search or milp.
    """

    expected_cost: float
    lower_bound: float
    stops: tuple[StopRange, ...]
    plan: tuple[PlannedJob, ...]
    components: tuple[str, ...]
    method: str

    @property
    def proven(self) -> bool:
        """Whether nothing cheaper exists, to within one part in ten million."""
        return self.gap <= PROVEN_WITHIN

    @property
    def gap(self) -> float:
        """How much cheaper another plan could at most be, as a share of the cost [1]."""
        return max(0.0, self.expected_cost - self.lower_bound) / max(abs(self.expected_cost), 1e-9)

    @property
    def stop_steps(self) -> tuple[int, ...]:
        """Steps of the stops, rising."""
        return tuple(stop.step for stop in self.stops)

    def done(self) -> dict[str, tuple[tuple[str, int], ...]]:
        """Jobs by part, as `recost` takes them.

        Returns
        -------
        dict
            Name and step of each job, by part.
        """
        return {
            name: tuple((row.job, row.step) for row in self.plan if row.component == name)
            for name in self.components
        }


def plan_of(tables: Tables, taken: Taken, bound: float, method: str) -> StopPlan:
    """The plan that ways and steps make.

    Parameters
    ----------
    tables : Tables
        The instance in numbers.
    taken : list of list of (int, int)
        For each part the ways it takes, each with its step, in order of time.
    bound : float
        No plan costs less [money].
    method : str
        How it was found.

    Returns
    -------
    StopPlan
        With its cost added up anew from the tables.
    """
    instance = tables.instance
    steps = sorted({step for ways in taken for _, step in ways})
    opened = {step: _opened(tables, taken, step) for step in steps}
    parts = sum(_part_cost(tables, part, ways) for part, ways in enumerate(taken))
    shared = sum(float(tables.stop[step] + tables.group[list(opened[step]), step].sum()) for step in steps)
    cost = float(parts + shared)
    rows = tuple(
        PlannedJob(part.name, tables.ways[way].name, step, step * instance.step_h)
        for part, ways in zip(instance.components, taken, strict=True)
        for way, step in ways
    )
    stops = tuple(_range(instance, tables, taken, step, steps, opened[step], cost) for step in steps)
    names = tuple(part.name for part in instance.components)
    return StopPlan(cost, min(bound, cost), stops, rows, names, method)


def _opened(tables: Tables, taken: Taken, step: int) -> tuple[int, ...]:
    return tuple(
        sorted({group for ways in taken for way, at in ways if at == step for group in tables.ways[way].groups})
    )


def _part_cost(tables: Tables, part: int, ways: list[tuple[int, int]]) -> float:
    total, entry, stage = 0.0, 0, 0
    for way, step in ways:
        total += float(tables.wear[entry, part, stage, step] + tables.ways[way].cost[step])
        entry, stage = step + 1, tables.ways[way].to_stage
    return total + float(tables.end[entry, part, stage])


def _range(
    instance: StopInstance,
    tables: Tables,
    taken: Taken,
    step: int,
    steps: list[int],
    opened: tuple[int, ...],
    cost: float,
) -> StopRange:
    """How far one stop can move between its neighbours."""
    moved = tables.stop + tables.group[list(opened)].sum(axis=0)
    for part, ways in enumerate(taken):
        if any(at == step for _, at in ways):
            moved = moved + _moved_part(tables, part, ways, step)
    edges = [-1, *steps, instance.steps]
    before, after = next((a, b) for (a, m), (_, b) in pairwise(pairwise(edges)) if m == step)
    near = moved - moved[step] <= NEAR_BEST * abs(cost)
    early, late = step, step
    while early - 1 > before and near[early - 1]:
        early -= 1
    while late + 1 < after and near[late + 1]:
        late += 1
    hours = instance.step_h
    names = tuple(instance.groups[group].name for group in opened)
    return StopRange(step, step * hours, early * hours, late * hours, names)


def _moved_part(tables: Tables, part: int, ways: list[tuple[int, int]], step: int) -> FloatArray:
    """Cost of one part around its job at a stop, by the step that stop is moved to."""
    at = next(number for number, (_, when) in enumerate(ways) if when == step)
    way = tables.ways[ways[at][0]]
    entry = ways[at - 1][1] + 1 if at else 0
    cost = tables.wear[entry, part, way.from_stage] + way.cost
    if at + 1 < len(ways):
        return np.asarray(cost + tables.wear[1:, part, way.to_stage, ways[at + 1][1]])
    return np.asarray(cost + tables.end[1:, part, way.to_stage])
