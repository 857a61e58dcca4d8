"""Parts changed without a record: once readings show it, the part before and the part after are two lives.

See docs/explanation/outlook.md.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.constants import Constants
from pitchline.outlook.filter import NEW_START, Habits, less_worn
from pitchline.outlook.paths import BoolArray, FloatArray, IntArray, Paths
from pitchline.outlook.quadrature import Beliefs, believe

LIKELY = 0.5
"""Chance from which the part before and the part after are two lives."""
SURE = 0.95
"""Chance by earlier readings alone from which nothing but two lives is thought of."""
_ASKED = 0.05
"""Chance from which it is asked at all."""


@dataclass(frozen=True, slots=True)
class Split:
    """The machines with parts changed without a record, those parts told apart.

    Parameters
    ----------
    paths : Paths
        The lives after the split, by machine; other machines are left out.
    rows : ndarray, shape (k,)
        Rows of those machines' parts in the paths before.
    newest : ndarray, shape (k,)
        For each of them its row now: the life that runs on.
    unsure : ndarray of bool, shape (k,)
        Whether one of its changes is likely and not sure.
    whole : Paths
        Those machines' parts as they were before, k of them.
    surely : Split or None
        The same parts told apart at sure changes alone; None where all are sure.
    """

    paths: Paths
    rows: IntArray
    newest: IntArray
    unsure: BoolArray
    whole: Paths
    surely: "Split | None" = None


def surely_changed(paths: Paths, usual: Constants, habits: Habits) -> FloatArray:
    """Chance that each part was changed without a record before each of its readings, where that is beyond doubt.

    No newest reading is heard, and the constants are those that no reading has moved: by others a chance at the border of sure
    would fall on either side of it, from one reading to a worse one.

    Parameters
    ----------
    paths : Paths
        n parts on one machine or several that share no kind.
    usual : Constants
        One set, as before any reading.
    habits : Habits
        How often records leave something out.

    Returns
    -------
    ndarray, shape (n, r)
        Chances [1]; 0 where it is not sure, and before the newest.
    """
    early = _earlier(paths)
    if not (habits.unrecorded and early.any()):
        return np.zeros(paths.wear.shape)
    step_h = np.where(early[:, :, None], paths.step_h, 0.0)
    told = believe(replace(paths, count=early.sum(axis=1), step_h=step_h, share=None), usual, habits)
    chances = _chances(told.filtered.changed, told.weight)
    return np.where(early & (chances > SURE), chances, 0.0)


def cut_at(paths: Paths, changed: BoolArray) -> tuple[Paths, IntArray]:
    """The lives before and after each change as parts of their own.

    Parameters
    ----------
    paths : Paths
        n parts.
    changed : ndarray of bool, shape (n, r)
        Whether each was changed before each of its readings.

    Returns
    -------
    lives : Paths
        m lives; one after a change was begun at an unknown hour since the reading before it.
    newest : ndarray, shape (n,)
        For each part the row of the life that runs on.
    """
    if not changed.any():
        return paths, np.arange(paths.count.size)
    pieces, newest = _pieces(changed, paths.count)
    return _cut(paths, pieces, newest, changed), newest


def change_chances(beliefs: Beliefs) -> FloatArray:
    """Chance that each part was changed without a record before each of its readings.

    Parameters
    ----------
    beliefs : Beliefs
        Of n parts.

    Returns
    -------
    ndarray, shape (n, r)
        Chances [1]; 0 where there is no such reading. A newest reading that shows more wear than expected counts for none of
        the changes before it: by all readings and without it, the lesser chance stands.
    """
    changed = beliefs.filtered.changed
    chances = _chances(changed, beliefs.weight)
    earlier = _earlier(beliefs.paths)
    rows = np.flatnonzero((earlier & (chances > LIKELY)).any(axis=1))
    if rows.size:
        last = beliefs.paths.count[rows] - 1
        heard = less_worn(beliefs.paths.rows(rows))[np.arange(rows.size), last]
        without = _chances(changed[:, :, rows], _weight_hearing(beliefs, rows, heard))
        chances[rows] = np.where(earlier[rows], np.minimum(chances[rows], without), chances[rows])
    return chances


def _earlier(paths: Paths) -> BoolArray:
    return np.asarray(np.arange(paths.wear.shape[1]) < (paths.count - 1)[:, None])


def _chances(changed: FloatArray, weight: FloatArray) -> FloatArray:
    return np.asarray((changed * weight).sum(axis=3).mean(axis=1).T, np.float64)


def _weight_hearing(beliefs: Beliefs, rows: IntArray, heard: FloatArray) -> FloatArray:
    """Posterior weight of some parts' rates with their newest readings counted for so much, shape (b, k, j)."""
    filtered = beliefs.filtered
    before = filtered.log_before[:, rows]
    # A fraction of a reading: its likelihood to a power. Nothing of it where it shows more wear than expected.
    log = before + heard[:, None].astype(before.dtype) * (filtered.log_like[:, rows] - before)
    others = beliefs.common[:, beliefs.common_of[rows]] / beliefs.given_common[:, rows]
    weight = np.exp(log - log.max(axis=2, keepdims=True)) * (others @ beliefs.kernel.transpose(0, 2, 1))
    return np.asarray(weight / weight.sum(axis=2, keepdims=True))


