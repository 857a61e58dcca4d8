"""The planning problem with prices on shared stops, openings and rules: it falls apart into one shortest path for each part.

The sum of the paths is a lower bound of every plan's cost, whatever the prices are.

See docs/explanation/stops.md.
"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array

from pitchline.outlook.paths import BoolArray, FloatArray, IntArray
from pitchline.stops.instance import RuleKind
from pitchline.stops.tables import NEVER, Tables, ways_named

MOST_HOPS = 10_000
"""Most jobs along one path: far more than a horizon has steps, so that every path ends before."""


@dataclass(frozen=True, slots=True)
class Network:
    """Where prices act, and the parts' stages as one list of places.

    Parameters
    ----------
    tables : Tables
        The instance in numbers.
    user : ndarray of int, shape (users, 2)
        Part and group (-1 for the stop itself) of each price on sharing.
    free : ndarray of bool, shape (prices,)
        Prices that may have either sign: those of same-time rules.
    factor : csr_array, shape (ways, prices)
        How a price enters the cost of a way; first the users, then the rules.
    place : ndarray of int, shape (places, 2)
        Part and stage of each place.
    start : ndarray of int, shape (parts,)
        Place each part starts in.
    out_way, out_place : ndarray of int, shape (places, most ways)
        Ways that leave a place, and where they lead; a way number equal to the number of ways stands for none.
    wear : ndarray, shape (steps, steps + 1, places)
        Penalty by leaving step, entry and place [money].
    wear_from : ndarray, shape (steps + 1, places, steps)
        The same by entry, place and leaving step [money].
    end : ndarray, shape (steps + 1, places)
        Penalty to the sale less credit [money].
    cost : ndarray, shape (ways, steps)
        Cost of each way before prices [money].

    References
    ----------
    Lagrangian relaxation of the coupling rows; see docs/explanation/stops.md.
    """

    tables: Tables
    user: IntArray
    free: BoolArray
    factor: csr_array
    place: IntArray
    start: IntArray
    out_way: IntArray
    out_place: IntArray
    wear: FloatArray
    wear_from: FloatArray
    end: FloatArray
    cost: FloatArray


def network_of(tables: Tables) -> Network:
    """The network of an instance.

    Returns
    -------
    Network
        Places in order of part, then stage.
    """
    place, number = _places(tables)
    user, rows, columns, signs = _users(tables)
    for rule_number, rule in enumerate(tables.instance.rules):
        for side, sign in ((rule.a, 1.0), (rule.b, -1.0)):
            for way in ways_named(tables, side):
                rows.append(int(way))
                columns.append(len(user) + rule_number)
                signs.append(sign)
    same = [rule.kind is RuleKind.SAME_TIME for rule in tables.instance.rules]
    prices = len(user) + len(same)
    factor = csr_array((signs, (rows, columns)), shape=(len(tables.ways), prices))
    out_way, out_place = _leaving(tables, place, number)
    wear_from = np.ascontiguousarray(tables.wear[:, place[:, 0], place[:, 1]])
    return Network(
        tables,
        np.array(user, dtype=np.int64).reshape(-1, 2),
        np.array([False] * len(user) + same, dtype=np.bool_),
        factor,
        place,
        np.array([number[part, 0] for part in range(tables.parts)]),
        out_way,
        out_place,
        np.ascontiguousarray(wear_from.transpose(2, 0, 1)),
        wear_from,
        np.ascontiguousarray(tables.end[:, place[:, 0], place[:, 1]]),
        np.array([way.cost for way in tables.ways]).reshape(-1, tables.steps),
    )


def _places(tables: Tables) -> tuple[IntArray, dict[tuple[int, int], int]]:
    found = [(i, stage) for i, part in enumerate(tables.instance.components) for stage in range(len(part.stages))]
    return np.array(found, dtype=np.int64), {at: number for number, at in enumerate(found)}


def _users(tables: Tables) -> tuple[list[tuple[int, int]], list[int], list[int], list[float]]:
    """Prices on sharing: each part's use of the stop itself and of each group, and the ways that pay them."""
    user: list[tuple[int, int]] = []
    rows, columns = [], []
    for number, way in enumerate(tables.ways):
        for group in way.groups or (-1,):
            if (way.part, group) not in user:
                user.append((way.part, group))
            rows.append(number)
            columns.append(user.index((way.part, group)))
    return user, rows, columns, [1.0] * len(rows)


def _leaving(tables: Tables, place: IntArray, number: dict[tuple[int, int], int]) -> tuple[IntArray, IntArray]:
    leaving: list[list[tuple[int, int]]] = [[] for _ in place]
    for index, way in enumerate(tables.ways):
        leaving[number[way.part, way.from_stage]].append((index, number[way.part, way.to_stage]))
    most = max(1, *(len(ways) for ways in leaving)) if len(leaving) > 1 else max(1, len(leaving[0]))
    filled = [ways + [(len(tables.ways), 0)] * (most - len(ways)) for ways in leaving]
    both = np.array(filled, dtype=np.int64)
    return both[:, :, 0], both[:, :, 1]


