"""One search for the cheapest plan, attempt by attempt: its prices, the best plan so far, and a neighbour to begin from.

See docs/explanation/stops.md.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.paths import FloatArray
from pitchline.stops.instance import StopInstance
from pitchline.stops.lockstep import in_lockstep
from pitchline.stops.options import MOST_OPTIONS, Options, options_of
from pitchline.stops.plan import StopPlan, Taken, plan_of
from pitchline.stops.polish import polished
from pitchline.stops.priced import Network, network_of
from pitchline.stops.prices import climb, coarse_prices
from pitchline.stops.search import SLACK, Chosen, Search, Searched
from pitchline.stops.tables import NEVER, Tables, tables_of
from pitchline.trade.errors import NotAllowedError, phrase


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard one attempt tries.

    Parameters
    ----------
    coarse : int
        Steps of a new coarse grid; 0 climbs on from the prices at hand.
    rounds : int
        Steps uphill, before and after the narrow search.
    width : int
        Beginnings the narrow search keeps.
    nodes : int
        Beginnings the full search opens at most.
    """

    coarse: int
    rounds: int
    width: int
    nodes: int


FROM_NOTHING = (Effort(20, 40, 30, 400), Effort(0, 150, 60, 4_000), Effort(40, 150, 100, 20_000))
"""The first attempts; the last is repeated with more of everything but the grid."""
FROM_A_NEIGHBOUR = (Effort(0, 10, 30, 400), Effort(0, 80, 60, 4_000), Effort(20, 150, 100, 20_000))
"""The same where a plan of nearly the same instance is known."""
OPEN, WIDTH = 0.003, 4
"""Share of the cost still open at which the steps are swept for a good plan, and how many beginnings are kept for each step."""
MORE = 4
"""How many times more nodes each attempt after these gets."""


@dataclass(frozen=True, slots=True)
class Neighbour:
    """What a solved instance lends to one that differs in a figure.

    Parameters
    ----------
    prices : ndarray, shape (prices, steps)
        Its last prices [money].
    chosen : tuple of (int, int)
        Step and option of each stop of its plan.
    """

    prices: FloatArray
    chosen: Chosen


