"""All sets of stops that could still be best, grown stop by stop and bounded by the priced problem from there on.

A node is a beginning of a plan: its stops so far with what each opens and which tied jobs are done. What went before costs
exactly what it costs; what comes after is bounded by the relaxed problem. Best bound first, so the least bound left over
is a proven bound of the whole.

See docs/explanation/stops.md.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from pitchline.outlook.paths import BoolArray, FloatArray, IntArray
from pitchline.stops.moves import Moves
from pitchline.stops.options import Options
from pitchline.stops.priced import Network, Priced
from pitchline.stops.tables import NEVER

Chosen = tuple[tuple[int, int], ...]
"""Stops of a plan: step and option of each."""
BATCH = 64
"""Nodes grown at once: enough that numpy's own time is small beside the work, few enough that the best bound stays the best."""
MOST_WAITING = 400_000
"""Nodes waiting from which a search ends with the bound it has: about 13 MB of columns."""
SLACK = 1e-9
"""A plan has to be cheaper by this share to be worth looking for."""


@dataclass(frozen=True, slots=True)
class Onward:
    """Tables for bounding what comes after a step.

    Parameters
    ----------
    stay : ndarray, shape (steps + 1, places, steps)
        Cheapest priced cost from entry and place with nothing done at or before a step [money].
    relief : ndarray, shape (steps,)
        Relief of all later steps together [money].
    """

    stay: FloatArray
    relief: FloatArray


def onward_from(network: Network, priced: Priced) -> Onward:
    """The tables at given prices."""
    # From the last step back: the cheapest way on of a part that does nothing at or before a step is that of the step after, or
    # to leave just there. One pass gives it for every entry, place and step.
    stay = np.empty_like(network.wear_from)
    current = network.end.copy()
    for step in range(stay.shape[2] - 1, -1, -1):
        stay[:, :, step] = current
        np.minimum(current, network.wear[step] + priced.leave[step], out=current)
    later = np.concatenate((np.cumsum(priced.relief[::-1])[::-1][1:], [0.0]))
    return Onward(stay, later)


@dataclass(slots=True)
class _Pool:
    """Nodes waiting, as columns that grow together."""

    bound: FloatArray = field(default_factory=lambda: np.zeros(0))
    parent: IntArray = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    option: IntArray = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    step: IntArray = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    def add(self, bound: FloatArray, parent: IntArray, option: IntArray, step: IntArray) -> None:
        self.bound = np.concatenate((self.bound, bound))
        self.parent = np.concatenate((self.parent, parent))
        self.option = np.concatenate((self.option, option))
        self.step = np.concatenate((self.step, step))

    def keep(self, which: BoolArray | IntArray) -> None:
        self.bound, self.parent = self.bound[which], self.parent[which]
        self.option, self.step = self.option[which], self.step[which]

    def least(self) -> float:
        """The least bound of the nodes waiting."""
        return float(self.bound.min()) if len(self.bound) else NEVER

    def narrow(self, width: int | None) -> float:
        """Give up all but the best nodes; gives the least bound given up."""
        if width is None or len(self.bound) <= width:
            return NEVER
        order = np.argpartition(self.bound, width - 1)
        given_up = float(self.bound[order[width:]].min())
        self.keep(np.sort(order[:width]))
        return given_up

    def take(self, count: int) -> tuple[IntArray, IntArray, IntArray]:
        """The nodes of least bound, taken out."""
        if len(self.bound) > count:
            order = np.argpartition(self.bound, count - 1)
            best, rest = np.sort(order[:count]), np.sort(order[count:])
        else:
            best, rest = np.arange(len(self.bound)), np.zeros(0, dtype=np.int64)
        taken = self.parent[best], self.option[best], self.step[best]
        self.keep(rest)
        return taken


@dataclass(frozen=True, slots=True)
class Node:
    """A beginning of a plan.

    Parameters
    ----------
    cost : ndarray, shape (states,)
        What a part has paid to be where it may be [money].
    entry, place : ndarray of int, shape (states,)
        Where: the entry (0 for the start, t + 1 for step t) and the place; in order of place.
    spent : float
        Paid for stops and openings [money].
    parent, option, step : int
        The node it grew from, and its last stop; -1 for the root.
    """

    cost: FloatArray
    entry: IntArray
    place: IntArray
    spent: float
    parent: int
    option: int
    step: int


