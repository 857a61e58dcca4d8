"""All sets of stops that could still be best, grown stop by stop and bounded by the priced problem from there on.

A node is a beginning of a plan: its stops so far with what each opens and which tied jobs are done. What went before costs
exactly what it costs; what comes after is bounded by the relaxed problem. Best bound first, so the least bound left over
is a proven bound of the whole.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from pitchline.outlook.paths import BoolArray, FloatArray, IntArray
from pitchline.stops.options import Options
from pitchline.stops.priced import Network, Priced
from pitchline.stops.tables import NEVER

Chosen = tuple[tuple[int, int], ...]
"""Stops of a plan: step and option of each."""
BATCH = 64
MOST_WAITING = 400_000


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
    Branch and bound over prefixes with a Lagrangian completion bound: our own; see docs/explanation/stops.md.
    """

    def __init__(self, network: Network, options: Options, priced: Priced) -> None:
        self.network, self.options, self.onward, self.priced = network, options, onward_from(network, priced), priced
        parts, places = len(network.start), len(network.place)
        first = np.searchsorted(network.place[:, 0], np.arange(parts))
        self._first_place = first
        self._place_of = {tuple(at): number for number, at in enumerate(network.place.tolist())}
        root = np.full((1, places), NEVER)
        root[0, network.start] = 0.0
        self._held = [(root, np.zeros(1, dtype=np.int64), 0.0)]
        self._came: list[tuple[int, int, int]] = [(-1, -1, -1)]
        self._sum = np.zeros((len(options.variant), len(options.part)))
        np.put_along_axis(self._sum, options.variant, 1.0, axis=1)
        ways = network.tables.ways
        self._from = np.array([self._place_of[way.part, way.from_stage] for way in ways], dtype=np.int64)
        self._to = np.array([self._place_of[way.part, way.to_stage] for way in ways], dtype=np.int64)
        self._late = np.arange(network.cost.shape[1])
        self.nodes = 0

    def run(self, cutoff: float, keep_going: Callable[[int], bool], width: int | None = None) -> Found:
        """The best plan below a cutoff, and a bound of all plans.

        Parameters
        ----------
        cutoff : float
            Cost of the best plan known [money]; only cheaper ones are looked for.
        keep_going : callable
            Given the nodes so far, whether to go on.
        width : int or None
            Look at no more than so many nodes a level and give up the rest; None looks at all.

        Returns
        -------
        Found
            Proven where its bound equals its cost.

        References
        ----------
        Our own; see docs/explanation/stops.md.
        """
        best, chosen, given_up = cutoff, None, NEVER
        pool = _Pool()
        batch = np.zeros(1, dtype=np.int64)
        while True:
            costs, bounds = self._looked_at(batch)
            self.nodes += len(batch)
            least = int(costs.argmin())
            if costs[least] < best:
                best, chosen = float(costs[least]), self._stops(int(batch[least]))
                pool.keep(pool.bound < best)
            at = np.nonzero(bounds < best - 1e-9 * abs(best))
            pool.add(bounds[at], batch[at[0]], at[1], at[2])
            if width is not None and len(pool.bound) > width:
                order = np.argpartition(pool.bound, width - 1)
                given_up = min(given_up, float(pool.bound[order[width:]].min()))
                pool.keep(np.sort(order[:width]))
            if not len(pool.bound) or not keep_going(self.nodes) or len(pool.bound) > MOST_WAITING:
                break
            batch = self._opened(*pool.take(width or BATCH))
        bound = min(best, given_up, float(pool.bound.min()) if len(pool.bound) else NEVER)
        return Found(best, bound, chosen, self.nodes)

    def _stops(self, node: int) -> Chosen:
        found = []
        while node > 0:
            node, option, step = self._came[node]
            found.append((step, option))
        return tuple(reversed(found))

    def _padded(self, nodes: IntArray) -> tuple[FloatArray, IntArray, FloatArray]:
        held = [self._held[node] for node in nodes.tolist()]
        most = max(len(entries) for _, entries, _ in held)
        cost = np.full((len(held), most, len(self.network.place)), NEVER)
        entry = np.zeros((len(held), most), dtype=np.int64)
        for number, (costs, entries, _) in enumerate(held):
            cost[number, : len(entries)], entry[number, : len(entries)] = costs, entries
        return cost, entry, np.array([spent for _, _, spent in held])

    def _looked_at(self, nodes: IntArray) -> tuple[FloatArray, FloatArray]:
        """Cost of stopping no more after each node, and the bounds of one more stop, by node, option and step."""
        cost, entry, spent = self._padded(nodes)
        network, options, first = self.network, self.options, self._first_place
        ended = (cost + network.end[entry]).min(axis=1)
        total = spent + np.minimum.reduceat(ended, first, axis=1).sum(axis=1)
        last = np.array([self._came[node][2] for node in nodes.tolist()])
        start = int(last.min()) + 1
        steps = network.cost.shape[1]
        bound = np.full((len(nodes), len(options.variant), steps), NEVER)
        if start >= steps:
            return total, bound
        late = slice(start, steps)
        arrive = (cost[..., None] + network.wear_from[entry, :, late]).min(axis=1)
        stay = (cost[..., None] + self.onward.stay[entry, :, late]).min(axis=1)
        stays = np.minimum.reduceat(stay, first, axis=1)
        onward = network.cost[:, late] + self.priced.entered[late].T[self._to]
        each = np.empty((len(nodes), len(options.part), steps - start))
        for variant, ways in enumerate(options.ways):
            if ways:
                some = list(ways)
                new = (arrive[:, self._from[some]] + onward[some]).min(axis=1)
                if not options.forced[variant]:
                    new = np.minimum(new, stays[:, options.part[variant]])
            else:
                new = stays[:, options.part[variant]]
            each[:, variant] = new
        bound[:, :, late] = self._sum @ each + spent[:, None, None] + options.cost[:, late] + self.onward.relief[late]
        bound[self._late[None, None, :] <= np.broadcast_to(last[:, None, None], (len(nodes), 1, 1))[..., :]
              + np.zeros((1, len(options.variant), 1), dtype=np.int64)] = NEVER
        return total, bound

    def _opened(self, parents: IntArray, option: IntArray, step: IntArray) -> IntArray:
        """New nodes, each its parent with one more stop."""
        network, options = self.network, self.options
        cost, entry, spent = self._padded(parents)
        arrive = (cost + network.wear_from[entry, :, step[:, None]]).min(axis=1)
        made = np.arange(len(self._held), len(self._held) + len(parents))
        for number in range(len(parents)):
            fresh = np.full(cost.shape[2], NEVER)
            old, entries, _ = self._held[int(parents[number])]
            old = old.copy()
            for variant in options.variant[option[number]]:
                for way in options.ways[variant]:
                    price = arrive[number, self._from[way]] + network.cost[way, step[number]]
                    fresh[self._to[way]] = min(fresh[self._to[way]], price)
                if options.forced[variant]:
                    old[:, network.place[:, 0] == options.part[variant]] = NEVER
            self._held.append(
                (
                    np.vstack((old, fresh)),
                    np.append(entries, step[number] + 1),
                    float(spent[number] + options.cost[option[number], step[number]]),
                )
            )
            self._came.append((int(parents[number]), int(option[number]), int(step[number])))
        return made
