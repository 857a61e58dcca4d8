"""All sets of stops that could still be best, grown stop by stop and bounded by the priced problem from there on.

A node is a beginning of a plan: its stops so far with what each opens and which tied jobs are done. What went before costs
exactly what it costs; what comes after is bounded by the relaxed problem. Best bound first, so the least bound left over
is a proven bound of the whole.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from pitchline.outlook.paths import BoolArray, FloatArray, IntArray
from pitchline.stops.champions import Champions
from pitchline.stops.moves import Moves
from pitchline.stops.options import Options
from pitchline.stops.priced import Network, Priced
from pitchline.stops.tables import NEVER

Chosen = tuple[tuple[int, int], ...]
"""Stops of a plan: step and option of each."""
BATCH = 64
MOST_WAITING = 400_000
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

    References
    ----------
    Our own; see docs/explanation/stops.md.
    """

    stay: FloatArray
    relief: FloatArray


def onward_from(network: Network, priced: Priced) -> Onward:
    """The tables at given prices.

    Parameters
    ----------
    network : Network
        The instance.
    priced : Priced
        The relaxed problem.

    Returns
    -------
    Onward
        For the search.

    References
    ----------
    Our own; see docs/explanation/stops.md.
    """
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
    cost : ndarray, shape (entries, places)
        What each part has paid by being in a place since an entry [money].
    entry : ndarray of int, shape (entries,)
        The entries: 0 for the start, t + 1 for step t.
    spent : float
        Paid for stops and openings [money].
    parent, option, step : int
        The node it grew from, and its last stop; -1 for the root.

    References
    ----------
    Definition.
    """

    cost: FloatArray
    entry: IntArray
    spent: float
    parent: int
    option: int
    step: int


@dataclass(frozen=True, slots=True)
class Found:
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

    References
    ----------
    Definition.
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
        self.champions = Champions(network, self.moves.first)
        root = np.full((1, len(network.place)), NEVER)
        root[0, network.start] = 0.0
        self._held = [Node(root, np.zeros(1, dtype=np.int64), 0.0, -1, -1, -1)]

    @property
    def nodes(self) -> int:
        """Nodes looked at or about to be."""
        return len(self._held)

    def run(self, cutoff: float, keep_going: Callable[[int], bool], width: int | None = None) -> Found:
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
        Found
            Proven where its bound equals its cost.

        References
        ----------
        Our own; see docs/explanation/stops.md.
        """
        best, chosen, given_up, pool = cutoff, None, NEVER, _Pool()
        batch = [0]
        while True:
            costs, bounds = self._looked_at(batch)
            least = int(costs.argmin())
            if costs[least] < best:
                best, chosen = float(costs[least]), self._stops(batch[least])
                pool.keep(pool.bound < best)
            at = np.nonzero(bounds < best - SLACK * abs(best))
            pool.add(bounds[at], np.array(batch)[at[0]], at[1], at[2])
            given_up = min(given_up, pool.narrow(width))
            if not len(pool.bound) or not keep_going(self.nodes) or len(pool.bound) > MOST_WAITING:
                break
            batch = self._opened(*pool.take(width or BATCH))
        return Found(best, min(best, given_up, pool.least()), chosen, self.nodes)

    def _stops(self, number: int) -> Chosen:
        found = []
        while number > 0:
            node = self._held[number]
            found.append((node.step, node.option))
            number = node.parent
        return tuple(reversed(found))

    def _padded(self, numbers: list[int]) -> tuple[FloatArray, IntArray, FloatArray, IntArray]:
        """Costs by node, entry and place; entries; money spent on stops; last steps."""
        held = [self._held[number] for number in numbers]
        most = max(len(node.entry) for node in held)
        cost = np.full((len(held), most, len(self.network.place)), NEVER)
        entry = np.zeros((len(held), most), dtype=np.int64)
        for number, node in enumerate(held):
            cost[number, : len(node.entry)], entry[number, : len(node.entry)] = node.cost, node.entry
        spent, last = np.array([node.spent for node in held]), np.array([node.step for node in held])
        return cost, entry, spent, last

    def _looked_at(self, numbers: list[int]) -> tuple[FloatArray, FloatArray]:
        """Cost of stopping no more after each node, and the bounds of one more stop, by node, option and step."""
        cost, entry, spent, last = self._padded(numbers)
        ended = (cost + self.network.end[entry]).min(axis=1)
        total = spent + np.minimum.reduceat(ended, self.moves.first, axis=1).sum(axis=1)
        start, steps = int(last.min()) + 1, self.network.cost.shape[1]
        bound = np.full((len(numbers), len(self.options.variant), steps), NEVER)
        if start >= steps:
            return total, bound
        late = slice(start, steps)
        arrive = (cost[..., None] + self.network.wear_from[entry, :, late]).min(axis=1)
        stay = (cost[..., None] + self.onward.stay[entry, :, late]).min(axis=1)
        onward = self.network.cost[:, late] + self.priced.entered[late].T[self.moves.to]
        each = self.moves.each(arrive, np.minimum.reduceat(stay, self.moves.first, axis=1), onward)
        shared = self.options.cost[:, late] + self.onward.relief[late]
        bound[:, :, late] = self.moves.sum_of @ each + spent[:, None, None] + shared
        bound[np.broadcast_to(np.arange(steps) <= last[:, None, None], bound.shape)] = NEVER
        bound[self.champions.beaten(arrive, ended, spent, last)] = NEVER
        return total, bound

    def _opened(self, parents: IntArray, option: IntArray, step: IntArray) -> list[int]:
        """New nodes, each its parent with one more stop."""
        cost, entry, spent, _ = self._padded(parents.tolist())
        arrive = (cost + self.network.wear_from[entry, :, step[:, None]]).min(axis=1)
        fresh = self.moves.fresh(arrive, option, step)
        spent = spent + self.options.cost[option, step]
        first = len(self._held)
        for number, parent in enumerate(parents.tolist()):
            old = self._held[parent]
            kept = np.where(self.moves.dropped[option[number]], NEVER, old.cost)
            alive = kept.min(axis=1) < NEVER / 2
            costs = np.vstack((kept[alive], fresh[number]))
            entries = np.append(old.entry[alive], step[number] + 1)
            node = Node(costs, entries, float(spent[number]), parent, int(option[number]), int(step[number]))
            self._held.append(node)
        return list(range(first, len(self._held)))
