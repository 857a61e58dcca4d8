"""The outlook of a whole fleet: read, learn, forecast on all cores, write; the same bits for any chunking and any cores.

See docs/explanation/outlook.md.
"""

from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from threadpoolctl import threadpool_limits

from pitchline.exchange.fleet_tables import fleet_at, open_fleet
from pitchline.exchange.outlook_out import (
    OutlookWriter,
    check_ending,
    outlook_rows,
    outlook_schema,
    put_part,
    write_outlook,
)
from pitchline.exchange.outlook_parts import begin_parts, part_of, read_part
from pitchline.exchange.places import Place
from pitchline.fleet.learning import learned_from, with_new_kinds
from pitchline.fleet.progress import Report, silent
from pitchline.fleet.summary import FleetSummary, Tally, tally_of
from pitchline.fleet.workers import cluster, processes
from pitchline.outlook.fleet import ENOUGH_MACHINES, forecast
from pitchline.outlook.learned import Learned, weak
from pitchline.outlook.paths import GROUNDS
from pitchline.outlook.walk_checks import walk_rounds
from pitchline.trade.errors import NotAllowedError
from pitchline.words import in_english


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


def run_outlook(
    source: Place,
    out: Place | None = None,
    learned: Learned | None = None,
    ground: int | None = None,
    cores: int = 1,
    machines_per_chunk: int = 256,
    report: Report = silent,
    scheduler: str | None = None,
) -> FleetOutlook:
    """The outlook of every part of a fleet.

    Parameters
    ----------
    source : Path or Stored
        A folder with the fleet tables, or a zip of one.
    out : Path, Stored or None
        Table to write, .csv or .parquet; without an ending a folder of parts, taken up again where the same run broke off; None
        writes none.
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
    scheduler : str or None
        Address of a Dask scheduler, whose workers compute then; None takes processes of this computer.

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
        hands = stack.enter_context(processes(cores) if scheduler is None else cluster(scheduler))
        fleet = stack.enter_context(open_fleet(source, machines_per_chunk, hands))
        writer = None
        if isinstance(out, Path) and out.suffix:
            schema = outlook_schema(fleet.plain_machines, fleet.plain_positions)
            writer = stack.enter_context(write_outlook(out, schema))
        if learned is None:
            learned = learned_from(fleet, report, hands=hands)
            few = learned.machines < ENOUGH_MACHINES
            used = weak(fleet.kinds, fleet.lives_h) if few else learned
        else:
            used = learned = with_new_kinds(fleet, learned, report, hands)
        if out is not None and writer is None:
            begin_parts(out, fleet, used, ground, hands)
        tally = Tally()
        report(in_english("forecasting"), 0, fleet.chunks)
        places = [_place(out, writer, fleet.folder, number) for number in range(fleet.chunks)]
        tasks = ((fleet.folder, number, used, ground, to) for number, to in enumerate(places))
        for done, (to, found) in enumerate(zip(places, hands.each(_forecast, tasks), strict=True), 1):
            tally.join(found)
            if writer is not None and isinstance(to, Path):
                writer.take(to)
            report(in_english("forecasting"), done, fleet.chunks)
        return FleetOutlook(learned, tally.summary(len(fleet.machines), fleet.parts, fleet.readings))


def _place(out: Place | None, writer: OutlookWriter | None, folder: Path, number: int) -> Place | None:
    """Where a chunk's rows are to stand: beside the tables until the writer takes them, or for good."""
    if writer is not None:
        return folder / f"part-{number}{writer.part_ending}"
    return None if out is None else part_of(out, number)


def _check(out: Place | None, ground: int | None, cores: int, machines_per_chunk: int) -> None:
    if out is not None:
        check_ending(out)
    if ground is not None and not 0 <= ground < GROUNDS:
        raise NotAllowedError("--ground", ground, "a ground class, 0 (kind) to 4 (harsh)")
    if cores < 1:
        raise NotAllowedError("--cores", cores, "1 or more")
    if machines_per_chunk < 1:
        raise NotAllowedError("--chunk", machines_per_chunk, "1 machine or more")


def _forecast(folder: Path, number: int, learned: Learned, ground: int | None, to: Place | None) -> Tally:
    """The outlook of one chunk, put where it is wanted, and what there is to count; a part that is there already is kept."""
    if to is not None and to.suffix == ".parquet" and to.is_file():
        return tally_of(read_part(to))
    fleet = fleet_at(folder)
    chunk = fleet.chunk(number)
    to_come = chunk.ground if ground is None else np.full_like(chunk.ground, ground)
    walk = walk_rounds(chunk.paths, chunk.start_h)
    rows = outlook_rows(chunk, forecast(chunk.paths, to_come, learned, wanted=chunk.newest, walk=walk), to_come)
    if to is not None:
        put_part(rows, outlook_schema(fleet.plain_machines, fleet.plain_positions), to)
    return tally_of(rows)
