"""From an instance to the cheapest plan, with its proof.

See docs/explanation/stops.md.
"""

import math
from collections.abc import Callable
from dataclasses import replace

from pitchline.stops.instance import StopInstance
from pitchline.stops.milp import ways_by_milp
from pitchline.stops.plan import StopPlan
from pitchline.stops.solver import Solver
from pitchline.trade.errors import NotAllowedError

METHODS = ("auto", "milp")
FIRST_ATTEMPTS, FAR_OPEN = 2, 0.02
"""Attempts after which the general solver is asked once, where the gap is still wider than this share: our own choice."""


def no_limit() -> float:
    """Seconds left when there is no limit.

    Returns
    -------
    float
        Infinity [s].
    """
    return math.inf


def plan_stops(
    instance: StopInstance,
    method: str = "auto",
    seconds_left: Callable[[], float] = no_limit,
    attempts: int | None = None,
) -> StopPlan:
    """The plan of least expected cost, and a bound no plan can go below.

    Parameters
    ----------
    instance : StopInstance
        What is planned for.
    method : str
        "auto" for our own search, and the general solver too where that is far from closing; "milp" for the latter alone.
    seconds_left : callable
        Gives the seconds that may still be used [s]. The core has no clock, so the caller brings one.
    attempts : int or None
        Most attempts of our own search, each trying harder, from 1; None goes on until the proof closes or time runs out.

    Returns
    -------
    StopPlan
        The same for the same instance whenever the proof closes; when time runs out, the best so far with its bound.

    Raises
    ------
    NotAllowedError
        The method is not known.

    Examples
    --------
    >>> from pitchline.stops.instance import Component, Stage, StageJob
    >>> current = Stage("current", (0, 0.1, 0.5, 1), (0, 5, 9), (0, 0, 0, 0))
    >>> new = Stage("new", (0, 0, 0, 0.1), (0, 0, 1), (0, 0, 0, 0))
    >>> roller = Component("roller", (current, new), (StageJob("replace", 0, 1, (6, 6, 6)),))
    >>> plan_stops(StopInstance("tiny", 3, 500, 2000, 0.0, (2, 2, 2), (), (roller,), ())).stop_steps
    (1,)
    """
    if method not in METHODS:
        raise NotAllowedError("method", method, " or ".join(METHODS), "Choose one of these.")
    solver = Solver(instance)
    if solver.options is None or method == "milp":
        return _by_milp(solver, seconds_left)
    other, number = None, 0
    while True:
        solver.attempt(seconds_left)
        number += 1
        if solver.closed or seconds_left() <= 0 or number == attempts:
            break
        if number == FIRST_ATTEMPTS and solver.gap > FAR_OPEN:
            other = _by_milp(solver, _first_half(seconds_left))
            if other.proven:
                break
    return solver.plan() if other is None else better(solver.plan(), other)


def _first_half(seconds_left: Callable[[], float]) -> Callable[[], float]:
    """Half of the seconds left."""
    half = seconds_left() / 2 if math.isfinite(seconds_left()) else 0.0
    return lambda: seconds_left() - half


def _by_milp(solver: Solver, seconds_left: Callable[[], float]) -> StopPlan:
    """The general solver's plan, of the whole instance."""
    taken, bound = ways_by_milp(solver.tables, seconds_left)
    return solver.told(taken, bound, "milp")


def better(one: StopPlan, other: StopPlan) -> StopPlan:
    """The cheaper of two plans of one instance, with the better bound of both.

    Returns
    -------
    StopPlan
        The first where they cost the same.
    """
    bound, cheaper = (
        max(one.lower_bound, other.lower_bound),
        min((one, other), key=lambda plan: plan.expected_cost),
    )
    return replace(cheaper, lower_bound=min(bound, cheaper.expected_cost))
