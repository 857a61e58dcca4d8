"""The parts a yard took off, each with how worn it was by then.

See docs/explanation/learned-limits.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.fleet import forecast
from pitchline.outlook.learned import Learned
from pitchline.outlook.learned_limit import LearnedLimit, learned_limit
from pitchline.outlook.paths import GROUNDS, BoolArray, FloatArray, IntArray, Paths
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.ground import GroundClass
from pitchline.trade.part_events import Because


@dataclass(frozen=True, slots=True)
class Removals:
    """Parts taken off, r of them, all read at least once.

    Parameters
    ----------
    row : ndarray, shape (r,)
        Row of each in the paths it came from.
    kind : ndarray, shape (r,)
        Number of its kind.
    life_used, life_used_u : ndarray, shape (r,)
        Estimated life used when it came off, on the entered wear line, and its standard uncertainty [1].
    because : tuple of Because
        Why, for each.
    """

    row: IntArray
    kind: IntArray
    life_used: FloatArray
    life_used_u: FloatArray
    because: tuple[Because, ...]

    @property
    def worn(self) -> BoolArray:
        """Which came off for wear, shape (r,)."""
        return np.array([why is Because.WORN for why in self.because], dtype=np.bool_)


def learned_limits(removals: Removals, kinds: tuple[str, ...]) -> dict[str, LearnedLimit]:
    """What a yard runs each kind of part down to.

    Parameters
    ----------
    removals : Removals
        All removals of the yard.
    kinds : tuple of str
        Words for the kinds, in the order of their numbers.

    Returns
    -------
    dict of str to LearnedLimit
        One for each kind that was taken off at all, in the order of kinds.

    References
    ----------
    As learned_limit.
    """
    found = {}
    for number, word in enumerate(kinds):
        mine = removals.kind == number
        if mine.any():
            found[word] = learned_limit(removals.life_used[mine], removals.life_used_u[mine], removals.worn[mine])
    return found


def removals_from_paths(
    paths: Paths,
    removed: BoolArray,
    to_removal_h: FloatArray,
    because: Sequence[str],
    learned: Learned,
    seed: int = 0,
) -> Removals:
    """The parts taken off, each with its life used carried on to the hour it came off.

    Parameters
    ----------
    paths : Paths
        n parts, those taken off and those still fitted; kind numbers as in learned.
    removed : ndarray of bool, shape (n,)
        Which were taken off at hours that are known.
    to_removal_h : ndarray, shape (n, g)
        Hours in each ground class [h] from the last reading (or from fitting) to the removal, zero or more; not looked at for
        parts still fitted.
    because : sequence of str
        Why, for each of the n parts: worn, broken, together, unknown; empty counts as unknown.
    learned : Learned
        What is known of the constants.
    seed : int
        As in forecast.

    Returns
    -------
    Removals
        Those that were read at least once: a part never read says nothing on how worn it was.

    Raises
    ------
    NotAllowedError
        Arrays of different length, or a reason that is not one of the four words.
    """
    count = paths.kind.size
    if removed.shape != (count,) or to_removal_h.shape != (count, GROUNDS) or len(because) != count:
        raise NotAllowedError(
            "removals", "arrays of different length", phrase("one row for each of {count} parts", count=count)
        )
    tail_h = np.where(removed[:, None], to_removal_h, paths.tail_h)
    ground = np.full(count, int(GroundClass.MIDDLING), np.int64)
    counted = removed & (paths.count > 0)
    state = forecast(replace(paths, tail_h=tail_h), ground, learned, seed, counted)
    row = np.flatnonzero(counted)
    why = tuple(_because(because[int(at)]) for at in row)
    return Removals(row, paths.kind[row], state.life_used[row], state.life_used_u[row], why)


def _because(word: str) -> Because:
    said = word.strip().lower() or "unknown"
    if said not in tuple(Because):
        raise NotAllowedError(
            "removed because", word, ", ".join(Because), "Write one of these words, or leave it empty."
        )
    return Because(said)
