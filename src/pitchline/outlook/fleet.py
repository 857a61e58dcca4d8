"""The outlook of many machines at once: what their readings say of the constants, and hours left for every part.

See docs/explanation/outlook.md.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pitchline.outlook.changes import believe_split
from pitchline.outlook.constants import Constants, Priors
from pitchline.outlook.crossing import Crossing, crossing
from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import constants_for, free_scale
from pitchline.outlook.grid import FORECAST, Grid
from pitchline.outlook.late import bent, slope, straightened
from pitchline.outlook.learned import Learned as Learned
from pitchline.outlook.learned import kind_word as kind_word
from pitchline.outlook.learned import plugged_in as plugged_in
from pitchline.outlook.learned import weak as weak
from pitchline.outlook.learning import Each, in_turn, most_likely
from pitchline.outlook.paths import BoolArray, FloatArray, IntArray, Paths
from pitchline.outlook.quadrature import Beliefs, believe
from pitchline.outlook.quantiles import hours_of_many
from pitchline.outlook.walk_checks import walk_checks
from pitchline.trade.ground import GroundClass

LEVELS = (0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95)
"""Chances at which hours left are given."""
BLOCK_MACHINES = 32
"""Machines are computed in blocks of this many, counted from the first, so that the bits do not depend on chunking."""
ENOUGH_MACHINES = 30
"""From this many machines on the constants are plugged in; below, they are integrated over."""


@dataclass(frozen=True, slots=True)
class Forecast:
    """Outlook of n parts.

    Parameters
    ----------
    life_used, life_used_u : ndarray, shape (n,)
        Mean and standard deviation of life used now [1].
    chance_past_limit : ndarray, shape (n,)
        Chance of being past the wear limit already [1].
    hours_left : ndarray, shape (n, 7)
        Hours by which the limit is reached with the chances of LEVELS [h].
    chance_changed : ndarray, shape (n,)
        Chance that the part was changed without a record [1].
    doubt_reading : ndarray, shape (n,)
        Chance that a reading of it is far off [1].
    doubt_zero : ndarray, shape (n,)
        Chance that all readings of one of its walk-rounds are off by a common amount [1].
    doubt_ground : ndarray, shape (n,)
        Chance that hours before one of its walk-rounds were worked on another ground than recorded [1].
    """

    life_used: FloatArray
    life_used_u: FloatArray
    chance_past_limit: FloatArray
    hours_left: FloatArray
    chance_changed: FloatArray
    doubt_reading: FloatArray
    doubt_zero: FloatArray
    doubt_ground: FloatArray


def learn(paths: Paths, start: Learned, seed: int = 0, each: Each = in_turn) -> Learned:
    """Constants learned from the wear paths of many machines.

    Parameters
    ----------
    paths : Paths
        n parts; kind numbers as in start.
    start : Learned
        What was known before.
    seed : int
        Kept for the same call everywhere; the fit draws nothing.
    each : callable
        Who adds up.

    Returns
    -------
    Learned
        Means and standard deviations after these readings.

    References
    ----------
    Empirical Bayes with Laplace's approximation (textbook); see docs/explanation/outlook.md.
    """
    del seed
    scale = free_scale(paths, start.priors, int(GroundClass.MIDDLING))
    found = most_likely(paths, scale, Habits(), each)
    spread = np.sqrt(np.diag(found.covariance)) * scale.deviation
    mean = scale.mean + scale.deviation * found.mode
    kinds, free = scale.kinds, list(scale.grounds)
    ground, ground_u = start.priors.ground.copy(), start.priors.ground_u.copy()
    ground[free], ground_u[free] = mean[kinds : kinds + len(free)], spread[kinds : kinds + len(free)]
    last = [(float(m), float(s)) for m, s in zip(mean[-4:], spread[-4:], strict=True)]
    priors = Priors(mean[:kinds], spread[:kinds], ground, ground_u, *last)
    machines = int(paths.group[-1]) + 1
    return Learned(start.kinds, priors, found.late, machines, int(paths.kind.size), int(paths.count.sum()))


def forecast(
    paths: Paths,
    ground: IntArray,
    learned: Learned,
    seed: int = 0,
    wanted: BoolArray | None = None,
    walk: IntArray | None = None,
) -> Forecast:
    """Outlook of every part.

    Parameters
    ----------
    paths : Paths
        n parts on any number of machines; kind numbers as in learned.
    ground : ndarray, shape (n,)
        Ground class of the hours to come, for each part.
    learned : Learned
        What is known of the constants.
    seed : int
        Seed of the sets of constants, where they are integrated over.
    wanted : ndarray, shape (n,), or None
        Parts to forecast; the others only inform them. None forecasts all.
    walk : ndarray of int, shape (n, r), or None
        Number of the walk-round of each reading, as walk_rounds gives it; None compares no walk-round as a whole.

    Returns
    -------
    Forecast
        Rows as in paths; not a number where not wanted.
    """
    integrate = learned.machines < ENOUGH_MACHINES
    constants = None if integrate else plugged_in(learned)
    which = np.ones(paths.kind.size, np.bool_) if wanted is None else np.asarray(wanted, np.bool_)
    even = straightened(paths, learned.late)
    rounds = np.full(paths.wear.shape, -1) if walk is None else walk
    blocks = [
        _block(even.rows(at), ground[at], which[at], rounds[at], learned, constants, seed)
        for at in blocks_of(even)
    ]
    used, used_u, *rest = (np.concatenate(columns) for columns in zip(*blocks, strict=True))
    if not learned.late.even:
        begins, times = learned.late.begins, learned.late.times[paths.kind]
        used = bent(used, begins, times)
        used_u = used_u / slope(used, begins, times)
    return Forecast(used, used_u, *rest)


def blocks_of(paths: Paths) -> list[slice]:
    """Rows of each block of machines, counted from the first."""
    block = paths.group // BLOCK_MACHINES
    edges = [0, *(np.flatnonzero(np.diff(block)) + 1).tolist(), block.size]
    return [slice(low, high) for low, high in pairwise(edges)]


def _block(
    few: Paths,
    ground: IntArray,
    wanted: BoolArray,
    walk: IntArray,
    learned: Learned,
    constants: Constants | None,
    seed: int,
) -> tuple[FloatArray, ...]:
    rows = np.flatnonzero(wanted)
    grid: Grid | None = FORECAST
    if constants is None:
        constants, grid = constants_for(few, learned.priors, Habits(), int(GroundClass.MIDDLING), seed), None
    before = believe(few, constants, Habits(), None, grid)
    columns = np.full((5 + len(LEVELS), few.kind.size), np.nan)
    told_apart = believe_split(before)
    if told_apart is not None:
        after, split = told_apart
        to_come = np.zeros(after.paths.kind.size, np.int64)
        to_come[split.newest] = ground[split.rows]
        asked = wanted[split.rows]
        rows = np.setdiff1d(rows, split.rows, assume_unique=True)
        mine = split.rows[asked]
        if mine.size:
            columns[:, mine] = _columns(before, crossing(after, to_come).of(split.newest[asked]), mine)
    if rows.size:
        columns[:, rows] = _columns(before, crossing(before, ground).of(rows), rows)
    return columns[0], columns[1], columns[2], columns[5:].T, columns[3], columns[4], *_day_doubts(before, walk)


def _day_doubts(before: Beliefs, walk: IntArray) -> FloatArray:
    """Chances that a whole walk-round of each part is off, and that hours before one were on another ground, shape (2, n)."""
    if not (walk >= 0).any():
        return np.zeros((2, walk.shape[0]))
    rate_log = _mean(before.weight, before.rate_log)
    return walk_checks(before.paths, walk, rate_log, before.constants.middle()).of_parts(before.paths, walk)


def _columns(before: Beliefs, against: Crossing, rows: IntArray) -> FloatArray:
    """Life used, its deviation, chances of being past the limit, changed and misread, and hours; shape (12, k)."""
    used = _mean(against.weight, against.wear)
    square = _mean(against.weight, against.wear**2 + against.wear_var)
    if before.log_marginal.size == 1:
        hours, now = hours_of_many(against, np.array(LEVELS))
    else:
        hours, now = against.hours_and_now(np.array(LEVELS))
    weight, filtered = before.weight[:, rows], before.filtered
    kept = _mean(weight, np.exp(filtered.log_kept[:, rows]))
    sound = _mean(weight, np.exp(filtered.log_sound[:, rows]))
    spread = np.sqrt(np.maximum(square - used**2, 0.0))
    chances = np.clip([now.astype(np.float64), 1 - kept, 1 - sound], 0.0, 1.0)
    return np.concatenate(([used, spread], chances, hours.T))


def _mean(weight: FloatArray, what: FloatArray) -> FloatArray:
    """Posterior mean of a quantity over rates and sets of constants."""
    return np.asarray((weight * what).sum(axis=2).mean(axis=0), np.float64)
