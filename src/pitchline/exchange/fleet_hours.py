"""Hours worked in each ground class, for millions of stretches of hours at once and to the last bit the same for any chunking."""

from dataclasses import dataclass

import numpy as np

from pitchline.outlook.paths import GROUNDS, FloatArray, IntArray
from pitchline.trade.ground import GroundClass

TICKS_PER_H = 1024.0
"""Hours are counted in ticks of about 3.5 seconds: whole numbers, so that sums of them are exact in any order."""


def ticks(hours_h: FloatArray) -> FloatArray:
    """Hours as whole ticks.

    Examples
    --------
    >>> ticks(np.array([1.5]))
    array([1536.])
    """
    return np.asarray(np.rint(hours_h * TICKS_PER_H))


@dataclass(frozen=True, slots=True)
class Spans:
    """Ground spans of many machines.

    Parameters
    ----------
    machine : ndarray, shape (s,)
        Machine of each, rising.
    from_h, to_h : ndarray, shape (s,)
        Service hours [h], rising within a machine and not overlapping.
    ground : ndarray, shape (s,)
        Ground class.
    """

    machine: IntArray
    from_h: FloatArray
    to_h: FloatArray
    ground: IntArray

    def ticks_until(self, machine: IntArray, at_h: FloatArray) -> FloatArray:
        """Ticks recorded in each ground class of the machines up to and including an hour.

        Parameters
        ----------
        machine : ndarray, shape (n,)
            Machine of each query.
        at_h : ndarray, shape (n,)
            Service hours [h].

        Returns
        -------
        ndarray, shape (n, g)
            Ticks [h / 1024], counted from somewhere before the machine's first span: only differences mean something.
        """
        begin, end, at = ticks(self.from_h), ticks(self.to_h), ticks(at_h)
        before = np.zeros((self.machine.size + 1, GROUNDS))
        before[np.arange(1, self.machine.size + 1), self.ground] = end - begin
        np.cumsum(before, axis=0, out=before)
        first = np.searchsorted(self.machine, machine, side="left")
        # complex numbers are ordered by their real part, then the imaginary one: an exact two-key search
        last = np.searchsorted(self.machine + 1j * begin, machine + 1j * at, side="right") - 1
        done = before[np.maximum(last, first)]
        inside = np.flatnonzero(last >= first)
        span = last[inside]
        done[inside, self.ground[span]] += np.minimum(at[inside], end[span]) - begin[span]
        return done


def hours_between(spans: Spans, machine: IntArray, from_h: FloatArray, to_h: FloatArray) -> FloatArray:
    """Hours worked in each ground class in stretches of hours.

    Parameters
    ----------
    spans : Spans
        What is recorded; hours no span covers count as middling ground.
    machine : ndarray, shape (n,)
        Machine of each stretch.
    from_h, to_h : ndarray, shape (n,)
        Where it begins and ends [h], the second not below the first.

    Returns
    -------
    ndarray, shape (n, g)
        Hours [h], to 1/1024 h.

    Examples
    --------
    >>> spans = Spans(np.array([0]), np.array([100.0]), np.array([300.0]), np.array([4]))
    >>> hours_between(spans, np.array([0]), np.array([50.0]), np.array([200.0])).tolist()
    [[0.0, 0.0, 50.0, 0.0, 100.0]]
    """
    worked = spans.ticks_until(machine, to_h) - spans.ticks_until(machine, from_h)
    worked[:, GroundClass.MIDDLING] += ticks(to_h) - ticks(from_h) - worked.sum(axis=1)
    return worked / TICKS_PER_H
