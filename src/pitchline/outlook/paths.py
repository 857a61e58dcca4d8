"""Wear paths of many parts as arrays: what the outlook is computed from."""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.ground import GroundClass

FloatArray: TypeAlias = npt.NDArray[np.float64]
IntArray: TypeAlias = npt.NDArray[np.int64]
BoolArray: TypeAlias = npt.NDArray[np.bool_]

GROUNDS = len(GroundClass)


@dataclass(frozen=True, slots=True)
class PartLife:
    """One part's life as the outlook sees it: wear against hours, from fitting to now.

    Parameters
    ----------
    kind : int
        Number of its kind.
    start_u : float
        Spread of the true size when fitted, as a fraction of the wear allowance [1], zero or more.
    start_known : bool
        Whether the hours of fitting are known.
    meter_known : bool
        Where they are not: whether the hours since the machine was new bound them.
    step_h : ndarray, shape (r, g)
        Hours worked in each ground class [h] before each reading: since fitting (or since the meter's zero) for the first,
        since the reading before for the others; zero or more.
    wear : ndarray, shape (r,)
        Life used by each reading [1], any finite value.
    wear_u : ndarray, shape (r,)
        Its standard uncertainty [1], above zero.
    tail_h : ndarray, shape (g,)
        Hours in each ground class [h] from the last reading (or from fitting) to now.
    may_be_first : bool
        Where the start is not known: whether it may be the part the hours were counted from.
    share : float
        How much of a reading each of its readings counts for what parts share [1], above 0 up to 1: less than 1 where the figure
        looks copied.

    Raises
    ------
    NotAllowedError
        Shapes that do not agree, or figures outside their range.
    """

    kind: int
    start_u: float
    start_known: bool
    meter_known: bool
    step_h: FloatArray
    wear: FloatArray
    wear_u: FloatArray
    tail_h: FloatArray
    may_be_first: bool = True
    share: float = 1.0

    def __post_init__(self) -> None:
        count = self.wear.size
        if (
            self.step_h.shape != (count, GROUNDS)
            or self.wear_u.shape != (count,)
            or self.tail_h.shape != (GROUNDS,)
        ):
            raise NotAllowedError(
                "wear path",
                "arrays of different length",
                phrase("{count} readings, {grounds} grounds", count=count, grounds=GROUNDS),
            )
        finite = np.isfinite(self.wear).all() and np.isfinite(self.wear_u).all() and bool((self.wear_u > 0).all())
        if not finite:
            raise NotAllowedError(
                "wear path", "a reading or doubt that is not a number", "finite wear, doubt above 0"
            )
        if not (bool((self.step_h >= 0).all()) and bool((self.tail_h >= 0).all())):
            raise NotAllowedError("wear path", "hours below zero", "hours of 0 or more")


@dataclass(frozen=True, slots=True)
class Paths:
    """Wear paths of n parts, padded to the longest.

    Parameters
    ----------
    kind : ndarray, shape (n,)
        Number of each part's kind.
    machine : ndarray, shape (n,)
        Number of each part's machine, from 0, rising.
    start_u : ndarray, shape (n,)
        Spread of the true size when fitted [1].
    start_known, meter_known : ndarray, shape (n,)
        As in PartLife.
    count : ndarray, shape (n,)
        Readings of each part.
    step_h : ndarray, shape (n, r, g)
        Hours before each reading [h]; zero where padded.
    wear, wear_u : ndarray, shape (n, r)
        Readings and their standard uncertainty [1]; 0 and 1 where padded.
    tail_h : ndarray, shape (n, g)
        Hours from the last reading to now [h].
    may_be_first : ndarray, shape (n,)
        As in PartLife.
    share : ndarray, shape (n,), or None
        As in PartLife [1]; None where every reading counts in full.
    """

    kind: IntArray
    machine: IntArray
    start_u: FloatArray
    start_known: BoolArray
    meter_known: BoolArray
    count: IntArray
    step_h: FloatArray
    wear: FloatArray
    wear_u: FloatArray
    tail_h: FloatArray
    may_be_first: BoolArray
    share: FloatArray | None = None

    def rows(self, at: slice | IntArray) -> "Paths":
        """The same for some of the parts.

        Parameters
        ----------
        at : slice or ndarray, shape (k,)
            Rows; whole machines, in order.
        """
        return Paths(
            self.kind[at],
            self.machine[at],
            self.start_u[at],
            self.start_known[at],
            self.meter_known[at],
            self.count[at],
            self.step_h[at],
            self.wear[at],
            self.wear_u[at],
            self.tail_h[at],
            self.may_be_first[at],
            None if self.share is None else self.share[at],
        )

    @property
    def group(self) -> IntArray:
        """Machine of each part, counted from 0 without gaps, shape (n,)."""
        return np.cumsum(np.diff(self.machine, prepend=self.machine[:1]) > 0)

    @property
    def grounds(self) -> tuple[int, ...]:
        """Ground classes in which any part has worked, the reference left out."""
        worked = self.step_h.sum(axis=(0, 1)) + self.tail_h.sum(axis=0)
        return tuple(g for g in range(GROUNDS) if worked[g] > 0 and g != GroundClass.MIDDLING)


def stack(lives: list[PartLife], machine: list[int] | None = None) -> Paths:
    """Part lives as padded arrays.

    Parameters
    ----------
    lives : list of PartLife
        One or more.
    machine : list of int or None
        Machine number of each, from 0 and rising; None puts them all on one machine.

    Raises
    ------
    NotAllowedError
        No part at all, or machine numbers that fall.
    """
    if not lives:
        raise NotAllowedError("wear paths", "none", "one part or more")
    numbers = np.zeros(len(lives), np.int64) if machine is None else np.asarray(machine, np.int64)
    if numbers.shape != (len(lives),) or bool((np.diff(numbers) < 0).any()):
        raise NotAllowedError("machine numbers", machine, "one for each part, rising")
    most = max(life.wear.size for life in lives)
    step_h = np.zeros((len(lives), most, GROUNDS))
    wear = np.zeros((len(lives), most))
    wear_u = np.ones((len(lives), most))
    for row, life in enumerate(lives):
        step_h[row, : life.wear.size] = life.step_h
        wear[row, : life.wear.size] = life.wear
        wear_u[row, : life.wear.size] = life.wear_u
    return Paths(
        kind=np.array([life.kind for life in lives], np.int64),
        machine=numbers,
        start_u=np.array([life.start_u for life in lives]),
        start_known=np.array([life.start_known for life in lives]),
        meter_known=np.array([life.meter_known for life in lives]),
        count=np.array([life.wear.size for life in lives], np.int64),
        step_h=step_h,
        wear=wear,
        wear_u=wear_u,
        tail_h=np.stack([life.tail_h for life in lives]),
        may_be_first=np.array([life.may_be_first for life in lives]),
        share=None if all(life.share == 1.0 for life in lives) else np.array([life.share for life in lives]),
    )
