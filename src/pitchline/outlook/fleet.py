"""The outlook of many machines at once: what their readings say of the constants, and hours left for every part."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pitchline.outlook.constants import Constants, Priors, weak_priors
from pitchline.outlook.crossing import crossing
from pitchline.outlook.filter import Habits
from pitchline.outlook.fit import fit, free_scale, sets_for
from pitchline.outlook.learning import most_likely
from pitchline.outlook.paths import FloatArray, IntArray, Paths
from pitchline.outlook.quadrature import FORECAST, believe
from pitchline.outlook.quantiles import hours_of_many
from pitchline.trade.ground import GroundClass

LEVELS = (0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95)
"""Chances at which hours left are given."""
BLOCK_MACHINES = 32
"""Machines are computed in blocks of this many, counted from the first, so that the bits do not depend on chunking."""
ENOUGH_MACHINES = 30
"""From this many machines on the constants are plugged in; below, they are integrated over."""
UNKNOWN_LIFE_H = 5000.0
"""Typical life of a kind nobody has said anything about [h]: an assumption of this project."""


@dataclass(frozen=True, slots=True)
class Learned:
    """What is known of the constants, from readings or by assumption.

    Parameters
    ----------
    kinds : tuple of str
        Words for the kinds of part; kind numbers in paths are places in it.
    priors : Priors
        Means and standard deviations of every constant.
    machines, parts, readings : int
        What it was learned from; 0 where it is only assumed.

    References
    ----------
    See docs/explanation/outlook.md.
    """

    kinds: tuple[str, ...]
    priors: Priors
    machines: int = 0
    parts: int = 0
    readings: int = 0


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

    References
    ----------
    See docs/explanation/outlook.md.
    """

    life_used: FloatArray
    life_used_u: FloatArray
    chance_past_limit: FloatArray
    hours_left: FloatArray
    chance_changed: FloatArray
    doubt_reading: FloatArray


def weak(kinds: tuple[str, ...], lives_h: dict[str, tuple[float, float]]) -> Learned:
    """Constants nobody has learned yet.

    Parameters
    ----------
    kinds : tuple of str
        Words for the kinds of part.
    lives_h : dict of str to (float, float)
        Typical life on medium ground [h] and the standard deviation of its logarithm [1], by kind.

    Returns
    -------
    Learned
        Kinds not named get a weak figure of this project.

    References
    ----------
    Our own weak figures where nothing is entered.
    """
    known = [lives_h.get(kind, (UNKNOWN_LIFE_H, 1.0)) for kind in kinds]
    return Learned(
        kinds, weak_priors(np.array([life for life, _ in known]), np.array([spread for _, spread in known]))
    )


def learn(paths: Paths, start: Learned, seed: int = 0) -> Learned:
    """Constants learned from the wear paths of many machines.

    Parameters
    ----------
    paths : Paths
        n parts; kind numbers as in start.
    start : Learned
        What was known before.
    seed : int
        Kept for the same call everywhere; the fit draws nothing.

    Returns
    -------
    Learned
        Means and standard deviations after these readings.

    References
    ----------
    Empirical Bayes with Laplace's approximation (textbook); see docs/explanation/outlook.md.
    """
    del seed
    scale = free_scale(paths, start.priors, int(GroundClass.MEDIUM))
    mode, covariance = most_likely(paths, scale, Habits())
    spread = np.sqrt(np.diag(covariance)) * scale.deviation
    mean = scale.mean + scale.deviation * mode
    kinds, free = scale.kinds, list(scale.grounds)
    ground, ground_u = start.priors.ground.copy(), start.priors.ground_u.copy()
    ground[free], ground_u[free] = mean[kinds : kinds + len(free)], spread[kinds : kinds + len(free)]
    last = [(float(m), float(s)) for m, s in zip(mean[-4:], spread[-4:], strict=True)]
    priors = Priors(mean[:kinds], spread[:kinds], ground, ground_u, *last)
    machines = int(paths.group[-1]) + 1
    return Learned(start.kinds, priors, machines, int(paths.kind.size), int(paths.count.sum()))