@dataclass(frozen=True, slots=True)
class Priced:
    """Cheapest ways on from everywhere at given prices.

    Parameters
    ----------
    bound : float
        Lower bound of every plan's cost [money].
    way_cost : ndarray, shape (ways + 1, steps)
        Cost of each way with prices [money]; the last row stands for no way.
    leave : ndarray, shape (steps, places)
        Cheapest cost from leaving a place at a step [money].
    entered : ndarray, shape (steps, places)
        Cheapest cost from entering a place at a step [money].
    relief : ndarray, shape (steps,)
        What an opened stop would earn at these prices: zero or less [money].
    opened : ndarray of bool, shape (1 + groups, steps)
        Stop and groups that the relaxed problem takes.

    References
    ----------
    Lagrangian relaxation; see docs/explanation/stops.md.
    """

    bound: float
    way_cost: FloatArray
    leave: FloatArray
    entered: FloatArray
    relief: FloatArray
    opened: BoolArray


def priced_at(network: Network, prices: FloatArray) -> Priced:
    """The relaxed problem at given prices.

    Parameters
    ----------
    network : Network
        The instance.
    prices : ndarray, shape (prices, steps)
        Prices [money]; zero or more except where `network.free`.

    Returns
    -------
    Priced
        Its bound, and the cheapest costs onward.

    References
    ----------
    Lagrangian relaxation; see docs/explanation/stops.md.
    """
    steps, places = network.wear.shape[0], network.wear.shape[2]
    never = np.full((1, steps), NEVER)
    way_cost = np.vstack((network.cost + network.factor @ prices, never))
    out_cost = np.ascontiguousarray(way_cost[network.out_way].transpose(2, 0, 1))
    # Shortest paths from the sale back to the start, all parts at once. `current` holds the cheapest way on by entry and place;
    # at each step a place is left by its cheapest job, or not at all. Only entries up to that step can be there yet.
    current = network.end.copy()
    leave, entered = np.empty((steps, places)), np.empty((steps, places))
    for step in range(steps - 1, -1, -1):
        arrived = entered[step] = current[step + 1]
        out = (out_cost[step] + arrived[network.out_place]).min(axis=1)
        leave[step] = out
        head = current[: step + 1]
        np.minimum(head, network.wear[step, : step + 1] + out, out=head)
    relief, opened = _sharing(network, prices)
    bound = float(current[0, network.start].sum() + relief.sum())
    return Priced(bound, way_cost, leave, entered, relief, opened)


def _sharing(network: Network, prices: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Relief and openings of the relaxed stops."""
    tables, users = network.tables, len(network.user)
    # At given prices a shared stop is a deal of its own: what its users pay less what it costs. It is opened where that earns,
    # and so is each group inside it.
    paid = np.zeros((1 + len(tables.group), tables.steps))
    np.add.at(paid, network.user[:, 1] + 1, prices[:users])
    group = tables.group - paid[1:]
    stop = tables.stop - paid[0] + np.minimum(group, 0).sum(axis=0)
    opened = np.vstack(((stop < 0)[None], (group < 0) & (stop < 0)))
    return np.minimum(stop, 0.0), opened


def jobs_done(network: Network, priced: Priced) -> FloatArray:
    """Which ways the cheapest paths take.

    Returns
    -------
    ndarray, shape (ways, steps)
        1 where a way is taken at a step, else 0 [1].
    """
    done = np.zeros((len(network.tables.ways) + 1, network.tables.steps))
    place, entry = network.start.copy(), np.zeros(len(network.start), dtype=np.int64)
    for _ in range(MOST_HOPS):
        onward = network.wear_from[entry, place] + priced.leave[:, place].T
        step = onward.argmin(axis=1)
        goes = onward[np.arange(len(place)), step] < network.end[entry, place]
        if not goes.any():
            break
        place, step = place[goes], step[goes]
        cost = priced.way_cost[network.out_way[place], step[:, None]]
        best = (cost + priced.entered[step[:, None], network.out_place[place]]).argmin(axis=1)
        done[network.out_way[place, best], step] += 1.0
        place, entry = network.out_place[place, best], step + 1
    return done[:-1]


def slope(network: Network, priced: Priced, done: FloatArray) -> FloatArray:
    """A direction in which the bound rises with the prices: use less what is opened.

    Parameters
    ----------
    network : Network
        The instance.
    priced : Priced
        The relaxed problem.
    done : ndarray, shape (ways, steps)
        Which ways its paths take [1].

    Returns
    -------
    ndarray, shape (prices, steps)
        A supergradient [1].

    References
    ----------
    Held and Karp 1971, from memory.
    """
    # The bound is a least of linear functions of the prices, so concave; what the chosen paths use beyond what is opened is
    # one of its supergradients.
    rise = np.asarray(network.factor.T @ done)
    rise[: len(network.user)] -= priced.opened[network.user[:, 1] + 1]
    return rise
