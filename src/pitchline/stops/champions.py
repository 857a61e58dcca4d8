"""Beginnings of plans that beat others: whatever the others go on to do, these can do it cheaper.

One beginning beats another with the same last step when what it has spent, plus for every part the most it could be behind
in any stage and at any later step, is no more than what the other has spent.
"""

import numpy as np

from pitchline.outlook.paths import BoolArray, FloatArray, IntArray
from pitchline.stops.priced import Network
from pitchline.stops.tables import NEVER

MOST_KEPT = 16
"""Champions kept for each last step; the later ones seldom beat anything."""


class Champions:
    """The champions of a search, by last step.

    Parameters
    ----------
    network : Network
        The instance.
    first : ndarray of int, shape (parts,)
        First place of each part.

    References
    ----------
    Dominance in label-setting shortest paths: our own form; see docs/explanation/stops.md.
    """

    def __init__(self, network: Network, first: IntArray) -> None:
        self._first, self._steps = first, network.cost.shape[1]
        self._held: dict[int, tuple[FloatArray, FloatArray]] = {}

    def beaten(self, arrive: FloatArray, ended: FloatArray, spent: FloatArray, last: IntArray) -> BoolArray:
        """Which nodes are beaten by an earlier one; the others become champions.

        Parameters
        ----------
        arrive : ndarray, shape (nodes, places, k)
            Cost of leaving each place at each of the last k steps [money].
        ended : ndarray, shape (nodes, places)
            Cost of staying in each place to the sale [money].
        spent : ndarray, shape (nodes,)
            Paid for stops and openings [money].
        last : ndarray of int, shape (nodes,)
            Last step of each node.

        Returns
        -------
        ndarray of bool, shape (nodes,)
            True where no plan need be grown from a node.

        References
        ----------
        Our own; see docs/explanation/stops.md.
        """
        lost = np.zeros(len(spent), dtype=np.bool_)
        for step in sorted(set(last.tolist())):
            these = np.nonzero(last == step)[0]
            after = max(self._steps - 1 - step, 0)
            open_to = np.concatenate(
                (arrive[these][:, :, arrive.shape[2] - after :], ended[these][:, :, None]), axis=2
            )
            open_to = np.minimum(open_to, NEVER)
            if step in self._held:
                lost[these] = self._against(self._held[step], open_to, spent[these])
            self._keep(step, open_to[~lost[these]], spent[these][~lost[these]])
        return lost

    def _against(
        self, held: tuple[FloatArray, FloatArray], open_to: FloatArray, spent: FloatArray
    ) -> BoolArray:
        theirs = np.where(open_to >= NEVER / 2, 2 * NEVER, open_to)
        behind = (held[0][:, None] - theirs[None]).max(axis=3)
        most = np.maximum.reduceat(behind, self._first, axis=2).sum(axis=2)
        return np.asarray((held[1][:, None] + most <= spent[None]).any(axis=0))

    def _keep(self, step: int, open_to: FloatArray, spent: FloatArray) -> None:
        if step in self._held:
            room = MOST_KEPT - len(self._held[step][1])
            if room <= 0:
                return
            open_to = np.concatenate((self._held[step][0], open_to[:room]))
            spent = np.concatenate((self._held[step][1], spent[:room]))
        self._held[step] = (open_to[:MOST_KEPT], spent[:MOST_KEPT])
