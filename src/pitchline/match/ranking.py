"""Parts of a list by how well they agree with what was read of a worn one, and how sure that is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pitchline.match.likelihood import (
    OTHER_WORD,
    SAME,
    SAME_WORD,
    Floats,
    of_count,
    of_unworn,
    of_worn,
)
from pitchline.match.parts import TOLERANCE_M, Part, PartList
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.measurands import Direction
from pitchline.trade.part_sizes import PART_SIZES, PartSize, Told

NONE_OF_THESE = 0.1
"""Chance before reading that the list has not got it: an assumption. Without it the best of wrong parts always looks sure."""
FITS = 0.95
"""From here on, and with every reading inside its band, a part is said to fit: an assumption."""
OUTSIDE = 3.0
"""Standard uncertainties beyond its band from which a reading speaks against a part by itself."""


@dataclass(frozen=True, slots=True)
class PartReading:
    """One size of the worn part.

    Parameters
    ----------
    size : PartSize
        Which.
    value : float or str
        Length [m], count or word as read.
    u_m : float
        Its standard uncertainty [m]; 0 for counts and words.

    Raises
    ------
    NotAllowedError
        A length or count that is not above 0, or a doubt below 0.
    """

    size: PartSize
    value: float | str
    u_m: float = 0.0

    def __post_init__(self) -> None:
        told = PART_SIZES[self.size].told
        is_figure = isinstance(self.value, float | int) and 0 < self.value < math.inf
        if told is not Told.WORD and not is_figure:
            raise NotAllowedError(self.size.value.replace("_", " "), self.value, "a figure above 0")
        if not 0 <= self.u_m < math.inf:
            raise NotAllowedError("doubt", self.u_m, "a length of 0 or more")


@dataclass(frozen=True, slots=True)
class Ranked:
    """One part of the list.

    Parameters
    ----------
    part : Part
        The part.
    chance : float
        That it is this one [1].
    outside : tuple of PartSize
        Readings that lie outside what it can show, new or worn.
    unread : tuple of PartSize
        Sizes the list knows of it that were not read.
    """

    part: Part
    chance: float
    outside: tuple[PartSize, ...]
    unread: tuple[PartSize, ...]


@dataclass(frozen=True, slots=True)
class Match:
    """What a worn part may be.

    Parameters
    ----------
    ranked : tuple of Ranked
        The best first.
    none : float
        Chance that the list has not got it [1].
    fits : bool
        Whether the first may be called a fit.
    chances : ndarray, shape (n,)
        Chance of each part of the list, in its order [1].
    """

    ranked: tuple[Ranked, ...]
    none: float
    fits: bool
    chances: Floats


def match_parts(parts: PartList, readings: Sequence[PartReading], most: int = 10) -> Match:
    """Parts by how well they agree with the readings.

    Parameters
    ----------
    parts : PartList
        Parts of one kind.
    readings : sequence of PartReading
        What was read, each size once. A size the list does not say of a part tells nothing for or against it.
    most : int
        How many are ranked, from 1.

    Returns
    -------
    Match
        Parts equally likely before reading, and one chance in ten that it is none of them.

    Raises
    ------
    NotAllowedError
        The list is empty, nothing was read, or a size is read twice.
    """
    if not parts.parts:
        raise NotAllowedError("parts", "none", "a list with such parts", "Bring a table of parts in first.")
    sizes = [one.size for one in readings]
    if not readings or len(set(sizes)) < len(sizes):
        raise NotAllowedError("readings", len(sizes), "one reading or more, each size once")
    logs = np.full(len(parts.parts), math.log((1 - NONE_OF_THESE) / len(parts.parts)))
    none = math.log(NONE_OF_THESE)
    for one in readings:
        of_parts, of_none = factors(parts, one)
        logs = logs + of_parts
        none += of_none
    highest = max(float(logs.max()), none)
    weights, other = np.exp(logs - highest), math.exp(none - highest)
    chances: Floats = weights / (weights.sum() + other)
    order = np.argsort(-chances, kind="stable")[:most]
    ranked = tuple(_ranked(parts, readings, int(at), float(chances[at])) for at in order)
    fits = ranked[0].chance >= FITS and not ranked[0].outside
    return Match(ranked, other / float(weights.sum() + other), fits, chances)


def factors(parts: PartList, one: PartReading) -> tuple[Floats, float]:
    """Logarithm of what a reading is worth for each part, and for none of them.

    Parameters
    ----------
    parts : PartList
        The list.
    one : PartReading
        The reading.

    Returns
    -------
    tuple of (ndarray, float)
        Shape (n,); a part of which the list does not say the size gets what "none of these" gets.
    """
    facts = PART_SIZES[one.size]
    if facts.told is Told.WORD:
        words = parts.words.get(one.size, [""] * len(parts.parts))
        asked, none = str(one.value).strip().casefold(), 0.5
        values = np.array([none if not word else SAME_WORD if word == asked else OTHER_WORD for word in words])
        return np.log(values), math.log(none)
    column = parts.columns.get(one.size)
    if facts.told is Told.COUNT:
        known = [] if column is None else np.unique(column[~np.isnan(column)]).tolist()
        none = SAME / max(len(known), 2)
        values = np.full(len(parts.parts), none) if column is None else of_count(int(one.value), column)
    else:
        none = 1 / (facts.most_m - facts.least_m)
        values = np.full(len(parts.parts), none) if column is None else _of_length(parts, one)
    if column is not None:
        values = np.where(np.isnan(column), none, values)
    return np.log(np.maximum(values, 1e-300)), math.log(none)


def _of_length(parts: PartList, one: PartReading) -> Floats:
    column, wears = parts.columns[one.size], PART_SIZES[one.size].wears
    s_m = np.full(column.shape, math.hypot(max(one.u_m, 1e-5), TOLERANCE_M))
    read = float(one.value)
    if wears is None:
        return of_unworn(read, column, s_m)
    return of_worn(read, column, parts.allowances[one.size], s_m, wears is Direction.FALLS)


def _ranked(parts: PartList, readings: Sequence[PartReading], at: int, chance: float) -> Ranked:
    part = parts.parts[at]
    read = {one.size for one in readings}
    outside = tuple(one.size for one in readings if is_outside(parts, one, at))
    return Ranked(part, chance, outside, tuple(size for size in part.sizes if size not in read))


def is_outside(parts: PartList, one: PartReading, at: int) -> bool:
    """Whether a reading lies outside what a part of a list can show, new or worn; False where the list does not say.

    Parameters
    ----------
    parts : PartList
        The list.
    one : PartReading
        The reading.
    at : int
        Which part of the list.
    """
    facts = PART_SIZES[one.size]
    listed = parts.parts[at].sizes.get(one.size)
    if listed is None:
        return False
    if facts.told is Told.WORD:
        return str(listed).strip().casefold() != str(one.value).strip().casefold()
    if facts.told is Told.COUNT:
        return int(listed) != int(one.value)
    s_m, apart = math.hypot(one.u_m, TOLERANCE_M), float(one.value) - float(listed)
    worn = 0.0 if facts.wears is None else 1.2 * float(parts.allowances[one.size][at])
    low, high = (-worn, 0.0) if facts.wears is not Direction.RISES else (0.0, worn)
    return not low - OUTSIDE * s_m <= apart <= high + OUTSIDE * s_m
