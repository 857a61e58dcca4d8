"""The whole planning problem as a mixed-integer model: one unit of flow for each part over the arcs of its stages."""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array, csr_array

from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.stops.instance import RuleKind
from pitchline.stops.tables import NEVER, Tables, ways_named

RULE = -2
"""Stands for the part in the rows of rules."""


@dataclass(frozen=True, slots=True)
class ArcModel:
    """Minimise cost @ z with equal @ z = right_equal, below @ z <= 0 and z zero or more.

    Parameters
    ----------
    cost : ndarray, shape (n,)
        Cost of each variable [money].
    whole : ndarray of int, shape (n,)
        1 for variables that must be whole: stops, openings, jobs.
    equal : csr_array, shape (rows, n)
        Flow and same-time rows.
    right_equal : ndarray, shape (rows,)
        Their right side [1].
    below : csr_array, shape (rows, n)
        Jobs need stops and openings, openings need stops, A needs B.
    owner : ndarray of int, shape (rows, 3)
        For each row of `below`: part, group (-1 for the stop itself) and place of the step; part -1 for openings, RULE for rules.
    steps : ndarray of int, shape (k,)
        Steps at which a stop may be made.
    first_job : int
        Place of the first job variable; jobs stand by way, then by step.

    References
    ----------
    Our own arrangement of a time-indexed network; see docs/explanation/stops.md.
    """

    cost: FloatArray
    whole: IntArray
    equal: csr_array
    right_equal: FloatArray
    below: csr_array
    owner: IntArray
    steps: IntArray
    first_job: int


class _Rows:
    """Rows of a sparse matrix being gathered."""

    def __init__(self) -> None:
        self.count = 0
        self.parts: list[tuple[IntArray, IntArray, FloatArray]] = []

    def entries(self, rows: IntArray, columns: IntArray, factor: float) -> None:
        self.parts.append((rows, columns, np.full(len(rows), factor)))

    def new(self, count: int) -> IntArray:
        self.count += count
        return np.arange(self.count - count, self.count)

    def matrix(self, columns: int) -> csr_array:
        rows, places, factors = (np.concatenate(piece) for piece in zip(*self.parts, strict=True))
        return csr_array(coo_array((factors, (rows, places)), shape=(self.count, columns)))


def arc_model(tables: Tables, steps: IntArray | None = None) -> ArcModel:
    """The model over some or all steps.

    Parameters
    ----------
    tables : Tables
        The instance in numbers.
    steps : ndarray of int, shape (k,), or None
        Steps at which a stop may be made, rising; None for all.

    References
    ----------
    Our own arrangement of a time-indexed network; see docs/explanation/stops.md.
    """
    steps = np.arange(tables.steps) if steps is None else steps
    k, groups, ways = len(steps), len(tables.group), len(tables.ways)
    first_job = k * (1 + groups)
    job = first_job + np.arange(ways * k).reshape(ways, k)
    costs = [tables.stop[steps], *tables.group[:, steps], *(way.cost[steps] for way in tables.ways)]
    equal, right = _Rows(), []
    place = first_job + ways * k
    for part in range(tables.parts):
        for stage in range(tables.wear.shape[2]):
            arcs, rights = _stage_flow(tables, (part, stage), steps, job, place, equal)
            costs.append(arcs)
            right.append(rights)
            place += len(arcs)
    below, owner = _coupling(tables, k, job)
    _rules(tables, job, equal, right, below, owner)
    cost = np.concatenate(costs)
    whole = (np.arange(place) < first_job + ways * k).astype(np.int64)
    matrix = below.matrix(place)
    return ArcModel(
        cost, whole, equal.matrix(place), np.concatenate(right), matrix, np.concatenate(owner), steps, first_job
    )


def _stage_flow(
    tables: Tables, at: tuple[int, int], steps: IntArray, job: IntArray, place: int, rows: _Rows
) -> tuple[FloatArray, FloatArray]:
    """Arcs of one stage with their balance rows; gives their costs and the rows' right sides."""
    part, stage = at
    entries = np.concatenate(([0], steps + 1))
    cost = np.column_stack((tables.wear[entries, part, stage][:, steps], tables.end[entries, part, stage]))
    entry, leave = np.nonzero(cost < NEVER / 2)
    if len(entry) == 0:
        return np.zeros(0), np.zeros(0)
    column = place + np.arange(len(entry))
    into = [number for number, way in enumerate(tables.ways) if (way.part, way.to_stage) == at]
    out = [number for number, way in enumerate(tables.ways) if (way.part, way.from_stage) == at]
    balance = rows.new(len(steps) + 1)
    rows.entries(balance[entry], column, 1.0)
    for way in into:
        rows.entries(balance[1:], job[way], -1.0)
    left = rows.new(len(steps))
    stays = leave < len(steps)
    rows.entries(left[leave[stays]], column[stays], 1.0)
    for way in out:
        rows.entries(left, job[way], -1.0)
    right = np.zeros(2 * len(steps) + 1)
    right[0] = float(stage == 0)
    return cost[entry, leave], right


def _coupling(tables: Tables, k: int, job: IntArray) -> tuple[_Rows, list[IntArray]]:
    """A job needs its groups opened, or a stop where it opens none; an opening needs a stop."""
    rows, owner = _Rows(), []
    for part in range(tables.parts):
        for group in range(-1, len(tables.group)):
            uses = [
                number
                for number, way in enumerate(tables.ways)
                if way.part == part and (group in way.groups or (group < 0 and not way.groups))
            ]
            if not uses:
                continue
            new = rows.new(k)
            for way in uses:
                rows.entries(new, job[way], 1.0)
            rows.entries(new, (1 + group) * k + np.arange(k), -1.0)
            owner.append(np.column_stack((np.full(k, part), np.full(k, group), np.arange(k))))
    for group in range(len(tables.group)):
        new = rows.new(k)
        rows.entries(new, (1 + group) * k + np.arange(k), 1.0)
        rows.entries(new, np.arange(k), -1.0)
        owner.append(np.column_stack((np.full(k, -1), np.full(k, group), np.arange(k))))
    if not rows.count:
        rows.new(1)
        rows.entries(np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64), -1.0)
        owner.append(np.array([[-1, -1, 0]]))
    return rows, owner


def _rules(
    tables: Tables, job: IntArray, equal: _Rows, right: list[FloatArray], below: _Rows, owner: list[IntArray]
) -> None:
    """Rows of what must go together."""
    k = job.shape[1]
    for number, rule in enumerate(tables.instance.rules):
        same = rule.kind is RuleKind.SAME_TIME
        rows = equal if same else below
        new = rows.new(k)
        for side, factor in ((rule.a, 1.0), (rule.b, -1.0)):
            for way in ways_named(tables, side):
                rows.entries(new, job[way], factor)
        if same:
            right.append(np.zeros(k))
        else:
            owner.append(np.column_stack((np.full(k, RULE), np.full(k, number), np.arange(k))))
