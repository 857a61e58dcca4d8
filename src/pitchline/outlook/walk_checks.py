"""What a whole walk-round says against the record: a tool off by the same amount all day, or another ground than recorded.

Each reading is compared with what the part's own other readings make likely. Parts of one machine that are all off together
point to the tool where they are off by the same size, and to the ground where they are off in proportion to the wear since.

See docs/explanation/outlook.md.
"""

from dataclasses import dataclass

import numpy as np

from pitchline.outlook.constants import Constants
from pitchline.outlook.paths import BoolArray, FloatArray, IntArray, Paths

FEWEST_PARTS = 5
"""Parts of a machine that have to be read at a walk-round before anything is said of all of them."""
SAME_WALK_ROUND_H = 1.0
"""Readings of one machine closer than this are of one walk-round [h]."""
_BEFORE = (0.90, 0.05, 0.05)
_ZERO = 2.0
_MOST_APART = 3.0
"""A reading farther off counts as this many standard deviations: one misread part is not a misread walk-round."""
_USUAL_PACE, _OTHER_PACE = 0.10, 0.60


def walk_rounds(paths: Paths, start_h: FloatArray) -> IntArray:
    """Number of the walk-round each reading belongs to, machine by machine, by meter hours.

    Parameters
    ----------
    paths : Paths
        n parts with up to r readings each.
    start_h : ndarray, shape (n,)
        Meter hours the first step counts from [h]: when the part was fitted, 0 where that is unknown.

    Returns
    -------
    ndarray of int, shape (n, r)
        From 0 for each machine's first; -1 where padded. Readings of one machine within an hour count as one walk-round.
    """
    hours_h = start_h[:, None] + np.cumsum(paths.step_h.sum(axis=2), axis=1)
    row, column = np.nonzero(np.arange(hours_h.shape[1]) < paths.count[:, None])
    found = np.full(hours_h.shape, -1, np.int64)
    if not row.size:
        return found
    machine, at_h = paths.group[row], hours_h[row, column]
    order = np.lexsort((at_h, machine))
    new_machine = np.diff(machine[order]) > 0
    later = new_machine | (np.diff(at_h[order]) > SAME_WALK_ROUND_H)
    running = np.cumsum(np.r_[0, later])
    first = np.flatnonzero(np.r_[True, new_machine])
    base = np.repeat(running[first], np.diff(np.r_[first, order.size]))
    found[row[order], column[order]] = running - base
    return found


@dataclass(frozen=True, slots=True)
class WalkChecks:
    """What w walk-rounds of some machines say against the record.

    Parameters
    ----------
    machine, walk_round : ndarray, shape (w,)
        Which machine and which of its walk-rounds, from 0.
    parts : ndarray, shape (w,)
        Readings compared.
    zero_chance : ndarray, shape (w,)
        Chance that all readings of that day are off by a common amount [1].
    zero : ndarray, shape (w,)
        That amount, in standard uncertainties of the readings [1]; positive where they show too much wear.
    ground_chance : ndarray, shape (w,)
        Chance that the hours before it were worked on another ground than recorded [1].
    pace : ndarray, shape (w,)
        How many times as fast the machine wore then as the record says [1].
    """

    machine: IntArray
    walk_round: IntArray
    parts: IntArray
    zero_chance: FloatArray
    zero: FloatArray
    ground_chance: FloatArray
    pace: FloatArray

    def of_parts(self, paths: Paths, walk: IntArray) -> FloatArray:
        """Largest chance of either at any walk-round at which a part was read.

        Parameters
        ----------
        paths : Paths
            The n parts asked about.
        walk : ndarray of int, shape (n, r)
            Number of the walk-round of each of their readings; -1 where padded.

        Returns
        -------
        ndarray, shape (2, n)
            Chance that all readings of such a day are off by a common amount, and that hours were worked on another ground [1].
        """
        found = np.zeros((2, int(paths.group[-1]) + 1, int(walk.max(initial=0)) + 2))
        found[:, self.machine, self.walk_round] = self.zero_chance, self.ground_chance
        return np.asarray(found[:, paths.group[:, None], walk].max(axis=2))


@dataclass(frozen=True, slots=True)
class Surprises:
    """Each reading less what was expected of it.

    Parameters
    ----------
    apart : ndarray, shape (n, r)
        Reading less expectation [life used, 1]; 0 where there is nothing to compare with.
    var : ndarray, shape (n, r)
        Its variance [1].
    growth : ndarray, shape (n, r)
        Wear expected since the reading before [life used, 1].
    known : ndarray of bool, shape (n, r)
        Where there is something to compare with: every reading but the first of a part of unknown age.

    References
    ----------
    Kalman filter (textbook).
    """

    apart: FloatArray
    var: FloatArray
    growth: FloatArray
    known: BoolArray


