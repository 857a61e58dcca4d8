"""A bad newest reading of a part with a doubtful past takes no pace away that a milder one would have told.

Where earlier readings contradict each other, two stories are left: an older part that wears slowly, and a younger one that
wears fast. A newest reading that is worse than both fits the older one better, and with it a slower pace and more hours. So
such a part, and one whose newest reading is too bad to be quite believed, keeps the pace that milder values of that reading
would have told, and the wear that the reading itself tells. And where it is likely, but not sure, that a part was changed
without a record, it lasts no longer than it would as one part.

See docs/explanation/outlook.md.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.changes import Split
from pitchline.outlook.crossing import Crossing
from pitchline.outlook.filter import filter_paths, less_worn
from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.outlook.quadrature import Beliefs, believe

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

    def believed(self, limits: Crossing, row: int) -> Crossing:
        """One part as it is now believed.

        Parameters
        ----------
        limits : Crossing
            The parts against their wear limits, as believed before or now.
        row : int
            Its row.
        """
        weight, _, _, wear, var = (each[:, [row]] for each in _told(self.beliefs))
        return replace(limits.of([row]), weight=weight, wear=wear, wear_var=var)


def no_milder(beliefs: Beliefs, limits: Crossing, asked: IntArray | None = None) -> NoMilder:
    """The same beliefs, but that no part lasts longer than milder values of its newest reading would have it last.

    Parameters
    ----------
    beliefs : Beliefs
        Of n parts on one machine.
    limits : Crossing
        The same parts against their wear limits.
    asked : ndarray of int, shape (k,), or None
        Rows to look at; None looks at all.

    Returns
    -------
    NoMilder
        Parts with a newest reading above their pace so far, and a doubtful past or not enough belief in that reading, have the
        rates of whichever milder value, in steps of 0.05 of life used from the reading before on, leaves the fewest hours; the
        mean of their wear stays at least what it was.
    """
    rows = _doubtful(beliefs)
    if asked is not None:
        rows = np.intersect1d(rows, asked)
    if not rows.size:
        return NoMilder(beliefs, {})
    found = _copied(beliefs)
    tried = {int(row): _one(beliefs, limits, int(row), found) for row in rows}
    return NoMilder(_with(beliefs, found), tried)


def fewer_hours(
    apart: NoMilder, limits: Crossing, split: Split, limits_of: Callable[[Beliefs], Crossing]
) -> NoMilder:
    """The same beliefs, but that no part lasts longer for a change that is likely and not sure.

    Parameters
    ----------
    apart : NoMilder
        Beliefs of the parts as told apart.
    limits : Crossing
        The same against their wear limits.
    split : Split
        How they were told apart.
    limits_of : callable
        Takes beliefs of the same parts told apart at sure changes alone, gives these against their wear limits.

    Returns
    -------
    NoMilder
        Where a change is unsure, what is believed of the part without it stands if that leaves fewer hours: a worse newest
        reading that makes a change before it likely would otherwise buy a younger part's hours.
    """
    if split.surely is None:
        return apart
    pairs = np.column_stack((split.surely.newest, split.newest))[split.unsure]
    told = apart.beliefs
    whole = believe(split.surely.paths, told.constants, told.habits, None, told.grid)
    whole_limits = limits_of(whole)
    together = no_milder(whole, whole_limits, pairs[:, 0])
    found, tried = _copied(apart.beliefs), dict(apart.tried)
    for old, new in pairs.tolist():
        here, there = apart.believed(limits, new), together.believed(whole_limits, old)
        tried[new] = _beside(tried.get(new, here), together.tried.get(old, there))
        if there.hours(_CHANCES).sum() < here.hours(_CHANCES).sum():
            for into, value in zip(found, _told(together.beliefs), strict=True):
                into[:, new] = value[:, old]
    return NoMilder(_with(apart.beliefs, found), tried)


def _told(beliefs: Beliefs) -> tuple[FloatArray, ...]:
    filtered = beliefs.filtered
    return beliefs.weight, beliefs.scaled, beliefs.given_machine, filtered.wear, filtered.wear_var


def _copied(beliefs: Beliefs) -> tuple[FloatArray, ...]:
    return tuple(each.copy() for each in _told(beliefs))


def _with(beliefs: Beliefs, told: tuple[FloatArray, ...]) -> Beliefs:
    weight, scaled, given, wear, var = told
    filtered = replace(beliefs.filtered, wear=wear, wear_var=var)
    return replace(beliefs, weight=weight, scaled=scaled, given_machine=given, filtered=filtered)


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


def _one(beliefs: Beliefs, limits: Crossing, row: int, found: tuple[FloatArray, ...]) -> Crossing:
    """Writes the rates and the wear of the worst of the milder values into a row, where it is worse than the reading's own."""
    paths, last = beliefs.paths, int(beliefs.paths.count[row]) - 1
    newest = float(paths.wear[row, last])
    before = max(float(paths.wear[row, last - 1]), 0.0)
    levels = np.arange(np.ceil(before / _STEP) * _STEP, min(newest, _MOST), _STEP)
    itself = limits.of([row])
    if not levels.size:
        return itself
    at = np.full(levels.size, row)
    # Each milder value as a part of its own, on a machine of its own: all are filtered in one go, and what the machine's other
    # parts say of its effect is taken from the beliefs as they are (its own factor divided out).
    copies = paths.rows(at)
    copies = replace(copies, machine=np.arange(levels.size), wear=copies.wear.copy())
    copies.wear[:, last] = levels
    tried = filter_paths(copies, beliefs.rate_log[:, at], beliefs.constants, beliefs.habits)
    others = (beliefs.machine[:, beliefs.paths.group[row]] / beliefs.given_machine[:, row])[:, None]
    scaled = np.exp(tried.log_like - tried.log_like.max(axis=2, keepdims=True))
    given = np.maximum(scaled @ beliefs.kernel, 1e-30)
    weight = scaled * (others @ beliefs.kernel.transpose(0, 2, 1))
    weight /= weight.sum(axis=2, keepdims=True)
    used = (weight * tried.wear).sum(axis=2).mean(axis=0)
    own = float((beliefs.weight[:, row] * beliefs.filtered.wear[:, row]).sum(axis=1).mean())
    # The pace of the milder story, the wear of the reading: by the milder wear as well it would buy hours.
    wear = tried.wear + np.maximum(own - used, 0.0)[None, :, None]
    rate, level = np.repeat(itself.rate, levels.size, axis=1), np.repeat(itself.level, levels.size)
    every = _beside(
        itself, replace(itself, weight=weight, wear=wear, wear_var=tried.wear_var, rate=rate, level=level)
    )
    least = int(every.hours(_CHANCES).sum(axis=1).argmin())
    if least:
        for into, value in zip(found, (weight, scaled, given, wear, tried.wear_var), strict=True):
            into[:, row] = value[:, least - 1]
    return every