def plugged_in(learned: Learned) -> Constants:
    """The most likely constants as one set.

    Parameters
    ----------
    learned : Learned
        What is known of them.

    Returns
    -------
    Constants
        One set.

    References
    ----------
    Definition.
    """
    priors = learned.priors
    spreads = (np.exp([spread[0]]) for spread in priors.spreads)
    return Constants(priors.log_rate[None], priors.ground[None], *spreads)


def forecast(paths: Paths, ground: IntArray, learned: Learned, seed: int = 0) -> Forecast:
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

    Returns
    -------
    Forecast
        Rows as in paths.

    References
    ----------
    See docs/explanation/outlook.md.
    """
    integrate = learned.machines < ENOUGH_MACHINES
    constants = None if integrate else plugged_in(learned)
    blocks = [_block(paths, ground, at, learned, constants, seed) for at in blocks_of(paths)]
    return Forecast(*(np.concatenate(columns) for columns in zip(*blocks, strict=True)))


def blocks_of(paths: Paths) -> list[slice]:
    """Rows of each block of machines, counted from the first.

    Parameters
    ----------
    paths : Paths
        The parts, by machine.

    Returns
    -------
    list of slice
        Together all rows.

    References
    ----------
    Definition.
    """
    block = paths.group // BLOCK_MACHINES
    edges = [0, *(np.flatnonzero(np.diff(block)) + 1).tolist(), block.size]
    return [slice(low, high) for low, high in pairwise(edges)]


def _block(
    paths: Paths, ground: IntArray, at: slice, learned: Learned, constants: Constants | None, seed: int
) -> tuple[FloatArray, ...]:
    few = paths.rows(at)
    if constants is None:
        found = fit(few, learned.priors, Habits(), int(GroundClass.MEDIUM))
        constants = found.draws(sets_for(few.kind.size), seed)
        beliefs = believe(few, constants, Habits())
    else:
        beliefs = believe(few, constants, Habits(), None, FORECAST)
    against = crossing(beliefs, ground[at])
    weight, filtered = beliefs.weight, beliefs.filtered
    used = _mean(weight, filtered.wear)
    square = _mean(weight, filtered.wear**2 + filtered.wear_var)
    if beliefs.log_marginal.size == 1:
        hours, now = hours_of_many(against, np.array(LEVELS))
    else:
        hours, now = against.hours(np.array(LEVELS)), against.chance(np.zeros((used.size, 1)))[:, 0]
    return (
        used,
        np.sqrt(np.maximum(square - used**2, 0.0)),
        now.astype(np.float64),
        hours,
        np.clip(1 - _mean(weight, np.exp(filtered.log_kept)), 0.0, 1.0),
        np.clip(1 - _mean(weight, np.exp(filtered.log_sound)), 0.0, 1.0),
    )


def _mean(weight: FloatArray, what: FloatArray) -> FloatArray:
    """Posterior mean of a quantity over rates and sets of constants."""
    return np.asarray((weight * what).sum(axis=2).mean(axis=0), np.float64)


def kind_word(part: str, measurand: str) -> str:
    """Word of a kind in fleet tables.

    Parameters
    ----------
    part, measurand : str
        As in a machine file.

    Returns
    -------
    str
        The table's own word where it has one, else both joined.

    References
    ----------
    The words of the fleet tables, docs/reference/fleet-tables.md.

    Examples
    --------
    >>> kind_word("link", "rail_height"), kind_word("pad", "pad_height")
    ('link_height', 'pad/pad_height')
    """
    return _WORDS.get((part, measurand), f"{part}/{measurand}")


_WORDS = {
    ("link", "rail_height"): "link_height",
    ("bush", "bush_od_forward"): "bush_od",
    ("chain", "pitch"): "pitch_4",
    ("shoe", "grouser_height"): "shoe_bar",
    ("bottom_roller", "tread_diameter"): "bottom_roller",
    ("upper_roller", "tread_diameter"): "top_roller",
    ("idler", "tread_depth"): "idler",
    ("sprocket", "root_diameter"): "sprocket",
}