@dataclass(frozen=True, slots=True)
class Searched:
    """What a search gives.

    Parameters
    ----------
    cost : float
        Cost of the best plan known, the one handed in where no better was found [money].
    bound : float
        No plan costs less [money].
    chosen : tuple of (int, int) or None
        Stops of the plan found, with the option of each; None where none beats what was handed in.
    nodes : int
        Nodes looked at.
    """

    cost: float
    bound: float
    chosen: Chosen | None
    nodes: int


class Search:
    """One search at given prices.

    Parameters
    ----------
    network : Network
        The instance.
    options : Options
        Ways to make a stop.
    priced : Priced
        The relaxed problem whose prices bound what comes after.

    References
    ----------
    Branch and bound over beginnings with a Lagrangian bound of the rest: our own; see docs/explanation/stops.md.
    """

    def __init__(self, network: Network, options: Options, priced: Priced) -> None:
        self.network, self.options, self.priced = network, options, priced
        self.onward = onward_from(network, priced)
        self.moves = Moves(network, options)
        start = network.start
        self._held = [Node(np.zeros(len(start)), np.zeros_like(start), start, 0.0, -1, -1, -1)]

    @property
    def nodes(self) -> int:
        """Nodes looked at or about to be."""
        return len(self._held)

    def run(self, cutoff: float, keep_going: Callable[[int], bool], width: int | None = None) -> Searched:
        """The best plan below a cutoff, and a bound of all plans.

        Parameters
        ----------
        cutoff : float
            Cost of the best plan known [money]; only cheaper ones are looked for.
        keep_going : callable
            Given the nodes so far, whether to go on.
        width : int or None
            Keep no more than so many nodes waiting and give up the rest; None keeps all.

        Returns
        -------
        Searched
            Proven where its bound equals its cost.
        """
        best, chosen, given_up, pool = cutoff, None, NEVER, _Pool()
        batch = [0]
        while True:
            costs, bounds = self._looked_at(batch)
            least = int(costs.argmin())
            if costs[least] < best:
                best, chosen = float(costs[least]), self._stops(batch[least])
                pool.keep(pool.bound < best)
            # A child that cannot beat the best known by more than rounding is never made: only its bound was computed.
            at = np.nonzero(bounds < best - SLACK * abs(best))
            pool.add(bounds[at], np.array(batch)[at[0]], at[1], at[2])
            given_up = min(given_up, pool.narrow(width))
            # What was given up, and what still waits, bounds what is not known: so an end before time proves something, too.
            if not len(pool.bound) or not keep_going(self.nodes) or len(pool.bound) > MOST_WAITING:
                break
            batch = self._opened(*pool.take(width or BATCH), best)
        return Searched(best, min(best, given_up, pool.least()), chosen, self.nodes)

    def costs_of(self, sets: list[Chosen]) -> FloatArray:
        """What several settled sets of stops cost, all looked at together.

        Parameters
        ----------
        sets : list of tuple of (int, int)
            Step and option of each stop, in order of time.

        Returns
        -------
        ndarray, shape (sets,)
            Costs [money]; each part takes its cheapest path through the stops.

        References
        ----------
        Dynamic programming.
        """
        kept = len(self._held)
        at = [0] * len(sets)
        for level in range(max((len(one) for one in sets), default=0)):
            going = [number for number, one in enumerate(sets) if len(one) > level]
            parents = np.array([at[number] for number in going])
            steps, options = (np.array([sets[number][level][which] for number in going]) for which in (0, 1))
            for number, node in zip(going, self._opened(parents, options, steps, NEVER), strict=True):
                at[number] = node
        costs = self._ended(at)
        del self._held[kept:]
        return costs

    def _ended(self, numbers: list[int]) -> FloatArray:
        """Cost of stopping no more after each node."""
        states = self._gathered(numbers)
        ended = states.least(states.cost + self.network.end[states.entry, states.place])
        spent = np.array([self._held[number].spent for number in numbers])
        return np.asarray(spent + np.minimum.reduceat(ended, self.moves.first, axis=1).sum(axis=1))

    def least_elsewhere(self, earliest: int, latest: int) -> float:
        """A bound of all plans with no stop, or with their first one outside two steps.

        Returns
        -------
        float
            None of these plans costs less [money].
        """
        costs, bounds = self._looked_at([0])
        outside = np.arange(bounds.shape[2])
        there = (outside < earliest) | (outside > latest)
        return min(float(costs[0]), float(bounds[0][:, there].min(initial=NEVER)))

    def sweep(self, cutoff: float, width: int) -> Searched:
        """A good plan quickly: beginnings are grown from the first step to the last, a few for each step of their last stop.

        Parameters
        ----------
        cutoff : float
            Cost of the best plan known [money]; only cheaper ones are looked for.
        width : int
            Beginnings kept for each step, from 1.

        References
        ----------
        Beam search by time, so that only beginnings that reach equally far are weighed against each other: our own.
        """
        best, chosen = cutoff, None
        waiting: list[_Pool] = [_Pool() for _ in range(self.network.cost.shape[1])]
        batch = [0]
        for step in range(-1, len(waiting)):
            if step >= 0:
                waiting[step].keep(waiting[step].bound < best)
                waiting[step].narrow(width)
                batch = self._opened(*waiting[step].take(width), best) if len(waiting[step].bound) else []
            if not batch:
                continue
            costs, bounds = self._looked_at(batch)
            least = int(costs.argmin())
            if costs[least] < best:
                best, chosen = float(costs[least]), self._stops(batch[least])
            # A few for each step of the last stop: by bound alone, beginnings that reach less far mostly look cheaper.
            for later in range(step + 1, len(waiting)):
                at = np.nonzero(bounds[:, :, later] < best - SLACK * abs(best))
                bound = bounds[at[0], at[1], later]
                if len(bound) > width:
                    keep = np.argpartition(bound, width - 1)[:width]
                    at, bound = (at[0][keep], at[1][keep]), bound[keep]
                waiting[later].add(bound, np.array(batch)[at[0]], at[1], np.full(len(bound), later))
        return Searched(best, -NEVER, chosen, self.nodes)

    def _stops(self, number: int) -> Chosen:
        found = []
        while number > 0:
            node = self._held[number]
            found.append((node.step, node.option))
            number = node.parent
        return tuple(reversed(found))

    def _gathered(self, numbers: list[int]) -> "_States":
        held = [self._held[number] for number in numbers]
        owner = np.repeat(np.arange(len(held)), [len(node.cost) for node in held])
        cost, entry, place = (
            np.concatenate(piece)
            for piece in zip(*((node.cost, node.entry, node.place) for node in held), strict=True)
        )
        return _States(owner, cost, entry, place, len(held), len(self.network.place))

    def _looked_at(self, numbers: list[int]) -> tuple[FloatArray, FloatArray]:
        """Cost of stopping no more after each node, and the bounds of one more stop, by node, option and step."""
        states = self._gathered(numbers)
        spent = np.array([self._held[number].spent for number in numbers])
        last = np.array([self._held[number].step for number in numbers])
        ended = states.least(states.cost + self.network.end[states.entry, states.place])
        total = spent + np.minimum.reduceat(ended, self.moves.first, axis=1).sum(axis=1)
        start, steps = int(last.min()) + 1, self.network.cost.shape[1]
        bound = np.full((len(numbers), len(self.options.variant), steps), NEVER)
        if start >= steps:
            return total, bound
        late = slice(start, steps)
        arrive, stay = (
            states.least(states.cost[:, None] + table[states.entry, states.place, late])
            for table in (self.network.wear_from, self.onward.stay)
        )
        # The bound of one more stop at a step. Prices put what parts share on each of them, so every part goes its own cheapest
        # way: it arrives and does a job of this option, or stays and does something later. Their sum, with what later stops
        # would earn at these prices, is at most what any plan costs: the Lagrangian bound (Fisher, Manag. Sci. 27 (1981) 1,
        # reprinted 50 (2004) 1861, doi:10.1287/mnsc.1040.0263).
        onward = self.network.cost[:, late] + self.priced.entered[late].T[self.moves.to]
        each = self.moves.each(arrive, np.minimum.reduceat(stay, self.moves.first, axis=1), onward)
        shared = self.options.cost[:, late] + self.onward.relief[late]
        bound[:, :, late] = self.moves.sum_of @ each + spent[:, None, None] + shared
        bound[np.broadcast_to(np.arange(steps) <= last[:, None, None], bound.shape)] = NEVER
        return total, bound

    def _opened(self, parents: IntArray, option: IntArray, step: IntArray, best: float) -> list[int]:
        """New nodes, each its parent with one more stop."""
        old = self._gathered(parents.tolist())
        arrive = old.least(old.cost + self.network.wear_from[old.entry, old.place, step[old.owner]])
        fresh = self.moves.fresh(arrive, option, step)
        states = old.joined(fresh, step, ~self.moves.dropped[option[old.owner], old.place])
        spent = (
            np.array([self._held[parent].spent for parent in parents.tolist()]) + self.options.cost[option, step]
        )
        states = self._worth_keeping(states, spent, step, best)
        first, edges = len(self._held), np.searchsorted(states.owner, np.arange(len(parents) + 1))
        for number, parent in enumerate(parents.tolist()):
            own = slice(edges[number], edges[number + 1])
            came = parent, int(option[number]), int(step[number])
            self._held.append(
                Node(states.cost[own], states.entry[own], states.place[own], float(spent[number]), *came)
            )
        return list(range(first, len(self._held)))

    def _worth_keeping(self, states: "_States", spent: FloatArray, step: IntArray, best: float) -> "_States":
        """States from which a plan cheaper than the best known could still grow."""
        # A state is kept only where this part through it, and every other part by its cheapest, still come below the best known.
        through = states.cost + self.onward.stay[states.entry, states.place, step[states.owner]]
        by_part = np.minimum.reduceat(states.least(through), self.moves.first, axis=1)
        room = best - (spent + by_part.sum(axis=1) + self.onward.relief[step])
        least = by_part[states.owner, self.network.place[states.place, 0]]
        return states.where(through - least <= np.maximum(room, 0.0)[states.owner])


