"""The outlook of a whole fleet: read, learn, forecast on all cores, write; the same bits for any chunking and any cores.

See docs/explanation/outlook.md.
"""

import multiprocessing
import sys
from collections import deque
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from threadpoolctl import threadpool_limits

from pitchline.exchange.fleet_tables import FleetTables, open_fleet
from pitchline.exchange.outlook_out import OutlookWriter, check_ending, outlook_rows, write_outlook
from pitchline.fleet.learning import learned_from, with_new_kinds
from pitchline.fleet.progress import Report, silent
from pitchline.fleet.summary import FleetSummary, Tally
from pitchline.outlook.fleet import ENOUGH_MACHINES, forecast
from pitchline.outlook.learned import Learned, weak
from pitchline.outlook.paths import GROUNDS
from pitchline.outlook.walk_checks import walk_rounds
from pitchline.trade.errors import NotAllowedError
from pitchline.words import in_english

IN_FLIGHT = 2
"""Chunks begun and not yet written, for each core: bounds what is held in memory."""


@dataclass(frozen=True, slots=True)
class FleetOutlook:
    """What a run over a fleet found.

    Parameters
    ----------
    learned : Learned
        The constants learned or taken from a file. A fleet too small to plug its own in is forecast from typical lives,
        its constants integrated over, so that no reading counts twice.
    summary : FleetSummary
        What there is, and what is due first.
    """

    learned: Learned
    summary: FleetSummary


@dataclass(frozen=True, slots=True)
class _Work:
    """What every worker needs to know."""

    fleet: FleetTables
    learned: Learned
    ground: int | None


_work: _Work | None = None
"""Set once in each worker process."""


def run_outlook(
    source: Path,
    out: Path | None = None,
    learned: Learned | None = None,
    ground: int | None = None,
    cores: int = 1,
    machines_per_chunk: int = 256,
    report: Report = silent,
) -> FleetOutlook:
    """The outlook of every part of a fleet.

    Parameters
    ----------
    source : Path
        A folder with the fleet tables, or a zip of one.
    out : Path or None
        Table to write, .csv or .parquet; None writes none.
    learned : Learned or None
        Constants to use; None learns them from the fleet.
    ground : int or None
        Ground class of the hours to come, 0 to 4; None takes the one each machine worked last.
    cores : int
        Processes to compute with, from 1.
    machines_per_chunk : int
        Machines held in memory at a time in each process, from 1; rounded up to whole blocks of 32.
    report : callable
        Told how far the run has come.

    Returns
    -------
    FleetOutlook
        Constants and summary; the same for any number of cores and any chunking.

    Raises
    ------
    InputError
        With every problem of the tables, or the place to write to is not writable.
    NotAllowedError
        Another ending of the file to write, or a ground, number of cores or chunk outside its range.
    """
    _check(out, ground, cores, machines_per_chunk)
    report(in_english("reading"), 0, 1)
    with ExitStack() as stack:
        stack.enter_context(threadpool_limits(1))
        fleet = stack.enter_context(open_fleet(source, machines_per_chunk))
        writer = None
        if out is not None:
            writer = stack.enter_context(write_outlook(out, fleet.plain_machines, fleet.plain_positions))
        if learned is None:
            learned = learned_from(fleet, report)
            few = learned.machines < ENOUGH_MACHINES
            used = weak(fleet.kinds, fleet.lives_h) if few else learned
        else:
            used = learned = with_new_kinds(fleet, learned, report)
        return FleetOutlook(learned, _forecast_all(_Work(fleet, used, ground), cores, writer, report))


def _check(out: Path | None, ground: int | None, cores: int, machines_per_chunk: int) -> None:
    if out is not None:
        check_ending(out)
    if ground is not None and not 0 <= ground < GROUNDS:
        raise NotAllowedError("--ground", ground, "a ground class, 0 (kind) to 4 (harsh)")
    if cores < 1:
        raise NotAllowedError("--cores", cores, "1 or more")
    if machines_per_chunk < 1:
        raise NotAllowedError("--chunk", machines_per_chunk, "1 machine or more")


def _forecast_all(work: _Work, cores: int, writer: OutlookWriter | None, report: Report) -> FleetSummary:
    fleet, tally = work.fleet, Tally()
    chunks = _in_turn(work) if min(cores, fleet.chunks) == 1 else _side_by_side(work, min(cores, fleet.chunks))
    report(in_english("forecasting"), 0, fleet.chunks)
    for done, rows in enumerate(chunks, 1):
        tally.add(rows)
        if writer is not None:
            writer.write(rows)
        report(in_english("forecasting"), done, fleet.chunks)
    return tally.summary(len(fleet.machines), fleet.parts, fleet.readings)


def _in_turn(work: _Work) -> Iterator[Any]:
    return (_rows(work, number) for number in range(work.fleet.chunks))


def _side_by_side(work: _Work, cores: int) -> Iterator[Any]:
    """Rows of each chunk in order, computed by several processes, a few chunks ahead at most."""
    # Where a process can safely divide, one that has loaded everything starts them: each by itself would take a second of a core.
    context = multiprocessing.get_context("forkserver" if sys.platform == "linux" else "spawn")
    context.set_forkserver_preload([__name__])  # told and never used by the other way
    with ProcessPoolExecutor(cores, mp_context=context, initializer=_begin, initargs=(work,)) as pool:
        begun: deque[Future[Any]] = deque()
        for number in range(work.fleet.chunks):
            if len(begun) >= cores * IN_FLIGHT:
                yield begun.popleft().result()
            begun.append(pool.submit(_chunk_rows, number))
        while begun:
            yield begun.popleft().result()


def _begin(work: _Work) -> None:
    """Once in each worker: one thread, so that processes do not crowd each other and sums come out the same."""
    global _work
    threadpool_limits(1)
    _work = work


def _chunk_rows(number: int) -> Any:
    if _work is None:
        raise AssertionError("a worker begins before it works")
    return _rows(_work, number)


def _rows(work: _Work, number: int) -> Any:
    """The outlook of one chunk, as rows."""
    chunk = work.fleet.chunk(number)
    to_come = chunk.ground if work.ground is None else np.full_like(chunk.ground, work.ground)
    walk = walk_rounds(chunk.paths, chunk.start_h)
    found = forecast(chunk.paths, to_come, work.learned, wanted=chunk.newest, walk=walk)
    return outlook_rows(chunk, found, to_come)
