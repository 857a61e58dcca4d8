"""A bad newest reading of a part with a doubtful past takes no pace away that a milder one would have told.

Where earlier readings contradict each other, two stories are left: an older part that wears slowly, and a younger one that
wears fast. A newest reading that is worse than both fits the older one better, and with it a slower pace and more hours. So
such a part, and one whose newest reading is too bad to be quite believed, keeps the pace that milder values of that reading
would have told, and the wear that the reading itself tells. A milder value may also tell of a change nobody recorded, and so of
a younger part: it goes the whole way that a reading goes. And where it is likely, but not sure, that a part was changed, it lasts
no longer than it would as one part.

See docs/explanation/outlook.md.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.changes import Split, believe_split
from pitchline.outlook.constants import Constants
from pitchline.outlook.crossing import Crossing
from pitchline.outlook.filter import less_worn
from pitchline.outlook.paths import FloatArray, IntArray, Paths
from pitchline.outlook.quadrature import Beliefs, believe, shared

DOUBTFUL = 0.05
"""Chance that a reading before is far off or a part was changed without a record, from which milder values are tried."""
FAR_ABOVE = 2.0
"""Standard uncertainties of the newest reading above the wear believed at it, from which they are tried too."""
_STEP = 0.05
MILDER = _STEP * np.arange(31)
"""Milder values [1]: a step is about the doubt of a reading."""
_CHANCES = np.array([0.1, 0.5])


@dataclass(frozen=True, slots=True)
class NoMilder:
    """Beliefs in which no part lasts longer than milder values of its newest reading would have it last.

    Parameters
    ----------
    beliefs : Beliefs
        With the rates and the wear of whichever value leaves the fewest hours.
    tried : Crossing or None
        What the reading itself and each milder value say of the parts concerned; None where there are none.
    row : ndarray of int, shape (s,)
        Row of the part that each of these is of.
    """

    beliefs: Beliefs
    tried: Crossing | None
    row: IntArray

    def hours_and_now(
        self, against: Crossing, rows: IntArray, chances: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """The fewest hours to the levels by any of those tried, figure by figure.

        Parameters
        ----------
        against : Crossing
            k parts as now believed, against their levels.
        rows : ndarray of int, shape (k,)
            Their rows.
        chances : ndarray, shape (t,)
            Inside (0, 1) [1].

        Returns
        -------
        hours : ndarray, shape (k, t)
            Hours from now [h].
        now : ndarray, shape (k,)
            The greatest chance of being there already [1].
        """
        hours, now = against.hours_and_now(chances)
        place, which = np.nonzero(rows[:, None] == self.row)
        if self.tried is not None and which.size:
            others, there = replace(self.tried.of(which), level=against.level[place]).hours_and_now(chances)
            np.minimum.at(hours, place, others)
            np.maximum.at(now, place, there)
        return hours, now


def no_milder(
    beliefs: Beliefs,
    limits: Crossing,
    split: Split | None = None,
    usual: Constants | None = None,
    times_doubt: FloatArray | None = None,
) -> NoMilder:
    """The same beliefs, but that no part lasts longer than milder values of its newest reading would have it last.

    Parameters
    ----------
    beliefs : Beliefs
        Of n parts on one machine or several.
    limits : Crossing
        The same parts against their wear limits.
    split : Split or None
        How they were told apart; None where they were not.
    usual : Constants or None
        One set, as before any reading, by which it is asked whether a change is likely; None asks those of the beliefs.
    times_doubt : ndarray, shape (n, s), or None
        Times its doubt that each part's newest reading would have at each of MILDER [1], parts as before they were told apart;
        None where it is the same.

    Returns
    -------
    NoMilder
        Parts with a newest reading above their pace so far, and a doubtful past or not enough belief in that reading, or
        with a first one that their hours since fitting do not bear out, have the rates of whichever milder value, in steps
        of 0.05 of life used from the reading before on, leaves the fewest hours; the mean of their wear stays at least what
        it was. So have parts told apart, which are also looked at without the changes that are likely and not sure.
    """
    least_times = np.ones(beliefs.paths.kind.size)
    if times_doubt is not None:
        least_times[slice(None) if split is None else split.newest] = times_doubt.min(axis=1)
    rows = first = at = _doubtful(beliefs, least_times)
    paths, itself = beliefs.paths, np.zeros(rows.size, np.bool_)
    if split is not None:
        begins = np.r_[0, split.newest[:-1] + 1]
        apart = (split.newest > begins) | split.unsure
        at = np.flatnonzero(np.isin(split.newest, rows) | apart)
        rows, first, paths, itself = split.newest[at], begins[at], split.whole, apart[at]
    values = [_values(paths, part, too) for part, too in zip(at.tolist(), itself.tolist(), strict=True)]
    of = np.repeat(np.arange(rows.size), [each.size for each in values])
    if not of.size:
        return NoMilder(beliefs, None, rows[:0])
    # Each value as a part of its own, on a machine of its own: all are filtered in one go, and what the other parts say of
    # what it shares is taken from the beliefs as they are (the part's own factors divided out).
    copies = paths.rows(at[of])
    copies = replace(copies, machine=np.arange(of.size), wear=copies.wear.copy(), wear_u=copies.wear_u.copy())
    newest, shown = (np.arange(of.size), copies.count - 1), np.concatenate(values)
    if times_doubt is not None:
        of_all = at if split is None else split.rows[at]
        step = np.clip(np.rint(shown / _STEP), 0, MILDER.size - 1).astype(np.int64)
        copies.wear_u[newest] *= np.where(shown < copies.wear[newest], times_doubt[of_all[of], step], 1.0)
    copies.wear[newest] = shown

    def ask() -> Beliefs:
        by = believe(beliefs.paths, usual or beliefs.constants, beliefs.habits, None, beliefs.grid)
        return _by(by, copies, _others(by, rows, first)[:, of])

    told, copy = _stories(copies, beliefs, _others(beliefs, rows, first)[:, of], ask)
    weight, scaled, given, wear, var = told
    of = of[copy]
    # The pace of the milder story, the wear of the reading: by the milder wear as well it would buy hours.
    own = (beliefs.weight * beliefs.filtered.wear)[:, rows].sum(axis=2).mean(axis=0)
    used = (weight * wear).sum(axis=2).mean(axis=0)
    wear = wear + np.maximum(own[of] - used, 0.0)[None, :, None]
    tried = _beside(limits.of(rows), replace(limits.of(rows[of]), weight=weight, wear=wear, wear_var=var))
    part = np.r_[np.arange(rows.size), of]
    found = tuple(each.copy() for each in _told(beliefs))
    left = tried.hours(_CHANCES).sum(axis=1)
    for place, row in enumerate(rows):
        mine = np.flatnonzero(part == place)
        least = int(mine[left[mine].argmin()]) - rows.size
        if least >= 0:
            for into, value in zip(found, (weight, scaled, given, wear, var), strict=True):
                into[:, row] = value[:, least]
    weight, scaled, given, wear, var = found
    filtered = replace(beliefs.filtered, wear=wear, wear_var=var)
    mended = replace(beliefs, weight=weight, scaled=scaled, given_common=given, filtered=filtered)
    return NoMilder(mended, tried, rows[part])


def _told(beliefs: Beliefs) -> tuple[FloatArray, ...]:
    filtered = beliefs.filtered
    return beliefs.weight, beliefs.scaled, beliefs.given_common, filtered.wear, filtered.wear_var


def _beside(one: Crossing, other: Crossing) -> Crossing:
    """Several ways to see parts, one after the other."""
    by_row = {
        name: np.concatenate((getattr(one, name), getattr(other, name)), axis=1)
        for name in ("weight", "wear", "wear_var", "rate")
    }
    doubts = None if one.level_u is None or other.level_u is None else np.r_[one.level_u, other.level_u]
    return replace(one, **by_row, level=np.r_[one.level, other.level], level_u=doubts)


def _others(beliefs: Beliefs, rows: IntArray, first: IntArray) -> FloatArray:
    """What all but some parts say of what these share: their own factors, from their first lives on, divided out."""
    say = shared(beliefs.paths, np.log(beliefs.given_common))
    own_say = np.stack([say[:, low : row + 1].sum(axis=1) for low, row in zip(first, rows, strict=True)], axis=1)
    return np.asarray(beliefs.common[:, beliefs.common_of[rows]] / np.exp(own_say))


def _doubtful(beliefs: Beliefs, least_times: FloatArray) -> IntArray:
    paths, filtered = beliefs.paths, beliefs.filtered
    # A first reading has something to be worse than where it is known when the part was fitted, and in what state.
    begun = paths.start_known & (paths.count == 1)
    if not ((paths.count > 1) | begun).any():
        return np.zeros(0, np.int64)
    plain = (beliefs.weight * np.exp(filtered.log_kept + filtered.log_sound)).sum(axis=2).mean(axis=0)
    at, last = np.arange(paths.count.size), np.maximum(paths.count - 1, 0)
    less = less_worn(paths)[at, last]
    since = np.exp(beliefs.rate_log) * (np.exp(beliefs.constants.ground) @ paths.tail_h.T)[:, :, None]
    then = (beliefs.weight * (filtered.wear - since)).sum(axis=2).mean(axis=0)
    unbelieved = paths.wear[at, last] - then > FAR_ABOVE * least_times * paths.wear_u[at, last]
    unaged = ~paths.start_known & (less == 0.0)
    again = (paths.count > 1) & (less < 1.0) & ((plain < 1.0 - DOUBTFUL) | unbelieved | unaged)
    return np.flatnonzero(again | (begun & unbelieved))


def _values(paths: Paths, part: int, itself: bool) -> FloatArray:
    """Milder values of a part's newest reading, from the one before or its start on; and that reading too where that is asked."""
    last = int(paths.count[part]) - 1
    before, newest = paths.wear[part, max(last - 1, 0)] if last else 0.0, paths.wear[part, last]
    milder = MILDER[(before <= MILDER) & (newest > MILDER)]
    return np.append(milder, newest) if itself else milder


def _by(beliefs: Beliefs, paths: Paths, others: FloatArray) -> Beliefs:
    return believe(paths, beliefs.constants, beliefs.habits, None, beliefs.grid, others)


def _stories(
    copies: Paths, beliefs: Beliefs, others: FloatArray, ask: Callable[[], Beliefs]
) -> tuple[tuple[FloatArray, ...], IntArray]:
    """What is told of each copy, and which it is: one part, parts told apart, or both where a change is likely and not sure."""
    whole = _by(beliefs, copies, others)
    every = np.arange(copies.kind.size)
    stories = [(whole, every, every)]
    apart = believe_split(whole, others, ask)
    if apart is not None:
        lives, split = apart
        alike = np.setdiff1d(every, split.rows)
        stories = [(whole, alike, alike), (lives, split.newest, split.rows)]
        if split.surely is not None:
            where_sure = _by(beliefs, split.surely.paths, others[:, split.rows])
            stories.append((where_sure, split.surely.newest[split.unsure], split.rows[split.unsure]))
    told = zip(*([value[:, at] for value in _told(story)] for story, at, _ in stories), strict=True)
    return tuple(np.concatenate(each, axis=1) for each in told), np.concatenate([copy for _, _, copy in stories])
