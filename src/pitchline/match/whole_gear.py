"""Which running gear of a list a machine's is, by everything read and counted on it together."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from pitchline.match.likelihood import OTHER, SAME, Floats, of_count
from pitchline.match.next_size import NextSize, next_sizes
from pitchline.match.parts import Part, PartList
from pitchline.match.ranking import FITS, NONE_OF_THESE, Match, PartReading, factors, is_outside
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import RunningGear
from pitchline.trade.part_sizes import PartSize
from pitchline.trade.parts import PartKind

OTHER_PART = 0.05
"""Chance that a part was replaced by one of another make or gear, so that its size tells nothing: an assumption.

Without it one wrong roller would rule the right running gear out."""
_COUNTED = (PartKind.BOTTOM_ROLLER, PartKind.UPPER_ROLLER, PartKind.IDLER, PartKind.PAD, PartKind.SLEW_RING)
Read = Mapping[tuple[PartKind, PartSize], PartReading]
"""What was read, by the part it was read of."""


@dataclass(frozen=True, slots=True)
class ListedGear:
    """One running gear of a list.

    Parameters
    ----------
    name : str
        What the list calls it.
    gear : RunningGear
        Its counts.
    parts : tuple of Part
        Its parts with their new sizes; of each kind one or more.
    """

    name: str
    gear: RunningGear
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class RankedGear:
    """One running gear of the list, held against what was read.

    Parameters
    ----------
    at : int
        Its place in the list.
    chance : float
        That it is this one [1].
    outside : tuple of (PartKind, PartSize)
        Readings outside what it can show, new or worn, or of parts it has not got.
    counts_apart : tuple of PartKind
        Parts of which it has another number.
    """

    at: int
    chance: float
    outside: tuple[tuple[PartKind, PartSize], ...]
    counts_apart: tuple[PartKind, ...]

    @property
    def agrees(self) -> bool:
        """Whether nothing speaks against it."""
        return not (self.outside or self.counts_apart)


@dataclass(frozen=True, slots=True)
class WholeMatch:
    """Which running gear it may be.

    Parameters
    ----------
    ranked : tuple of RankedGear
        The best first.
    none : float
        Chance that the list has not got it [1].
    fits : bool
        Whether the first may be called this machine's: likely, with nothing that speaks against it.
    looks : tuple of (PartKind, NextSize)
        What to read to tell the first two apart, the best first; empty where one is alone, or nothing listed tells them apart.
    sizes, counts : int
        How many sizes and counts were held against the list.
    """

    ranked: tuple[RankedGear, ...]
    none: float
    fits: bool
    looks: tuple[tuple[PartKind, NextSize], ...]
    sizes: int
    counts: int


@dataclass(slots=True)
class _Sum:
    """Logarithms of what is thought of each running gear, and of none of them."""

    logs: Floats
    none: float
    outside: list[list[tuple[PartKind, PartSize]]] = field(default_factory=list)
    apart: list[list[PartKind]] = field(default_factory=list)

    def add(self, values: Floats, none: float) -> None:
        """A reading or count; where a part may be another's, it tells nothing."""
        self.logs = self.logs + np.log((1 - OTHER_PART) * values + OTHER_PART * none)
        self.none += math.log(none)


def match_gear(
    listed: Sequence[ListedGear], read: Read, counted: RunningGear | None = None, most: int = 5
) -> WholeMatch:
    """Running gears of a list by how well they agree with all that was read and counted.

    Parameters
    ----------
    listed : sequence of ListedGear
        The list.
    read : mapping of (PartKind, PartSize) to PartReading
        Sizes read, worn or not, and counted.
    counted : RunningGear or None
        How many of each part there are; None where nobody counted, or the counts are the list's own.
    most : int
        How many are ranked, from 1.

    Returns
    -------
    WholeMatch
        Running gears equally likely before reading, and one chance in ten that it is none of them.

    Raises
    ------
    NotAllowedError
        The list is empty, or nothing was read or counted.
    """
    if not listed:
        raise NotAllowedError(
            "gear list", "nothing", "a running gear or more", "Enter one in the gear list first."
        )
    if not read and counted is None:
        raise NotAllowedError("readings", "none", "one reading or count or more")
    many = len(listed)
    found = _Sum(np.full(many, math.log((1 - NONE_OF_THESE) / many)), math.log(NONE_OF_THESE))
    found.outside, found.apart = [[] for _ in listed], [[] for _ in listed]
    for kind in dict.fromkeys(kind for kind, _ in read):
        _of_kind(listed, kind, [one for (each, _), one in read.items() if each is kind], found)
    if counted is not None:
        _of_counts(listed, counted, found)
    highest = max(float(found.logs.max()), found.none)
    weights, other = np.exp(found.logs - highest), math.exp(found.none - highest)
    chances: Floats = weights / (weights.sum() + other)
    order = np.argsort(-chances, kind="stable")[:most].tolist()
    ranked = tuple(
        RankedGear(at, float(chances[at]), tuple(found.outside[at]), tuple(found.apart[at])) for at in order
    )
    fits = ranked[0].chance >= FITS and ranked[0].agrees
    looks = () if fits else _looks([listed[at] for at in order[:2]], chances[order[:2]], frozenset(read))
    counts = len(_COUNTED) + 1 if counted is not None else 0
    return WholeMatch(ranked, other / float(weights.sum() + other), fits, looks, len(read), counts)


def _of_kind(listed: Sequence[ListedGear], kind: PartKind, read: list[PartReading], found: _Sum) -> None:
    """All readings of one kind of part; of several alike on one running gear the one that fits best counts."""
    whose = [(at, part) for at, one in enumerate(listed) for part in one.parts if part.part is kind]
    parts = PartList(tuple(part for _, part in whose))
    for one in read:
        values, none = factors(parts, one) if whose else (np.zeros(0), 0.0)
        best = np.full(len(listed), -np.inf)
        outside = [True] * len(listed)
        for n, (at, _) in enumerate(whose):
            best[at] = max(best[at], values[n])
            outside[at] = outside[at] and is_outside(parts, one, n)
        found.add(np.exp(best), math.exp(none))
        for at, out in enumerate(outside):
            if out:
                found.outside[at].append((kind, one.size))


def _of_counts(listed: Sequence[ListedGear], counted: RunningGear, found: _Sum) -> None:
    """The kind of track, and how many parts there are of each kind that no size tells."""
    same = np.array([one.gear.track is counted.track for one in listed])
    found.add(np.where(same, SAME, OTHER), 0.5)
    for kind in _COUNTED:
        many = np.array([float(one.gear.count(kind)) for one in listed])
        known = np.unique(many).size
        found.add(of_count(counted.count(kind), many), SAME / max(known, 2))
        for at in np.flatnonzero(many != counted.count(kind)).tolist():
            found.apart[at].append(kind)


def _looks(
    two: Sequence[ListedGear], chances: Floats, read: frozenset[tuple[PartKind, PartSize]]
) -> tuple[tuple[PartKind, NextSize], ...]:
    """What tells two running gears apart; parts of which one has two kinds are left out."""
    if len(two) < 2:
        return ()
    found = []
    for kind in PartKind:
        pair = [[part for part in one.parts if part.part is kind] for one in two]
        if [len(parts) for parts in pair] != [1, 1]:
            continue
        parts = PartList((pair[0][0], pair[1][0]))
        mine = frozenset(size for each, size in read if each is kind)
        found += [(kind, look) for look in next_sizes(parts, Match((), 0.0, False, chances), mine)]
    return tuple(sorted(found, key=lambda one: (-one[1].sure_then, -one[1].nats)))
