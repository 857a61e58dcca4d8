"""One share of a fleet table read by whoever is handed it: cells checked, machines numbered, rows parted by chunk of machines.

See docs/reference/fleet-tables.md.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from pitchline.exchange.fleet_layout import (
    FILE_ROWS,
    GROUNDS,
    PARTS,
    READINGS,
    REASONS,
    Number,
    TableLayout,
    Telling,
)
from pitchline.exchange.fleet_link import GROUND_COLUMNS, PART_COLUMNS, READING_COLUMNS
from pitchline.exchange.fleet_spill import Spill, SpillWriter
from pitchline.exchange.fleet_stream import Share, pieces
from pitchline.exchange.fleet_values import all_numbers, numbers, words
from pitchline.exchange.gathering import MOST_PROBLEMS, Gathering
from pitchline.outlook.paths import FloatArray, IntArray
from pitchline.trade.errors import InputError, Problem, phrase
from pitchline.trade.part_events import Because
from pitchline.words.catalogue import in_english

Columns = dict[str, Any]
_SCHEMAS = {PARTS.name: PART_COLUMNS, READINGS.name: READING_COLUMNS, GROUNDS.name: GROUND_COLUMNS}


@dataclass(frozen=True, slots=True)
class Names:
    """Names in a table of parts, or a share of one.

    Parameters
    ----------
    machines, kinds : pyarrow array of string
        Each once.
    plain_positions : bool
        Whether every position is a plain whole number.
    """

    machines: Any
    kinds: Any
    plain_positions: bool


@dataclass(frozen=True, slots=True)
class ReadShare:
    """A share that was read.

    Parameters
    ----------
    problems : tuple of Problem
        What is not allowed in it.
    rows : int
        How many rows it has.
    spill : Spill
        Its rows at rest, by number; not to be used where there is a problem.
    """

    problems: tuple[Problem, ...]
    rows: int
    spill: Spill


def names_of(share: Share) -> Names:
    """The names a share of the table of parts has; what is wrong in it is told when it is read for good."""
    machines, kinds, plain = pa.array([], pa.string()), pa.array([], pa.string()), True
    few = TableLayout(PARTS.name, {name: PARTS.columns[name] for name in ("machine", "position", "kind")})
    with suppress(InputError):
        for _, columns in checked(replace(share, layout=few), Telling(Gathering(""), share.file)):
            machines = pc.unique(pa.concat_arrays([machines, columns["machine"][0]]))
            kinds = pc.unique(pa.concat_arrays([kinds, columns["kind"][0]]))
            plain &= all_numbers(columns["position"][0])
    return Names(machines, kinds, plain)


@lru_cache(2)
def _kept(path: Path) -> Any:
    with pa.memory_map(str(path)) as source:
        return pa.ipc.open_file(source).read_all().column(0).combine_chunks()


def keep_names(names: Any, path: Path) -> None:
    """Nothing comes out; afterwards workers find these names by the path."""
    table = pa.table({"name": names})
    with pa.ipc.new_file(str(path), table.schema) as file:
        file.write_table(table)


def read_share(share: Share, machines: Path, kinds: Path, machines_per_chunk: int, to: Path) -> ReadShare:
    """A share of the table of parts, readings or grounds, read and put to rest.

    Parameters
    ----------
    share : Share
        What is to be read.
    machines, kinds : Path
        Where the names of all machines and kinds are kept, in order.
    machines_per_chunk : int
        By which rows are parted.
    to : Path
        Where they are to rest.
    """
    telling = Telling(Gathering(""), share.file)
    problems, count, table = telling.gathering.problems, 0, share.layout.name
    with SpillWriter(to, _SCHEMAS[table]) as out:
        try:
            for rows, columns in checked(share, telling):
                count += rows.size
                machine = _numbers_of(columns["machine"], _kept(machines))
                if table != PARTS.name:
                    _tell_unknown(columns["machine"], machine, len(_kept(machines)), telling, rows)
                if table == GROUNDS.name:
                    _tell_backward(columns["from_h"], columns["to_h"], telling, rows)
                if not problems:
                    numbered = {"machine": machine, "row": share.number * FILE_ROWS + rows}
                    out.write(columns | _plain(columns, _kept(kinds)) | numbered, machine // machines_per_chunk)
        except InputError:
            if len(problems) < MOST_PROBLEMS:  # with so many the caller stops too
                raise
    return ReadShare(tuple(problems), count, out.spill())


def checked(share: Share, telling: Telling) -> Iterator[tuple[IntArray, Columns]]:
    """Rows of each piece of a share, and its columns as numbers, or as words and codes."""
    for piece in pieces(share, telling):
        columns: Columns = {}
        for name, column in piece.columns.items():
            allowed = share.layout.columns[name]
            if isinstance(allowed, Number):
                columns[name] = numbers(column, name, allowed, telling, piece.rows)
            else:
                columns[name] = words(column, name, allowed, telling, piece.rows)
        yield piece.rows, columns


def text_of(coded: tuple[Any, IntArray]) -> Any:
    """Words from words and codes."""
    return coded[0].take(pa.array(coded[1]))


def _numbers_of(coded: tuple[Any, IntArray], known: Any) -> IntArray:
    """Places of words among the known ones; -1 where there is none."""
    found, codes = coded
    place = pc.fill_null(pc.index_in(found, value_set=known), -1)
    return np.asarray(np.asarray(place.to_numpy(zero_copy_only=False), np.int64)[codes])


def _tell_unknown(
    coded: tuple[Any, IntArray], machine: IntArray, known: int, telling: Telling, rows: IntArray
) -> None:
    """Machines without any part, unless no part at all could be read."""
    unknown = np.flatnonzero(machine < 0)
    if unknown.size and known:
        seen = coded[0].take(pa.array(coded[1][unknown[:MOST_PROBLEMS]])).to_pylist()
        allowed = in_english("a machine that stands in the table of parts")
        telling.each("machine", seen, allowed, in_english("Add its parts, or correct the name."), rows[unknown])


def _tell_backward(from_h: FloatArray, to_h: FloatArray, telling: Telling, rows: IntArray) -> None:
    wrong = np.flatnonzero(to_h <= from_h)
    seen = (phrase("{from_h:g} to {to_h:g} h", from_h=float(from_h[at]), to_h=float(to_h[at])) for at in wrong)
    telling.each("to_h", seen, "an end later than the start", "Correct the hours.", rows[wrong])


def _plain(columns: Columns, kinds: Any) -> Columns:
    """Columns without problems as they rest."""
    found: Columns = {name: columns[name].astype(np.int64) for name in ("part_no", "ground") if name in columns}
    if "position" in columns:
        found["position"] = text_of(columns["position"])
    if "side" in columns:
        side, codes = columns["side"]
        found["kind"] = _numbers_of(columns["kind"], kinds)
        found["right"] = np.asarray(pc.equal(side, "R").to_numpy(zero_copy_only=False))[codes]
        found["because"] = _because(columns, codes.size)
    return found


def _because(columns: dict[str, Any], count: int) -> IntArray:
    """Why each part came off, as its place among the reasons; nothing said counts as unknown."""
    if "removed_because" not in columns:
        return np.full(count, REASONS.index(Because.UNKNOWN), np.int64)
    found, codes = columns["removed_because"]
    place = pc.fill_null(pc.index_in(found, value_set=pa.array(REASONS)), REASONS.index(Because.UNKNOWN))
    return np.asarray(np.asarray(place.to_numpy(zero_copy_only=False), np.int64)[codes])