def surprises(paths: Paths, rate_log: FloatArray, constants: Constants) -> Surprises:
    """Each reading less what the readings before it and the part's wear rate make likely.

    Parameters
    ----------
    paths : Paths
        n parts with up to r readings each.
    rate_log : ndarray, shape (n,)
        Log wear rate of each part on middling ground [log of life used per hour].
    constants : Constants
        One set.

    References
    ----------
    Kalman filter (textbook).
    """
    noise, span2 = float(constants.noise[0]), float(constants.span_spread[0]) ** 2
    grown = np.exp(rate_log)[:, None] * (paths.step_h @ np.exp(constants.ground[0]))
    read = np.arange(paths.wear.shape[1]) < paths.count[:, None]
    known = read.copy()
    known[:, 0] &= paths.start_known
    apart, var = np.zeros(grown.shape), np.ones(grown.shape)
    mean, sure = np.zeros(rate_log.size), paths.start_u**2
    for step in range(grown.shape[1]):
        mean = mean + grown[:, step]
        sure = sure + noise * grown[:, step] + span2 * grown[:, step] ** 2
        s2 = paths.wear_u[:, step] ** 2
        met = read[:, step] & ~known[:, step]
        apart[:, step], var[:, step] = paths.wear[:, step] - mean, sure + s2
        gain = np.where(met, 1.0, np.where(read[:, step], sure / (sure + s2), 0.0))
        mean = mean + gain * apart[:, step]
        sure = np.where(met, s2, sure * (1 - gain))
    return Surprises(np.where(known, apart, 0.0), var, np.where(known, grown, 0.0), known)


def walk_checks(paths: Paths, walk: IntArray, rate_log: FloatArray, constants: Constants) -> WalkChecks:
    """What the walk-rounds of some machines say against the record.

    Parameters
    ----------
    paths : Paths
        n parts with up to r readings each.
    walk : ndarray of int, shape (n, r)
        Number of the walk-round of each reading; -1 where padded.
    rate_log : ndarray, shape (n,)
        Log wear rate of each part on middling ground [log of life used per hour].
    constants : Constants
        One set.

    Returns
    -------
    WalkChecks
        For every walk-round at which enough parts were read.

    References
    ----------
    Three linear models compared by their evidence (textbook): nothing wrong but a machine that wears a little faster or slower
    than usual; a common amount added to all readings; a pace far from the recorded one. How likely each is beforehand is our own.
    """
    found = surprises(paths, rate_log, constants)
    part, column = np.nonzero(found.known & (walk >= 0))
    rounds = int(walk.max(initial=0)) + 1
    key, at = np.unique(paths.group[part] * rounds + walk[part, column], return_inverse=True)
    weight = 1 / found.var[part, column]
    apart, doubt, growth = (each[part, column] for each in (found.apart, paths.wear_u, found.growth))
    most = _MOST_APART / np.sqrt(weight)
    apart = np.clip(apart, -most, most)

    def total(each: FloatArray) -> FloatArray:
        return np.asarray(np.bincount(at, weights=each * weight, minlength=key.size), np.float64)

    sums = _Sums(
        total(doubt**2), total(doubt * growth), total(growth**2), total(doubt * apart), total(growth * apart)
    )
    models = [
        sums.weighed(zero, pace) for zero, pace in ((0.0, _USUAL_PACE), (_ZERO, _USUAL_PACE), (0.0, _OTHER_PACE))
    ]
    logs = np.log(_BEFORE)[:, None] + np.array([model[0] for model in models])
    chance = np.exp(logs - logs.max(axis=0))
    chance /= chance.sum(axis=0)
    parts = np.bincount(at, minlength=key.size)
    enough = parts >= FEWEST_PARTS
    return WalkChecks(
        *(key[enough] // rounds, key[enough] % rounds, parts[enough]),
        *(chance[1][enough], models[1][1][enough], chance[2][enough], 1 + models[2][2][enough]),
    )


@dataclass(frozen=True, slots=True)
class _Sums:
    """Weighed sums of squares and products of doubt, growth and surprise, one for each walk-round."""

    zero_zero: FloatArray
    zero_pace: FloatArray
    pace_pace: FloatArray
    zero_apart: FloatArray
    pace_apart: FloatArray

    def weighed(self, zero_u: float, pace_u: float) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Log evidence against no effect at all, and mean of the zero and of the pace, priors centred on nothing."""
        a, b, c = self.zero_zero * zero_u**2 + 1, self.zero_pace * zero_u * pace_u, self.pace_pace * pace_u**2 + 1
        p, q = self.zero_apart * zero_u, self.pace_apart * pace_u
        det = a * c - b**2
        zero, pace = (c * p - b * q) / det, (a * q - b * p) / det
        return -0.5 * np.log(det) + 0.5 * (p * zero + q * pace), zero * zero_u, pace * pace_u
