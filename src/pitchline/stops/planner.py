"""From an instance to the cheapest plan, with its proof."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import count

import numpy as np

from pitchline.outlook.paths import FloatArray
from pitchline.stops.instance import StopInstance
from pitchline.stops.milp import plan_by_milp
from pitchline.stops.options import Options, options_of
from pitchline.stops.plan import StopPlan, Taken, plan_of
from pitchline.stops.priced import Network, network_of
from pitchline.stops.prices import climb, coarse_prices
from pitchline.stops.search import Chosen, Found, Search
from pitchline.stops.tables import NEVER, Tables, tables_of
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

    References
    ----------
    Definition.
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

    References
    ----------
    Our own; see docs/explanation/stops.md.

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
    tables = tables_of(instance)
    options = options_of(tables) if method == "auto" else None
    if options is None:
        return plan_by_milp(tables, seconds_left)
    plan = _plan_by_search(tables, options, seconds_left, min(attempts or FIRST_ATTEMPTS, FIRST_ATTEMPTS))
    if plan.proven or (attempts is not None and attempts <= FIRST_ATTEMPTS) or seconds_left() <= 0:
        return plan
    if plan.gap > FAR_OPEN:
        half = seconds_left() / 2 if math.isfinite(seconds_left()) else 0.0
        plan = better(plan, plan_by_milp(tables, lambda: seconds_left() - half))
        if plan.proven:
            return plan
    return better(plan, _plan_by_search(tables, options, seconds_left, attempts))


def better(one: StopPlan, other: StopPlan) -> StopPlan:
    """The cheaper of two plans of one instance, with the better bound of both.

    Parameters
    ----------
    one, other : StopPlan
        The plans.

    Returns
    -------
    StopPlan
        The first where they cost the same.

    References
    ----------
    Definition.
    """
    bound, cheaper = (
        max(one.lower_bound, other.lower_bound),
        min((one, other), key=lambda plan: plan.expected_cost),
    )
    return replace(cheaper, lower_bound=min(bound, cheaper.expected_cost))


@dataclass(frozen=True, slots=True)
class _Effort:
    """How hard one attempt tries: steps of a new coarse grid (0 climbs on), steps uphill, width of the beam, nodes."""

    coarse: int
    rounds: int
    width: int
    nodes: int


EFFORTS = (_Effort(20, 40, 30, 400), _Effort(0, 150, 60, 4_000), _Effort(40, 150, 100, 20_000))
"""The first attempts; the last is repeated with more of everything but the grid."""
MORE = 4
"""How many times more nodes each attempt after these gets."""


def _plan_by_search(
    tables: Tables, options: Options, seconds_left: Callable[[], float], attempts: int | None
) -> StopPlan:
    network = network_of(tables)
    prices = np.zeros((len(network.free), tables.steps))
    best, effort = Found(NEVER, -NEVER, (), 0), EFFORTS[0]
    for number in count():
        best, prices = _attempt(network, options, effort, best, prices, seconds_left)
        if best.bound >= best.cost or seconds_left() <= 0 or number + 1 == attempts:
            break
        again = replace(
            effort, coarse=0, rounds=2 * effort.rounds, width=2 * effort.width, nodes=MORE * effort.nodes
        )
        effort = EFFORTS[number + 1] if number + 1 < len(EFFORTS) else again
    return plan_of(tables, jobs_at(network, options, best.chosen or ()), best.bound, "search")


def _attempt(
    network: Network,
    options: Options,
    effort: _Effort,
    best: Found,
    prices: FloatArray,
    seconds_left: Callable[[], float],
) -> tuple[Found, FloatArray]:
    """Prices, a quick plan, better prices, and the search for all that could be cheaper."""

    def in_time(nodes: int = 0) -> bool:
        return nodes < effort.nodes and seconds_left() > 0

    target = best.cost
    if effort.coarse:
        prices, about = coarse_prices(network, effort.coarse)
        target = min(about, target)
    prices, priced = climb(network, prices, target, effort.rounds, in_time)
    best = _better(best, Search(network, options, priced).run(best.cost, in_time, effort.width))
    prices, priced = climb(network, prices, best.cost, effort.rounds, in_time)
    best = replace(best, bound=max(best.bound, priced.bound))
    return _better(best, Search(network, options, priced).run(best.cost, in_time)), prices


def _better(old: Found, new: Found) -> Found:
    bound = max(old.bound, new.bound)
    return Found(new.cost, min(bound, new.cost), new.chosen if new.chosen is not None else old.chosen, new.nodes)


def jobs_at(network: Network, options: Options, chosen: Chosen) -> Taken:
    """The cheapest jobs when stops, openings and tied jobs are settled: a shortest path for each part.

    Parameters
    ----------
    network : Network
        The instance.
    options : Options
        Ways to make a stop.
    chosen : tuple of (int, int)
        Step and option of each stop, in order of time.

    Returns
    -------
    list of list of (int, int)
        For each part the ways it takes, each with its step.

    References
    ----------
    Dynamic programming.
    """
    return [_path(network.tables, options, chosen, part) for part in range(network.tables.parts)]


def _path(tables: Tables, options: Options, chosen: Chosen, part: int) -> list[tuple[int, int]]:
    held: dict[tuple[int, int], tuple[float, list[tuple[int, int]]]] = {(0, 0): (0.0, [])}
    for step, option in chosen:
        variant = options.variant[option, part]
        fresh: dict[tuple[int, int], tuple[float, list[tuple[int, int]]]] = {}
        for (stage, entry), (cost, path) in held.items():
            for way in options.ways[variant]:
                taken = tables.ways[way]
                if taken.from_stage == stage:
                    new = cost + float(tables.wear[entry, part, stage, step] + taken.cost[step])
                    at = (taken.to_stage, step + 1)
                    if at not in fresh or new < fresh[at][0]:
                        fresh[at] = (new, [*path, (way, step)])
        held = fresh if options.forced[variant] else held | fresh
    ends = [cost + float(tables.end[entry, part, stage]) for (stage, entry), (cost, _) in held.items()]
    return list(held.values())[ends.index(min(ends))][1]