@dataclass(frozen=True, slots=True)
class _States:
    """Where the parts of many nodes may be, in order of node, then place."""

    owner: IntArray
    cost: FloatArray
    entry: IntArray
    place: IntArray
    nodes: int
    places: int

    def least(self, costs: FloatArray) -> FloatArray:
        """The least of each node and place; NEVER where a part cannot be."""
        # States stand in order of node and place, so that the least of each is one reduceat over runs of equal keys.
        key = self.owner * self.places + self.place
        starts = np.nonzero(np.diff(key, prepend=-1))[0]
        found = np.full((self.nodes * self.places, *costs.shape[1:]), NEVER)
        found[key[starts]] = np.minimum.reduceat(costs, starts, axis=0)
        return found.reshape(self.nodes, self.places, *costs.shape[1:])

    def where(self, which: BoolArray) -> "_States":
        """Some of the states."""
        owner, cost = self.owner[which], self.cost[which]
        return _States(owner, cost, self.entry[which], self.place[which], self.nodes, self.places)

    def joined(self, fresh: FloatArray, step: IntArray, kept: BoolArray) -> "_States":
        """States kept, and those entered at a new stop."""
        owner, place = np.nonzero(fresh < NEVER / 2)
        owners = np.concatenate((self.owner[kept], owner))
        places = np.concatenate((self.place[kept], place))
        order = np.argsort(owners * self.places + places, kind="stable")
        cost = np.concatenate((self.cost[kept], fresh[owner, place]))
        entry = np.concatenate((self.entry[kept], step[owner] + 1))
        return _States(owners[order], cost[order], entry[order], places[order], self.nodes, self.places)
