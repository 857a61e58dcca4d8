"""A fleet's own history walked forward: each walk-round predicted from what was known before it.

See docs/explanation/calibration.md.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from pitchline.outlook.changes import believe_split
from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import fit, sets_for
from pitchline.outlook.fleet import ENOUGH_MACHINES, Learned, blocks_of, learn, plugged_in
from pitchline.outlook.grid import FORECAST
from pitchline.outlook.late import bent, slope, straight, straightened
from pitchline.outlook.mixture import Mixture, next_reading
from pitchline.outlook.paths import BoolArray, FloatArray, IntArray, Paths
from pitchline.outlook.quadrature import believe
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.ground import GroundClass


@dataclass(frozen=True, slots=True)
class Predicted:
    """r readings that were predicted before they were known.

    Parameters
    ----------
    part : ndarray, shape (r,)
        Row of the part in the paths.
    kind, machine : ndarray, shape (r,)
        Its kind and machine.
    walk_round : ndarray, shape (r,)
        Number of the walk-round, from 1: the first, 0, is never predicted.
    chance_below : ndarray, shape (r,)
        Chance the forecast gave to a reading below what came: its probability integral transform [1].
    crps : ndarray, shape (r,)
        Score of the forecast, smaller is better [life used, 1]; straightened where wear changes its pace, then scaled back.
    miss : ndarray, shape (r,)
        What came less the middle of the forecast [life used, 1].
    plain_miss : ndarray, shape (r,)
        The same for the plain line [life used, 1].
    left_out : int
        Later readings that could not be predicted: the first reading of a part of unknown age.
    cuts : tuple of (int, int)
        At which walk-rounds the constants were learned anew, and from how many readings.
    """

    part: IntArray
    kind: IntArray
    machine: IntArray
    walk_round: IntArray
    chance_below: FloatArray
    crps: FloatArray
    miss: FloatArray
    plain_miss: FloatArray
    left_out: int
    cuts: tuple[tuple[int, int], ...]


def known_before(paths: Paths, walk: IntArray, walk_round: int) -> Paths:
    """The paths as they were known just before a walk-round, carried to its hours.

    Parameters
    ----------
    paths : Paths
        n parts with up to r readings each.
    walk : ndarray of int, shape (n, r)
        Number of the walk-round of each reading, rising along a part; -1 where padded.
    walk_round : int
        Readings of this one and later are hidden.

    Returns
    -------
    Paths
        The same parts with fewer readings; the hours to come reach the hidden reading where the part was read in that very
        walk-round, and are 0 elsewhere.
    """
    kept = (walk >= 0) & (walk < walk_round)
    count = kept.sum(axis=1)
    read_then = (walk == walk_round).any(axis=1)
    step = np.minimum(count, walk.shape[1] - 1)
    tail_h = np.where(read_then[:, None], paths.step_h[np.arange(count.size), step], 0.0)
    return replace(
        paths,
        count=count,
        step_h=np.where(kept[:, :, None], paths.step_h, 0.0),
        wear=np.where(kept, paths.wear, 0.0),
        wear_u=np.where(kept, paths.wear_u, 1.0),
        tail_h=tail_h,
    )


def walk_forward(paths: Paths, start: Learned, walk: IntArray, cuts: int = 3, seed: int = 0) -> Predicted:
    """Every reading after the first walk-round, predicted from the walk-rounds before it.

    Parameters
    ----------
    paths : Paths
        n parts with up to r readings each; kind numbers as in start.
    start : Learned
        What was known before any reading.
    walk : ndarray of int, shape (n, r)
        Number of the walk-round of each reading, as walk_rounds gives it.
    cuts : int
        How often the constants are learned anew, from 1.
    seed : int
        Seed of the sets of constants, where they are integrated over.

    Returns
    -------
    Predicted
        In order of walk-round and block; no reading at all where every machine was seen once.

    Raises
    ------
    NotAllowedError
        No cut, or walk-round numbers that do not fit the paths.
    """
    _check(paths, walk, cuts)
    chosen = cut_points(walk, cuts)
    learned_from: list[tuple[int, int]] = []
    pieces: list[tuple[FloatArray, ...]] = []
    source = _Constants(start, seed)
    for walk_round in range(1, int(walk.max(initial=0)) + 1):
        if walk_round in chosen:
            known = known_before(paths, walk, walk_round)
            source.learn_from(replace(known, tail_h=np.zeros_like(known.tail_h)))
            learned_from.append((walk_round, int(known.count.sum())))
        pieces += _predict(paths, walk, walk_round, source)
    columns = [np.concatenate(column) for column in zip(*pieces, strict=True)] if pieces else [np.zeros(0)] * 6
    part, number = columns[0].astype(np.int64), columns[1].astype(np.int64)
    chance, crps, miss, plain = columns[2:]
    left_out = int((walk > 0).sum()) - part.size
    kind, machine = paths.kind[part], paths.group[part]
    return Predicted(part, kind, machine, number, chance, crps, miss, plain, left_out, tuple(learned_from))


def cut_points(walk: IntArray, cuts: int) -> tuple[int, ...]:
    """Walk-rounds at which to learn anew, so that about as many readings are predicted from each.

    Parameters
    ----------
    walk : ndarray of int, shape (n, r)
        Number of the walk-round of each reading; -1 where padded.
    cuts : int
        How many at most, from 1.

    Returns
    -------
    tuple of int
        Rising from 1; empty where there is nothing after the first walk-round.

    Examples
    --------
    >>> cut_points(np.array([[0, 1, 2, 3, 4]] * 10), 2)
    (1, 3)
    """
    counted = np.bincount(walk[walk > 0])
    if not counted.size:
        return ()
    before = np.concatenate(([0], np.cumsum(counted)[:-1])) / counted.sum()
    wanted = np.arange(cuts) / cuts
    found = np.searchsorted(before[1:], wanted - 1e-12) + 1
    return tuple(sorted({int(at) for at in found if at < counted.size}))


def plain_line(known: Paths, start: Learned) -> FloatArray:
    """What a ruler would say of the next reading: wear goes on at this part's own pace so far.

    Parameters
    ----------
    known : Paths
        n parts, carried to the hours of the reading to come.
    start : Learned
        Typical lives, for kinds of which nothing was read yet.

    Returns
    -------
    ndarray, shape (n,)
        Life used by the line [1]: from the last reading at the pace since fitting, or since the first reading where the age is
        unknown; at the average pace of the kind where the part has neither.
    """
    steps_h = known.step_h.sum(axis=2)
    row, last = np.arange(known.count.size), np.maximum(known.count - 1, 0)
    read = known.count > 0
    wear = np.where(read, known.wear[row, last], 0.0)
    worked_h = np.where(known.start_known, steps_h.sum(axis=1), steps_h[:, 1:].sum(axis=1))
    worn = np.where(known.start_known, wear, wear - known.wear[:, 0])
    paced = read & (worked_h > 0)
    pace = np.exp(start.priors.log_rate)[known.kind]
    for kind in np.unique(known.kind[paced]):
        mine = paced & (known.kind == kind)
        pace[known.kind == kind] = worn[mine].sum() / worked_h[mine].sum()
    pace = np.where(paced, worn / np.where(paced, worked_h, 1.0), pace)
    return np.asarray(wear + pace * known.tail_h.sum(axis=1))


class _Constants:
    """The constants in force: plugged in for a large fleet, draws of them for a small one."""

    def __init__(self, start: Learned, seed: int) -> None:
        self.start, self.seed = start, seed
        self.constants, self.late = plugged_in(start), start.late

    def learn_from(self, known: Paths) -> None:
        if int(known.group[-1]) + 1 >= ENOUGH_MACHINES:
            learned = learn(known, self.start, self.seed)
            self.constants, self.late = plugged_in(learned), learned.late
            return
        fitted = fit(known, self.start.priors, Habits(), int(GroundClass.MIDDLING))
        self.constants = fitted.draws(sets_for(known.kind.size, fitted), self.seed)

    def forecasts(
        self, known: Paths, target: BoolArray, reading_u: FloatArray
    ) -> Iterator[tuple[IntArray, Mixture]]:
        """Rows and forecasts of straightened readings, block by block; likely changes taken for facts as in any outlook."""
        known = straightened(known, self.late)
        grid = FORECAST if self.constants.noise.size == 1 else None
        for at in blocks_of(known):
            wanted = np.flatnonzero(target[at])
            if not wanted.size:
                continue
            before = believe(known.rows(at), self.constants, Habits(), None, grid)
            told_apart = believe_split(before)
            if told_apart is not None:
                after, split = told_apart
                mine = np.isin(split.rows, wanted)
                rows = split.rows[mine]
                wanted = np.setdiff1d(wanted, rows, assume_unique=True)
                yield (
                    rows + at.start,
                    next_reading(after, split.newest[mine], reading_u[rows + at.start], Habits()),
                )
            yield wanted + at.start, next_reading(before, wanted, reading_u[wanted + at.start], Habits())


def _predict(paths: Paths, walk: IntArray, walk_round: int, source: _Constants) -> list[tuple[FloatArray, ...]]:
    """Part, walk-round, chance below, score, miss and plain miss of every reading of one walk-round, by block."""
    read_then = (walk == walk_round).any(axis=1)
    busy = np.flatnonzero(np.isin(paths.group, paths.group[read_then]))
    known = known_before(paths, walk, walk_round).rows(busy)
    target = read_then[busy] & (known.start_known | (known.count > 0))
    column = (walk[busy] == walk_round).argmax(axis=1)
    wear, wear_u = paths.wear[busy, column], paths.wear_u[busy, column]
    plain = plain_line(known, source.start)
    found: list[tuple[FloatArray, ...]] = []
    begins, times = source.late.begins, source.late.times[known.kind]
    even_u = wear_u * slope(wear, begins, times)
    for rows, forecast in source.forecasts(known, target, even_u):
        came, number = straight(wear[rows], begins, times[rows]), np.full(rows.size, float(walk_round))
        centre = bent(forecast.centre, begins, times[rows])
        crps = forecast.crps(came) / slope(centre, begins, times[rows])
        scores = (forecast.chance_below(came), crps, wear[rows] - centre, wear[rows] - plain[rows])
        found.append((busy[rows].astype(float), number, *scores))
    return found


def _check(paths: Paths, walk: IntArray, cuts: int) -> None:
    if cuts < 1:
        raise NotAllowedError("times to learn anew", cuts, "1 or more")
    read: BoolArray = np.arange(paths.wear.shape[1]) < paths.count[:, None]
    if walk.shape != paths.wear.shape or bool(((walk >= 0) != read).any()):
        raise NotAllowedError(
            "walk-round numbers", walk.shape, "one of 0 or more for each reading, -1 where padded"
        )
    if bool((np.diff(walk, axis=1)[read[:, 1:]] <= 0).any()):
        raise NotAllowedError(
            "walk-round numbers", "numbers that do not rise", "each part read once in a walk-round"
        )
