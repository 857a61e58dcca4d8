"""What one more stop does to all parts at once, for many beginnings of plans together."""

import numpy as np

from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.stops.options import Options
from pitchline.stops.priced import Network
from pitchline.stops.tables import NEVER


class Moves:
    """The options of a stop, laid out for whole arrays."""

    def __init__(self, network: Network, options: Options) -> None:
        ways, place_count = network.tables.ways, len(network.place)
        number = {tuple(at): index for index, at in enumerate(network.place.tolist())}
        self.options, self.cost = options, network.cost
        self.first = np.searchsorted(network.place[:, 0], np.arange(len(network.start)))
        self.origin = np.array([number[way.part, way.from_stage] for way in ways], dtype=np.int64)
        self.to = np.array([number[way.part, way.to_stage] for way in ways], dtype=np.int64)
        self.sum_of = np.zeros((len(options.variant), len(options.part)))
        np.put_along_axis(self.sum_of, options.variant, 1.0, axis=1)
        allows = np.zeros((len(options.part), len(ways)), dtype=np.bool_)
        for variant, some in enumerate(options.ways):
            allows[variant, list(some)] = True
        self._refused = np.where((self.sum_of @ allows) > 0, 0.0, NEVER)
        drops = options.forced[:, None] & (options.part[:, None] == network.place[:, 0])
        self.dropped = (self.sum_of @ drops) > 0
        self._by_target = np.argsort(self.to, kind="stable")
        self._targets, self._starts = np.unique(self.to[self._by_target], return_index=True)
        self._places = place_count

    def each(self, arrive: FloatArray, stays: FloatArray, onward: FloatArray) -> FloatArray:
        """Least cost of each part's variants when a stop is made at each step.

        Parameters
        ----------
        arrive : ndarray, shape (nodes, places, k)
            Cost of leaving a place at a step [money].
        stays : ndarray, shape (nodes, parts, k)
            Bound of a part that does nothing then [money].
        onward : ndarray, shape (ways, k)
            Cost of a way and bound of what comes after it [money].

        Returns
        -------
        ndarray, shape (nodes, variants, k)
            Bounds [money].
        """
        through = arrive[:, self.origin] + onward
        each = np.empty((len(arrive), len(self.options.part), arrive.shape[2]))
        for variant, ways in enumerate(self.options.ways):
            part = self.options.part[variant]
            best = through[:, ways[0]] if ways else stays[:, part]
            for way in ways[1:]:
                best = np.minimum(best, through[:, way])
            if ways and not self.options.forced[variant]:
                best = np.minimum(best, stays[:, part])
            each[:, variant] = best
        return each

    def fresh(self, arrive: FloatArray, option: IntArray, step: IntArray) -> FloatArray:
        """What each part has paid on entering a place at a stop.

        Parameters
        ----------
        arrive : ndarray, shape (nodes, places)
            Cost of leaving a place at the stop [money].
        option, step : ndarray of int, shape (nodes,)
            The stop of each node.

        Returns
        -------
        ndarray, shape (nodes, places)
            Costs [money]; NEVER where nothing leads.
        """
        made = np.full((len(arrive), self._places), NEVER)
        if len(self.to):
            through = arrive[:, self.origin] + self.cost[:, step].T + self._refused[option]
            made[:, self._targets] = np.minimum.reduceat(through[:, self._by_target], self._starts, axis=1)
        return np.asarray(np.minimum(made, NEVER))