class Solver:
    """The search for one instance, from nothing or from a neighbour.

    Parameters
    ----------
    instance : StopInstance
        What is planned for.
    near : Neighbour or None
        A solved instance with the same parts, jobs, rules and steps; None begins from nothing.
    """

    def __init__(self, instance: StopInstance, near: Neighbour | None = None) -> None:
        self.instance = instance
        smaller, self.members = in_lockstep(instance)
        self.tables = tables_of(smaller)
        self.options = options_of(self.tables)
        """None where there are too many ways to make a stop: then this search cannot be made."""
        self.network = network_of(self.tables)
        self.best = Searched(NEVER, -NEVER, (), 0)
        self.prices = np.zeros((len(self.network.free), self.tables.steps))
        self._efforts, self._number = FROM_NOTHING, 0
        if near is not None and near.prices.shape == self.prices.shape and self.options is not None:
            self.prices, self._efforts = near.prices, FROM_A_NEIGHBOUR
            self.best = Searched(self._cost(near.chosen), -NEVER, near.chosen, 0)

    @property
    def closed(self) -> bool:
        """Whether the best plan is proven the cheapest."""
        return self.best.bound >= self.best.cost

    @property
    def gap(self) -> float:
        """How much cheaper another plan could be, as a share of the best [1]."""
        return (self.best.cost - self.best.bound) / max(abs(self.best.cost), 1e-9)

    def neighbour(self) -> Neighbour:
        """What the next instance can begin from.

        Returns
        -------
        Neighbour
            Prices and stops as they are now.
        """
        return Neighbour(self.prices, self.best.chosen or ())

    @property
    def _ways(self) -> Options:
        """Ways to make a stop, where they are few enough."""
        if self.options is None:
            step = "Use --method milp."
            raise NotAllowedError(
                "rules",
                "too many",
                phrase("at most {most_options} ways to make a stop", most_options=MOST_OPTIONS),
                step,
            )
        return self.options

    def _cost(self, chosen: Chosen) -> float:
        taken = jobs_at(self.network, self._ways, chosen)
        return plan_of(self.tables, taken, -NEVER, "search").expected_cost

    def attempt(self, seconds_left: Callable[[], float] = lambda: math.inf) -> None:
        """Try once more, harder than before: prices, a quick plan, better prices, and the search for all that could be cheaper.

        Parameters
        ----------
        seconds_left : callable
            Gives the seconds that may still be used [s].
        """
        first, effort = self._number == 0, self._next_effort()

        def in_time(opened: int = 0) -> bool:
            return opened < effort.nodes and seconds_left() > 0

        target = self.best.cost
        if effort.coarse:
            coarse, about = coarse_prices(self.network, effort.coarse)
            self.prices, target = coarse, min(about, target)
        self.prices, priced = climb(self.network, self.prices, target, effort.rounds, in_time)
        self._keep(Search(self.network, self._ways, priced).run(self.best.cost, in_time, effort.width))
        if self.gap > OPEN:
            self._keep(Search(self.network, self._ways, priced).sweep(self.best.cost, WIDTH))
        if not (first or self.closed):
            self._polish(Search(self.network, self._ways, priced))
        self.prices, priced = climb(self.network, self.prices, self.best.cost, effort.rounds, in_time)
        self.best = replace(self.best, bound=min(max(self.best.bound, priced.bound), self.best.cost))
        if not self.closed:
            self._keep(Search(self.network, self._ways, priced).run(self.best.cost, in_time))

    def _polish(self, search: Search) -> None:
        """Small changes to the best set of stops."""
        chosen = self.best.chosen or ()
        near, cost = polished(search, chosen, self.best.cost, self.tables.steps, len(self._ways.variant))
        self._keep(Searched(min(cost, self.best.cost), self.best.bound, near, self.best.nodes))

    def _next_effort(self) -> Effort:
        last, over = self._efforts[-1], self._number - len(self._efforts) + 1
        self._number += 1
        if over <= 0:
            return self._efforts[self._number - 1]
        return Effort(0, last.rounds * 2**over, last.width * 2**over, last.nodes * MORE**over)

    def _keep(self, new: Searched) -> None:
        bound = max(self.best.bound, new.bound)
        chosen = new.chosen if new.chosen is not None else self.best.chosen
        self.best = Searched(new.cost, min(bound, new.cost), chosen, new.nodes)

    def plan(self) -> StopPlan:
        """The best plan so far, with its bound."""
        taken = jobs_at(self.network, self._ways, self.best.chosen or ())
        return self.told(taken, self.best.bound, "search")

    def told(self, taken: Taken, bound: float, method: str) -> StopPlan:
        """A plan of the smaller instance as one of the whole.

        Parameters
        ----------
        taken : list of list of (int, int)
            For each of its parts the ways it takes, each with its step.
        bound : float
            No plan costs less [money].
        method : str
            How it was found.

        Returns
        -------
        StopPlan
            Parts in step do the same jobs at the same steps.
        """
        if len(self.members) == len(self.instance.components):
            return plan_of(self.tables, taken, bound, method)
        whole = tables_of(self.instance)
        names = [part.name for part in self.instance.components]
        number = {(way.part, way.from_stage, way.name): at for at, way in enumerate(whole.ways)}
        spread: Taken = [[] for _ in names]
        for ways, same in zip(taken, self.members, strict=True):
            for name in same:
                part = names.index(name)
                spread[part] = [
                    (number[part, self.tables.ways[way].from_stage, self.tables.ways[way].name], step)
                    for way, step in ways
                ]
        return plan_of(whole, spread, bound, method)

    def bound_after(self, rounds: int) -> float:
        """A bound no plan goes below, after some steps uphill from the prices at hand.

        Parameters
        ----------
        rounds : int
            Steps, 0 or more.

        Returns
        -------
        float
            The bound [money].
        """
        self.prices, priced = climb(self.network, self.prices, self.best.cost, rounds)
        self.best = replace(self.best, bound=min(max(self.best.bound, priced.bound), self.best.cost))
        return self.best.bound

    def first_stop_stays(self, earliest: int, latest: int, rounds: int) -> bool:
        """Whether it is certain, without a search, that the first stop of the cheapest plan lies between two steps.

        Parameters
        ----------
        earliest, latest : int
            Steps, both included.
        rounds : int
            Steps uphill to try, 0 or more.

        Returns
        -------
        bool
            True where every plan with no stop, or with its first one elsewhere, costs more than the best known; False where
            that is not certain.
        """
        if self.options is None or not math.isfinite(self.best.cost) or self.best.cost >= NEVER:
            return False
        beyond = self.best.cost + SLACK * abs(self.best.cost)
        for tries in (0, rounds):
            self.prices, priced = climb(self.network, self.prices, self.best.cost, tries)
            if Search(self.network, self._ways, priced).least_elsewhere(earliest, latest) > beyond:
                return True
        return False


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