def split_at_changes(paths: Paths, chances: FloatArray) -> Split | None:
    """The lives before and after each likely change as parts of their own.

    Parameters
    ----------
    paths : Paths
        n parts, earlier changes that are sure cut already.
    chances : ndarray, shape (n, r)
        As from change_chances [1].

    Returns
    -------
    Split or None
        None where no change is likely.

    References
    ----------
    Our own, see docs/explanation/outlook.md: the new part has a part effect of its own.
    """
    likely = chances > LIKELY
    if not likely.any():
        return None
    group = paths.group
    rows = np.flatnonzero(np.isin(group, group[likely.any(axis=1)]))
    sure = ((chances > SURE) & ~_earlier(paths))[rows]
    unsure: BoolArray = np.any(likely[rows] & ~sure, axis=1)
    surely = _split(paths, rows, sure, np.zeros_like(unsure), None) if unsure.any() else None
    return _split(paths, rows, likely[rows], unsure, surely)


def _split(paths: Paths, rows: IntArray, begins: BoolArray, unsure: BoolArray, surely: Split | None) -> Split:
    whole = paths.rows(rows)
    lives, newest = cut_at(whole, begins)
    return Split(lives, rows, newest, unsure, whole, surely)


def _pieces(likely: BoolArray, count: IntArray) -> tuple[IntArray, IntArray]:
    """Part, first and beyond-last reading of each life, shape (m, 3), and the row of each part's last life."""
    begins = np.zeros((count.size, likely.shape[1] + 1), np.bool_)
    begins[:, :-1] = likely
    begins[:, 0] = True
    part, low = np.nonzero(begins)
    last = np.r_[part[1:] != part[:-1], True]
    high = np.where(last, count[part], np.r_[low[1:], 0])
    return np.stack((part, low, high), axis=1), np.flatnonzero(last)


def _cut(paths: Paths, pieces: IntArray, newest: IntArray, likely: BoolArray) -> Paths:
    rows, low, high = pieces.T
    wide = paths.wear.shape[1]
    # Each life takes its readings from where it begins; the hours before its first one are those since the reading before, which
    # bound its age (`meter_known`), and it begins as a new part whose start nobody wrote down.
    begun = likely[rows, np.minimum(low, wide - 1)]
    at = np.minimum(low[:, None] + np.arange(wide), wide - 1)
    inside = np.arange(wide) < (high - low)[:, None]
    pick = rows[:, None], at
    runs_on = np.zeros(rows.size, np.bool_)
    runs_on[newest] = True
    return Paths(
        kind=paths.kind[rows],
        machine=paths.machine[rows],
        start_u=np.where(begun, np.minimum(paths.start_u[rows], NEW_START), paths.start_u[rows]),
        start_known=paths.start_known[rows] & ~begun,
        meter_known=paths.meter_known[rows] | begun,
        count=high - low,
        step_h=np.where(inside[:, :, None], paths.step_h[pick], 0.0),
        wear=np.where(inside, paths.wear[pick], 0.0),
        wear_u=np.where(inside, paths.wear_u[pick], 1.0),
        tail_h=np.where(runs_on[:, None], paths.tail_h[rows], 0.0),
        may_be_first=paths.may_be_first[rows] & ~begun,
        share=None if paths.share is None else paths.share[rows],
    )


def believe_split(
    before: Beliefs, others: FloatArray | None = None, ask: Callable[[], Beliefs] | None = None
) -> tuple[Beliefs, Split] | None:
    """Beliefs of the machines with parts changed without a record, likely changes taken for facts.

    Parameters
    ----------
    before : Beliefs
        As believed before.
    others : ndarray, shape (b, m, j), or None
        As in believe [1].
    ask : callable or None
        Beliefs of the same parts by constants that no reading has moved: whether a change is likely is asked of these, because
        the constants of a machine hear a newest reading a little. None asks those before.

    Returns
    -------
    tuple of Beliefs and Split, or None
        None where no change is likely.
    """
    if not (_chances(before.filtered.changed, before.weight) > _ASKED).any():
        return None
    asked = before if ask is None else ask()
    split = split_at_changes(before.paths, change_chances(asked.in_full() if others is None else asked))
    if split is None:
        return None
    others = None if others is None else others[:, np.unique(before.paths.group[split.rows])]
    return believe(split.paths, before.constants, before.habits, None, before.grid, others), split
