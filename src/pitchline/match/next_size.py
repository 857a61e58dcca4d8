"""Which size to read next: the one that is expected to tell the likely parts apart best."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from pitchline.match.likelihood import (
    ONE_OFF,
    OTHER,
    OTHER_WORD,
    PAST_LIMIT,
    SAME,
    SAME_WORD,
    Floats,
    of_unworn,
    of_worn,
)
from pitchline.match.parts import TOLERANCE_M, PartList
from pitchline.match.ranking import Match
from pitchline.trade.measurands import Direction
from pitchline.trade.part_sizes import PART_SIZES, PartSize, Told

LIKELY, MOST = 0.01, 8
"""Parts from this chance on, at most so many, are told apart."""
LEAST_NATS = 0.01
POINTS = 400
TOOL_M = 0.0005
"""Doubt of the reading to come [m]: an assumption."""


@dataclass(frozen=True, slots=True)
class NextSize:
    """A size worth reading.

    Parameters
    ----------
    size : PartSize
        Which.
    nats : float
        How much it is expected to tell [nat].
    sure_then : float
        Chance that the likeliest part is right once it is read, as expected [1].
    """

    size: PartSize
    nats: float
    sure_then: float


def next_sizes(
    parts: PartList, match: Match, read: frozenset[PartSize], u_m: float = TOOL_M
) -> tuple[NextSize, ...]:
    """Sizes not read yet that would tell the likely parts apart, the best first.

    Parameters
    ----------
    parts : PartList
        The list.
    match : Match
        What is thought so far.
    read : frozenset of PartSize
        What was read.
    u_m : float
        Standard uncertainty of the reading to come [m], above 0.

    Returns
    -------
    tuple of NextSize
        Empty where one part alone is likely, or the list tells the likely ones apart by nothing.

    References
    ----------
    Mutual information of a look and the answer, as in sequential diagnosis: de Kleer and Williams (1987), from memory.
    """
    order = np.argsort(-match.chances, kind="stable")[:MOST]
    likely = [int(at) for at in order if match.chances[at] >= LIKELY]
    if len(likely) < 2:
        return ()
    chance = match.chances[likely] / match.chances[likely].sum()
    found = []
    for size in (*parts.columns, *parts.words):
        if size in read or any(size not in parts.parts[at].sizes for at in likely):
            continue
        table = _table(parts, size, likely, u_m)
        mixed = chance @ table
        with np.errstate(divide="ignore", invalid="ignore"):
            bits = np.where(table > 0, table * np.log(table / mixed), 0.0)
        nats = float((chance[:, None] * bits).sum())
        found.append(NextSize(size, nats, float((chance[:, None] * table).max(axis=0).sum())))
    worth = [one for one in found if one.nats >= LEAST_NATS]
    return tuple(sorted(worth, key=lambda one: (-one.sure_then, -one.nats)))


def _table(parts: PartList, size: PartSize, likely: list[int], u_m: float) -> Floats:
    """Chance of each outcome for each of the likely parts, shape (likely, outcomes); lengths on an even grid."""
    facts = PART_SIZES[size]
    if facts.told is Told.WORD:
        words = [parts.words[size][at] for at in likely]
        return _as_chances(
            [[SAME_WORD if one == other else OTHER_WORD for other in dict.fromkeys(words)] for one in words]
        )
    listed = parts.columns[size][likely]
    if facts.told is Told.COUNT:
        counts = np.unique(listed)
        apart = np.abs(listed[:, None] - counts)
        return _as_chances(np.where(apart == 0, SAME, np.where(apart == 1, ONE_OFF, OTHER)))
    allowance = parts.allowances[size][likely]
    s_m = math.hypot(u_m, TOLERANCE_M)
    reach = PAST_LIMIT * allowance.max() + 5 * s_m
    grid = np.linspace(listed.min() - reach, listed.max() + reach, POINTS)
    rows = []
    for new_m, worn_m in zip(listed.tolist(), allowance.tolist(), strict=True):
        near = np.full(grid.shape, new_m)
        doubt = np.full(grid.shape, s_m)
        if facts.wears is None:
            rows.append([of_unworn(float(y), near[:1], doubt[:1])[0] for y in grid])
        else:
            falls = facts.wears is Direction.FALLS
            rows.append([of_worn(float(y), near[:1], np.array([worn_m]), doubt[:1], falls)[0] for y in grid])
    return _as_chances(rows)


def _as_chances(rows: ArrayLike) -> Floats:
    """Each row made to add up to 1."""
    table = np.asarray(rows, dtype=np.float64)
    shares: Floats = table / table.sum(axis=1, keepdims=True)
    return shares
