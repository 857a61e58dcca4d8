"""An instance as discounted tables: what it costs to stay in a stage from one step to another, and what each way costs.

Entries are numbered 0 for the start of planning and t + 1 for a stage entered at step t.

See docs/reference/stop-instance.md.
"""

from dataclasses import dataclass

import numpy as np

from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.stops.instance import Component, StopInstance

NEVER = 1e18
"""Stands for infinite cost; finite, so that sums of products stay numbers."""


@dataclass(frozen=True, slots=True)
class Way:
    """A job from one stage of one part to another.

    Parameters
    ----------
    part, from_stage, to_stage : int
        Where, from 0.
    name : str
        The job's word.
    groups : tuple of int
        Groups it opens, by number.
    cost : ndarray, shape (steps,)
        Discounted cost at each step [money].
    """

    part: int
    from_stage: int
    to_stage: int
    name: str
    groups: tuple[int, ...]
    cost: FloatArray


@dataclass(frozen=True, slots=True)
class Tables:
    """An instance in numbers.

    Parameters
    ----------
    instance : StopInstance
        Where they are from.
    wear : ndarray, shape (steps + 1, parts, stages, steps)
        Discounted penalty from entry to the step a stage is left [money]; NEVER where it cannot be.
    end : ndarray, shape (steps + 1, parts, stages)
        Discounted penalty from entry to the sale less credit [money]; NEVER where it cannot be.
    ways : tuple of Way
        All jobs of all parts.
    stop : ndarray, shape (steps,)
        Discounted stop cost [money].
    group : ndarray, shape (groups, steps)
        Discounted cost of opening [money].

    References
    ----------
    Arc costs from prefix sums over a stage's age: our own, see docs/explanation/stops.md.
    """

    instance: StopInstance
    wear: FloatArray
    end: FloatArray
    ways: tuple[Way, ...]
    stop: FloatArray
    group: FloatArray

    @property
    def steps(self) -> int:
        """Steps of the horizon."""
        return len(self.stop)

    @property
    def parts(self) -> int:
        """Number of parts."""
        return int(self.wear.shape[1])


def _stage_tables(instance: StopInstance, part: Component, stage: int) -> tuple[FloatArray, FloatArray]:
    """Penalties by entry and leaving step, and to the sale, of one stage."""
    steps, rho = instance.steps, instance.step_discount
    held = part.stages[stage]
    paid = np.concatenate(([0.0], np.cumsum(rho ** np.arange(1, steps + 1) * np.array(held.penalty_by_step))))
    entered = np.concatenate(([0], np.arange(steps)))
    age = np.arange(steps)[None, :] - entered[:, None]
    wear = rho ** entered[:, None] * paid[np.maximum(age, 0)]
    wear[1:][age[1:] <= 0] = NEVER
    credit = np.array(held.end_credit_by_age)[steps - entered] * rho**steps
    end = rho**entered * paid[steps - entered] - credit
    if stage > 0:
        wear[0], end[0] = NEVER, NEVER
    if all(job.to_stage != stage for job in part.jobs):
        wear[1:], end[1:] = NEVER, NEVER
    return wear, end


def tables_of(instance: StopInstance) -> Tables:
    """The tables of an instance.

    Returns
    -------
    Tables
        Parts with fewer stages than others have stages that cannot be entered.
    """
    steps, parts = instance.steps, len(instance.components)
    most = max(len(part.stages) for part in instance.components)
    wear = np.full((steps + 1, parts, most, steps), NEVER)
    end = np.full((steps + 1, parts, most), NEVER)
    worth = instance.step_discount ** np.arange(steps)
    number = {group.name: index for index, group in enumerate(instance.groups)}
    ways = []
    for index, part in enumerate(instance.components):
        for stage in range(len(part.stages)):
            wear[:, index, stage], end[:, index, stage] = _stage_tables(instance, part, stage)
        for job in part.jobs:
            groups = tuple(number[name] for name in job.groups)
            cost = np.array(job.cost) * worth
            ways.append(Way(index, job.from_stage, job.to_stage, job.name, groups, cost))
    group = np.array([group.cost for group in instance.groups]).reshape(-1, steps) * worth
    return Tables(instance, wear, end, tuple(ways), np.array(instance.stop_cost) * worth, group)


def ways_named(tables: Tables, job: tuple[str, str]) -> IntArray:
    """Numbers of the ways a rule speaks of.

    Returns
    -------
    ndarray of int, shape (ways,)
        Places in the tables' list, from 0.
    """
    names = [part.name for part in tables.instance.components]
    found = [number for number, way in enumerate(tables.ways) if (names[way.part], way.name) == job]
    return np.array(found, dtype=np.int64)
