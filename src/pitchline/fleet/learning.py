"""Constants for a fleet: learned from its own machines, or taken from a file and fitted to its kinds of part.

See docs/explanation/outlook.md.
"""

from dataclasses import replace

import numpy as np
from threadpoolctl import threadpool_limits

from pitchline.exchange.fleet_chunk import FleetChunk
from pitchline.exchange.fleet_tables import FleetTables, chunk_at
from pitchline.exchange.hands import HERE, Hands
from pitchline.fleet.progress import Report, silent
from pitchline.outlook.fleet import ENOUGH_MACHINES, learn
from pitchline.outlook.late import straightened
from pitchline.outlook.learned import Learned, late_for, weak
from pitchline.outlook.paths import FloatArray, IntArray, Paths
from pitchline.outlook.removals import learned_limits, removals_from_paths
from pitchline.words import in_english

MACHINES_FOR_NEW_KINDS = 200
"""Machines that are looked at for kinds the constants do not know yet."""
MOST_MACHINES = 2_000
"""More machines than this teach hardly anything more: the constants are known to a few per mille by then."""


def learned_from(fleet: FleetTables, report: Report = silent, seed: int = 0, hands: Hands = HERE) -> Learned:
    """Constants learned from a fleet.

    Returns
    -------
    Learned
        From at most 2,000 machines spread evenly over the fleet: the same ones for any chunking.
    """
    chunks = sampled_chunks(fleet, MOST_MACHINES, report, hands)
    report(in_english("learning"), 0, 1)
    paths = joined([chunk.paths for chunk in chunks])
    # A threaded BLAS adds in another order: one thread, so that the bits do not depend on who asks or on the computer's cores.
    with threadpool_limits(1):
        learned = learn(paths, weak(fleet.kinds, fleet.lives_h), seed, hands.each)
    removed = np.concatenate([chunk.removed for chunk in chunks])
    if not removed.any():
        return learned
    to_removal_h = np.concatenate([chunk.to_removal_h for chunk in chunks])
    because = [reason for chunk in chunks for reason in chunk.because.to_pylist()]
    with threadpool_limits(1):
        removals = removals_from_paths(paths, removed, to_removal_h, because, learned, seed)
        return replace(learned, limits=learned_limits(removals, fleet.kinds))


def sampled_chunks(
    fleet: FleetTables, machines: int, report: Report = silent, hands: Hands = HERE
) -> list[FleetChunk]:
    """Machines spread evenly over a fleet."""
    wanted = evenly_spread(len(fleet.machines), machines)
    of = wanted // fleet.machines_per_chunk
    tasks = ((fleet.folder, number, wanted[of == number]) for number in np.unique(of).tolist())
    found = []
    for chunk in hands.each(chunk_at, tasks):
        found.append(chunk)
        report(in_english("gathering readings"), len(found), fleet.chunks)
    return found


def evenly_spread(count: int, most: int) -> IntArray:
    """Up to so many whole numbers, spread evenly from 0 to below a count.

    Examples
    --------
    >>> evenly_spread(10, 4).tolist()
    [0, 2, 5, 7]
    """
    few = min(count, most)
    return np.arange(few, dtype=np.int64) * count // max(few, 1)


def joined(several: list[Paths]) -> Paths:
    """Wear paths one after the other, padded to the longest.

    Parameters
    ----------
    several : list of Paths
        One or more, machines rising from one to the next.
    """
    most = max(paths.wear.shape[1] for paths in several)

    def padded(name: str, empty: float) -> FloatArray:
        columns = [getattr(paths, name) for paths in several]
        wide = [(0, 0), (0, 0), (0, 0)]
        filled = []
        for column in columns:
            wide[1] = (0, most - column.shape[1])
            filled.append(np.pad(column, wide[: column.ndim], constant_values=empty))
        return np.concatenate(filled)

    whole = {
        name: np.concatenate([getattr(paths, name) for paths in several])
        for name in (
            *("kind", "machine", "start_u", "start_known", "meter_known", "count", "tail_h", "may_be_first"),
        )
    }
    return Paths(step_h=padded("step_h", 0.0), wear=padded("wear", 0.0), wear_u=padded("wear_u", 1.0), **whole)


def with_new_kinds(fleet: FleetTables, learned: Learned, report: Report = silent, hands: Hands = HERE) -> Learned:
    """Known constants for the kinds of a fleet, new kinds learned from the fleet itself.

    Returns
    -------
    Learned
        What is known already hardly moves, for it is held as sure as it was learned. Without new kinds, or where constants are
        integrated over anyway, nothing is learned.
    """
    known = fitted_to(learned, fleet.kinds, fleet.lives_h)
    if learned.machines < ENOUGH_MACHINES or set(fleet.kinds) <= set(learned.kinds):
        return known
    chunks = sampled_chunks(fleet, MACHINES_FOR_NEW_KINDS, report, hands)
    report(in_english("learning new kinds"), 0, 1)
    paths = straightened(joined([chunk.paths for chunk in chunks]), known.late)
    return replace(known, priors=learn(paths, known, each=hands.each).priors)


def fitted_to(learned: Learned, kinds: tuple[str, ...], lives_h: dict[str, tuple[float, float]]) -> Learned:
    """Known constants for the kinds of a fleet.

    Parameters
    ----------
    learned : Learned
        What is known.
    kinds : tuple of str
        Kinds of the fleet, by number.
    lives_h : dict of str to (float, float)
        Typical life [h] and spread of its logarithm [1], for kinds that are not known yet.

    Returns
    -------
    Learned
        The same constants, with the kinds in the fleet's order; a new kind begins with its typical life.
    """
    start = weak(kinds, lives_h).priors
    log_rate, log_rate_u = start.log_rate.copy(), start.log_rate_u.copy()
    place = {kind: number for number, kind in enumerate(learned.kinds)}
    for number, kind in enumerate(kinds):
        if kind in place:
            log_rate[number] = learned.priors.log_rate[place[kind]]
            log_rate_u[number] = learned.priors.log_rate_u[place[kind]]
    priors = replace(learned.priors, log_rate=log_rate, log_rate_u=log_rate_u)
    return replace(learned, kinds=kinds, priors=priors, late=late_for(kinds, learned))
