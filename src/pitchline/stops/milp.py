"""The planning problem by a general solver: the yardstick, the check, and the way out for rules of any shape."""

from collections.abc import Callable
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from pitchline.outlook.paths import IntArray
from pitchline.stops.arcs import arc_model
from pitchline.stops.plan import Taken
from pitchline.stops.tables import Tables

GAP = 1e-8
HALF = 0.5
_LEAST_SECONDS, _MOST_SECONDS = 0.01, 1e9


def ways_by_milp(
    tables: Tables, seconds_left: Callable[[], float], steps: IntArray | None = None
) -> tuple[Taken, float]:
    """The same as ways and a bound.

    Parameters
    ----------
    tables : Tables
        The instance in numbers.
    seconds_left : callable
        Gives the seconds that may still be used [s], infinite for no limit.
    steps : ndarray of int, shape (k,), or None
        Steps at which a stop may be made; None for all.

    Returns
    -------
    taken : list of list of (int, int)
        For each part the ways it takes, each with its step.
    bound : float
        No plan costs less [money].

    References
    ----------
    HiGHS through scipy.optimize.milp.
    """
    model = arc_model(tables, steps)
    rows = [
        LinearConstraint(model.equal, model.right_equal, model.right_equal),
        LinearConstraint(model.below, -np.inf, 0.0),
    ]
    seconds = float(np.clip(seconds_left(), _LEAST_SECONDS, _MOST_SECONDS))
    options: Any = {"mip_rel_gap": GAP, "time_limit": seconds}
    bounds = Bounds(0, 1)
    solved = milp(model.cost, integrality=model.whole, bounds=bounds, constraints=rows, options=options)
    bound = solved.mip_dual_bound if solved.mip_dual_bound is not None else -np.inf
    taken: Taken = [[] for _ in range(tables.parts)]
    if solved.x is not None:
        k = len(model.steps)
        jobs = solved.x[model.first_job : model.first_job + k * len(tables.ways)].reshape(-1, k) > HALF
        for at, way in sorted(zip(*reversed(np.nonzero(jobs)), strict=True)):
            taken[tables.ways[way].part].append((int(way), int(model.steps[at])))
    return taken, float(bound)
