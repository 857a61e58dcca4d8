"""A bad newest reading of a part with a doubtful past takes no pace away that a milder one would have told.

Where earlier readings contradict each other, two stories are left: an older part that wears slowly, and a younger one that
wears fast. A newest reading that is worse than both fits the older one better, and with it a slower pace and more hours. So
such a part, and one whose newest reading is too bad to be quite believed, keeps the pace that milder values of that reading
would have told, and the wear that the reading itself tells. And where it is likely, but not sure, that a part was changed
without a record, it lasts no longer than it would as one part.

See docs/explanation/outlook.md.
"""

from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.changes import Split, believe_split
from pitchline.outlook.crossing import Crossing
from pitchline.outlook.filter import less_worn
from pitchline.outlook.paths import FloatArray, IntArray, Paths
from pitchline.outlook.quadrature import Beliefs, believe, shared

DOUBTFUL = 0.05
"""Chance that a reading before is far off or a part was changed without a record, from which milder values are tried."""
FAR_ABOVE = 2.0
"""Standard uncertainties of the newest reading above the wear believed at it, from which they are tried too."""
_STEP, _MOST = 0.05, 1.5
"""Steps of the milder values, and the worst of them [1]: a step is about the doubt of a reading."""
_CHANCES = np.array([0.1, 0.5])


@dataclass(frozen=True, slots=True)
class NoMilder:
    """Beliefs in which no part lasts longer than milder values of its newest reading would have it last.

    Parameters
    ----------
    beliefs : Beliefs
        With the rates and the wear of whichever value leaves the fewest hours.
    tried : dict of int to Crossing
        By row of the parts concerned: what the reading itself and each milder value say.
    """

    beliefs: Beliefs
    tried: dict[int, Crossing]

    def least(self, row: int, level: float, chances: FloatArray) -> tuple[FloatArray, float]:
        """The fewest hours to a level by any of those tried, figure by figure.

        Parameters
        ----------
        row : int
            A part concerned.
        level : float
            Life used that counts as reached [1].
        chances : ndarray, shape (t,)
            Inside (0, 1) [1].

        Returns
        -------
        hours : ndarray, shape (t,)
            Hours from now [h].
        now : float
            The greatest chance of being there already [1].
        """
        tried = self.tried[row]
        tried = replace(tried, level=np.full_like(tried.level, level))
        hours, now = tried.hours_and_now(chances)
        return hours.min(axis=0), float(now.max())


def no_milder(beliefs: Beliefs, limits: Crossing, split: Split | None = None) -> NoMilder:
    """The same beliefs, but that no part lasts longer than milder values of its newest reading would have it last.

    Parameters
    ----------
    beliefs : Beliefs
        Of n parts on one machine or several.
    limits : Crossing
        The same parts against their wear limits.
    split : Split or None
        How they were told apart; None where they were not.

    Returns
    -------
    NoMilder
        Parts with a newest reading above their pace so far, and a doubtful past or not enough belief in that reading, have the
        rates of whichever milder value, in steps of 0.05 of life used from the reading before on, leaves the fewest hours; the
        mean of their wear stays at least what it was. So have parts told apart, which are also looked at without the changes
        that are likely and not sure.
    """
    rows = _doubtful(beliefs)
    if split is None:
        pieces = {int(row): (int(row), beliefs.paths.rows(rows[at : at + 1])) for at, row in enumerate(rows)}
    else:
        first = np.r_[0, split.newest[:-1] + 1]
        asked = np.flatnonzero(np.isin(split.newest, rows) | (split.newest > first))
        pieces = {int(split.newest[at]): (int(first[at]), split.whole.rows(np.array([at]))) for at in asked}
    if not pieces:
        return NoMilder(beliefs, {})
    found = tuple(each.copy() for each in _told(beliefs))
    tried = {row: _one(beliefs, limits, row, first, part, found) for row, (first, part) in pieces.items()}
    weight, scaled, given, wear, var = found
    filtered = replace(beliefs.filtered, wear=wear, wear_var=var)
    return NoMilder(replace(beliefs, weight=weight, scaled=scaled, given_machine=given, filtered=filtered), tried)


def _told(beliefs: Beliefs) -> tuple[FloatArray, ...]:
    filtered = beliefs.filtered
    return beliefs.weight, beliefs.scaled, beliefs.given_machine, filtered.wear, filtered.wear_var


