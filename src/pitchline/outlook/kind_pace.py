"""The pace of each kind of part on one machine, integrated over: its parts wear about it, and it lies about the machine's effect.

A most likely pace would have to be chosen where readings leave two, of a first part that wears slowly and of a later one that
wears fast, and from one reading to a worse one the choice may turn. So every pace on the grid is weighed.

See docs/explanation/outlook.md.
"""

from dataclasses import dataclass

import numpy as np

from pitchline.outlook.filter import Habits
from pitchline.outlook.grid import Grid, log_normal
from pitchline.outlook.paths import FloatArray, IntArray, Paths

_TINY = 1e-30


@dataclass(frozen=True, slots=True)
class KindPace:
    """What k kinds of part say of their machines' effects under b sets of constants, each pace of the kind weighed.

    Parameters
    ----------
    of_part : ndarray of int, shape (n,)
        Place of each part's kind among these.
    machine : ndarray of int, shape (k,)
        Machine of each kind, rising: no two machines share one.
    kernel : ndarray, shape (k, j, j)
        Prior weight of a kind's pace given the machine effect [1].
    scaled : ndarray, shape (b, k, j)
        Likelihood of each kind's parts at each pace, its largest value 1 [1].
    given_machine : ndarray, shape (b, k, j)
        The same given the machine effect [1], in the same scale.
    log : ndarray, shape (b, k, j)
        Log of that, not scaled [1].
    """

    of_part: IntArray
    machine: IntArray
    kernel: FloatArray
    scaled: FloatArray
    given_machine: FloatArray
    log: FloatArray

    def weight(self, machine: FloatArray) -> FloatArray:
        """Posterior weight of each pace.

        Parameters
        ----------
        machine : ndarray, shape (b, m, j)
            Posterior weight of each machine effect [1].

        Returns
        -------
        ndarray, shape (b, k, j)
            On the grid [1], summing to 1.
        """
        without = machine[:, self.machine] / self.given_machine
        weight = self.scaled * _each(without, self.kernel.transpose(0, 2, 1))
        return np.asarray(weight / weight.sum(axis=2, keepdims=True))


def kind_pace(say: FloatArray, paths: Paths, log_rate_u: FloatArray, habits: Habits, grid: Grid) -> KindPace:
    """What the parts of each kind together say of the machine's effect.

    Parameters
    ----------
    say : ndarray, shape (b, n, j)
        Log likelihood of each part at each pace of its kind [1].
    paths : Paths
        n parts on m machines; machines share no kind.
    log_rate_u : ndarray, shape (kinds,)
        Standard deviation of each kind's log rate [1].
    habits : Habits
        How often records leave something out.
    grid : Grid
        Offsets to compute on.
    """
    here, first, of_part = np.unique(paths.kind, return_index=True, return_inverse=True)
    order = np.argsort(of_part, kind="stable")
    log = np.add.reduceat(say[:, order], np.flatnonzero(np.diff(of_part[order], prepend=-1)), axis=1)
    top = log.max(axis=2, keepdims=True)
    scaled = np.exp(log - top)
    apart = grid.offsets[:, None] - grid.offsets[None, :]
    var = log_rate_u[here] ** 2 + habits.least_spread**2
    kernel = grid.step * np.exp(log_normal(apart[None], var[:, None, None]))
    given = np.maximum(_each(scaled, kernel), _TINY)
    return KindPace(of_part, paths.group[first], kernel, scaled, given, np.log(given) + top)


def _each(weight: FloatArray, kernel: FloatArray) -> FloatArray:
    """Weights (b, k, j) by each kind's own kernel."""
    return np.asarray((weight[:, :, None] @ kernel)[:, :, 0])