def _beside(one: Crossing, other: Crossing) -> Crossing:
    """Several ways to see parts, one after the other."""
    by_row = {
        name: np.concatenate((getattr(one, name), getattr(other, name)), axis=1)
        for name in ("weight", "wear", "wear_var", "rate")
    }
    return replace(one, **by_row, level=np.r_[one.level, other.level])


def _doubtful(beliefs: Beliefs) -> IntArray:
    paths, filtered = beliefs.paths, beliefs.filtered
    if not (paths.count > 1).any():
        return np.zeros(0, np.int64)
    plain = (beliefs.weight * np.exp(filtered.log_kept + filtered.log_sound)).sum(axis=2).mean(axis=0)
    at, last = np.arange(paths.count.size), np.maximum(paths.count - 1, 0)
    less = less_worn(paths)[at, last]
    since = np.exp(beliefs.rate_log) * (np.exp(beliefs.constants.ground) @ paths.tail_h.T)[:, :, None]
    then = (beliefs.weight * (filtered.wear - since)).sum(axis=2).mean(axis=0)
    unbelieved = paths.wear[at, last] - then > FAR_ABOVE * paths.wear_u[at, last]
    unaged = ~paths.start_known & (less == 0.0)
    return np.flatnonzero((paths.count > 1) & (less < 1.0) & ((plain < 1.0 - DOUBTFUL) | unbelieved | unaged))


def _one(
    beliefs: Beliefs, limits: Crossing, row: int, first: int, part: Paths, found: tuple[FloatArray, ...]
) -> Crossing:
    """Writes the rates and the wear of the worst of the milder values into a row, where it is worse than the reading's own."""
    last = int(part.count[0]) - 1
    newest = float(part.wear[0, last])
    before = max(float(part.wear[0, last - 1]), 0.0)
    levels = np.arange(np.ceil(before / _STEP) * _STEP, min(newest, _MOST), _STEP)
    if first < row:
        levels = np.r_[levels, newest]
    itself = limits.of([row])
    if not levels.size:
        return itself
    # Each milder value as a part of its own, on a machine of its own: all are filtered in one go, and what the machine's other
    # parts say of its effect is taken from the beliefs as they are (the part's own factors divided out).
    copies = part.rows(np.zeros(levels.size, np.int64))
    copies = replace(copies, machine=np.arange(levels.size), wear=copies.wear.copy())
    copies.wear[:, last] = levels
    own_say = np.exp(shared(beliefs.paths, np.log(beliefs.given_machine))[:, first : row + 1].sum(axis=1))
    stories = _stories(copies, beliefs, (beliefs.machine[:, beliefs.paths.group[row]] / own_say)[:, None])
    weight, scaled, given, wear, var = (
        np.concatenate(each, axis=1)
        for each in zip(*([value[:, at] for value in _told(story)] for story, at in stories), strict=True)
    )
    used = (weight * wear).sum(axis=2).mean(axis=0)
    own = float((beliefs.weight[:, row] * beliefs.filtered.wear[:, row]).sum(axis=1).mean())
    # The pace of the milder story, the wear of the reading: by the milder wear as well it would buy hours.
    wear = wear + np.maximum(own - used, 0.0)[None, :, None]
    rate, level = np.repeat(itself.rate, used.size, axis=1), np.repeat(itself.level, used.size)
    every = _beside(itself, replace(itself, weight=weight, wear=wear, wear_var=var, rate=rate, level=level))
    least = int(every.hours(_CHANCES).sum(axis=1).argmin())
    if least:
        for into, value in zip(found, (weight, scaled, given, wear, var), strict=True):
            into[:, row] = value[:, least - 1]
    return every


def _stories(copies: Paths, beliefs: Beliefs, others: FloatArray) -> list[tuple[Beliefs, IntArray]]:
    """What each copy may be, and its rows there: one part, parts told apart, or both where a change is likely and not sure."""
    constants, habits, grid = beliefs.constants, beliefs.habits, beliefs.grid
    whole = believe(copies, constants, habits, None, grid, others)
    apart = believe_split(whole, constants, habits, grid, others)
    every = np.arange(copies.kind.size)
    if apart is None:
        return [(whole, every)]
    lives, split = apart
    stories = [(whole, np.setdiff1d(every, split.rows)), (lives, split.newest)]
    if split.surely is not None:
        surely = believe(split.surely.paths, constants, habits, None, grid, others)
        stories.append((surely, split.surely.newest[split.unsure]))
    return stories
