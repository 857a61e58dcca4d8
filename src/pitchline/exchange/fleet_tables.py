"""The fleet tables: many machines' parts, readings and grounds, read in one pass and handed out chunk by chunk.

See docs/reference/fleet-tables.md.
"""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa
import pyarrow.compute as pc

from pitchline.exchange.fleet_chunk import FleetChunk, chunk_of
from pitchline.exchange.fleet_layout import (
    GROUNDS,
    KINDS,
    PARTS,
    READINGS,
    REASONS,
    Number,
    TableLayout,
    Telling,
    raise_all,
)
from pitchline.exchange.fleet_link import (
    GROUND_COLUMNS,
    PART_COLUMNS,
    READING_COLUMNS,
    Linked,
    Rows,
    Tellings,
    linked,
    rows_from,
)
from pitchline.exchange.fleet_source import table_files
from pitchline.exchange.fleet_spill import Spill, SpillWriter
from pitchline.exchange.fleet_stream import pieces
from pitchline.exchange.fleet_values import all_numbers, natural_order, numbers, words
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.outlook.fleet import BLOCK_MACHINES
from pitchline.outlook.paths import IntArray
from pitchline.trade.errors import phrase
from pitchline.trade.part_events import Because
from pitchline.words.catalogue import in_english

MOST_KINDS = 1_000
MOST_MACHINES_PER_CHUNK = 100_000


@dataclass(frozen=True, slots=True)
class FleetTables:
    """A fleet that has been read and checked, resting in a temporary folder.

    Parameters
    ----------
    machines : pyarrow array of string, shape (m,)
        Names of the machines; whole numbers by size first, then words. A machine's place is its number.
    kinds : tuple of str
        Words of the kinds of part, in order.
    lives_h : dict of str to (float, float)
        Typical life on middling ground [h] and spread of its logarithm [1], by kind, where the fleet brings its own.
    parts, readings : int
        How many there are.
    machines_per_chunk : int
        A multiple of the block in which machines are computed.
    plain_machines, plain_positions : bool
        Whether all of their names are plain whole numbers.
    spills : tuple of Spill
        Parts, readings and grounds at rest.
    files : tuple of str
        Names of the tables of parts, readings and grounds.
    """

    machines: Any
    kinds: tuple[str, ...]
    lives_h: dict[str, tuple[float, float]]
    parts: int
    readings: int
    machines_per_chunk: int
    plain_machines: bool
    plain_positions: bool
    spills: tuple[Spill, Spill, Spill]
    files: tuple[str, str, str]

    @property
    def chunks(self) -> int:
        """How many chunks there are."""
        return -(-len(self.machines) // self.machines_per_chunk)

    def chunk(self, number: int, machines: IntArray | None = None) -> FleetChunk:
        """One chunk.

        Parameters
        ----------
        number : int
            From 0.
        machines : ndarray or None, shape (k,)
            Numbers of the machines wanted, at least one of them in the chunk; None takes all of the chunk.
        """
        return chunk_of(self._linked(number, Gathering(""), machines), self.machines, self.kinds)

    def check(self, gathering: Gathering) -> None:
        """Nothing comes out; what does not fit together between rows is noted."""
        for number in range(self.chunks):
            self._linked(number, gathering, None)

    def _linked(self, number: int, gathering: Gathering, machines: IntArray | None) -> Linked:
        parts, readings, grounds = (self._rows(spill, number, machines) for spill in self.spills)
        return linked(parts, readings, grounds, Tellings(*(Telling(gathering, file) for file in self.files)))

    def _rows(self, spill: Spill, number: int, machines: IntArray | None) -> Rows:
        rows = rows_from(spill.read(number))
        return rows if machines is None else rows.taken(np.isin(rows["machine"], machines))


@contextmanager
def open_fleet(source: Path, machines_per_chunk: int = 1024) -> Iterator[FleetTables]:
    """A fleet, read and checked; its temporary files last as long as the context.

    Parameters
    ----------
    source : Path
        A folder with the tables as CSV or Parquet, or a zip of one.
    machines_per_chunk : int
        Machines held in memory at a time, from 1; rounded up to whole blocks.

    Yields
    ------
    FleetTables
        Ready to be handed out chunk by chunk.

    Raises
    ------
    InputError
        With every problem found: first those of single cells, and where there is none those between rows.
    """
    asked = min(max(machines_per_chunk, 1), MOST_MACHINES_PER_CHUNK)
    blocks = -(-asked // BLOCK_MACHINES) * BLOCK_MACHINES
    with tempfile.TemporaryDirectory(prefix="pitchline-") as name:
        folder = Path(name)
        fleet = _Reader(source, folder, blocks).read()
        gathering = Gathering(source.name)
        fleet.check(gathering)
        raise_all(gathering)
        yield fleet


class _Reader:
    """Reads the tables once, checks every cell, and parts the rows by chunk of machines."""

    def __init__(self, source: Path, folder: Path, machines_per_chunk: int) -> None:
        self.gathering = Gathering(source.name)
        self.folder = folder
        self.per_chunk = machines_per_chunk
        self.files = table_files(source, folder)
        self.machines: Any = pa.array([], pa.string())
        self.kinds: Any = pa.array([], pa.string())
        self.plain_positions = True
        self.count = {PARTS.name: 0, READINGS.name: 0}

    def read(self) -> FleetTables:
        raw = self._raw_parts()
        readings = self._readings()
        grounds = self._grounds()
        lives_h = self._lives_h()
        raise_all(self.gathering)
        return FleetTables(
            machines=self.machines,
            kinds=tuple(self.kinds.to_pylist()),
            lives_h=lives_h,
            parts=self.count[PARTS.name],
            readings=self.count[READINGS.name],
            machines_per_chunk=self.per_chunk,
            plain_machines=all_numbers(self.machines),
            plain_positions=self.plain_positions,
            spills=(self._parts(raw), readings, grounds),
            files=(self._file(PARTS), self._file(READINGS), self._file(GROUNDS)),
        )

    def _file(self, layout: TableLayout) -> str:
        return self.files[layout.name].name

    def _checked(self, layout: TableLayout) -> Iterator[tuple[Telling, npt.NDArray[np.int64], dict[str, Any]]]:
        """Each piece of a table with its columns as numbers, or as words and codes."""
        telling = Telling(self.gathering, self._file(layout))
        for piece in pieces(self.files[layout.name], layout, telling, self.folder):
            columns: dict[str, Any] = {}
            for name, allowed in layout.columns.items():
                if name not in piece.columns:
                    continue
                if isinstance(allowed, Number):
                    columns[name] = numbers(piece.columns[name], name, allowed, telling, piece.rows)
                else:
                    columns[name] = words(piece.columns[name], name, allowed, telling, piece.rows)
            yield telling, piece.rows, columns

    @property
    def _spoilt(self) -> bool:
        """Whether a problem was found; then only more of them are looked for."""
        return bool(self.gathering.problems)

    def _raw_parts(self) -> Spill:
        """The parts as they come, with names: numbers can only be given once all names are known."""
        text = {"machine": pa.string(), "kind": pa.string()}
        schema = pa.schema([(name, text.get(name, kind)) for name, kind in PART_COLUMNS])
        with SpillWriter(self.folder / "parts-raw.arrow", schema) as out:
            for _, rows, columns in self._checked(PARTS):
                self.machines = pc.unique(pa.concat_arrays([self.machines, columns["machine"][0]]))
                self.kinds = pc.unique(pa.concat_arrays([self.kinds, columns["kind"][0]]))
                self.plain_positions &= all_numbers(columns["position"][0])
                self.count[PARTS.name] += rows.size
                if not self._spoilt:
                    out.write(_part_columns(columns, rows), np.zeros(rows.size, np.int64))
        self.machines = self.machines.take(pa.array(natural_order(self.machines)))
        self.kinds = self.kinds.take(pa.array(natural_order(self.kinds)))
        telling = Telling(self.gathering, self._file(PARTS))
        if not self.count[PARTS.name] and not self._spoilt:
            telling.add("machine", phrase("no row"), "one part or more", "Check that this is the right table.")
        if len(self.kinds) > MOST_KINDS:
            telling.add(
                "kind",
                phrase("{n:,} kinds", n=len(self.kinds)),
                phrase("up to {most_kinds:,}", most_kinds=MOST_KINDS),
                "Use one word for each kind.",
            )
        return out.spill()

    def _parts(self, raw: Spill) -> Spill:
        """The parts by number, parted by chunk."""
        with SpillWriter(self.folder / "parts.arrow", pa.schema(PART_COLUMNS)) as out:
            for batch in raw.read(0).to_batches():
                columns = {name: batch.column(name) for name in batch.schema.names}
                machine = _numbers_of(columns["machine"], self.machines)
                columns["machine"] = machine
                columns["kind"] = _numbers_of(columns["kind"], self.kinds)
                out.write(columns, machine // self.per_chunk)
        raw.path.unlink()
        return out.spill()

    def _readings(self) -> Spill:
        with SpillWriter(self.folder / "readings.arrow", pa.schema(READING_COLUMNS)) as out:
            for telling, rows, columns in self._checked(READINGS):
                machine = self._known(columns["machine"], telling, rows)
                self.count[READINGS.name] += rows.size
                if not self._spoilt:
                    columns |= {"machine": machine, "position": _text(columns["position"]), "row": rows}
                    out.write(
                        columns | {"part_no": columns["part_no"].astype(np.int64)}, machine // self.per_chunk
                    )
        return out.spill()

    def _grounds(self) -> Spill:
        with SpillWriter(self.folder / "grounds.arrow", pa.schema(GROUND_COLUMNS)) as out:
            for telling, rows, columns in self._checked(GROUNDS):
                machine = self._known(columns["machine"], telling, rows)
                from_h, to_h = columns["from_h"], columns["to_h"]
                wrong = np.flatnonzero(to_h <= from_h)
                seen = (
                    phrase("{from_h:g} to {to_h:g} h", from_h=float(from_h[at]), to_h=float(to_h[at]))
                    for at in wrong
                )
                telling.each("to_h", seen, "an end later than the start", "Correct the hours.", rows[wrong])
                if not self._spoilt:
                    columns |= {"machine": machine, "ground": columns["ground"].astype(np.int64), "row": rows}
                    out.write(columns, machine // self.per_chunk)
        return out.spill()

    def _known(
        self, coded: tuple[Any, IntArray], telling: Telling, rows: npt.NDArray[np.int64]
    ) -> npt.NDArray[np.int64]:
        """Numbers of the machines; those without any part are noted, unless the parts themselves could not be read."""
        found, codes = coded
        machine = _numbers_of(found, self.machines)[codes]
        unknown = np.flatnonzero(machine < 0)
        if unknown.size and (self.count[PARTS.name] or not self._spoilt):
            seen = found.take(pa.array(codes[unknown[:1000]])).to_pylist()
            allowed, step = (
                in_english("a machine that stands in the table of parts"),
                in_english("Add its parts, or correct the name."),
            )
            telling.each("machine", seen, allowed, step, rows[unknown])
        return machine

    def _lives_h(self) -> dict[str, tuple[float, float]]:
        lives_h: dict[str, tuple[float, float]] = {}
        if KINDS.name not in self.files:
            return lives_h
        for telling, rows, columns in self._checked(KINDS):
            lives, spreads = columns["typical_life_h"].tolist(), columns["log_spread"].tolist()
            for kind, life_h, spread, row in zip(
                _text(columns["kind"]).to_pylist(), lives, spreads, rows, strict=True
            ):
                if kind in lives_h:
                    telling.add(
                        "kind",
                        phrase("{kind} again", kind=kind),
                        "each kind once",
                        "Delete one of the rows.",
                        int(row),
                    )
                lives_h[kind] = (life_h, spread)
            if len(lives_h) > MOST_KINDS:
                raise refuse(
                    telling.file,
                    "kind",
                    phrase("too many kinds"),
                    phrase("up to {most_kinds}", most_kinds=f"{MOST_KINDS:,}"),
                    "Leave some out.",
                )
        return lives_h


def _text(coded: tuple[Any, IntArray]) -> Any:
    return coded[0].take(pa.array(coded[1]))


def _numbers_of(found: Any, known: Any) -> npt.NDArray[np.int64]:
    """Places of words among the known ones; -1 where there is none."""
    place = pc.fill_null(pc.index_in(found, value_set=known), -1)
    return np.asarray(place.to_numpy(zero_copy_only=False), np.int64)


def _part_columns(columns: dict[str, Any], rows: npt.NDArray[np.int64]) -> dict[str, Any]:
    side, codes = columns["side"]
    right = np.asarray(pc.equal(side, "R").to_numpy(zero_copy_only=False))
    worded = {name: _text(columns[name]) for name in ("machine", "position", "kind")}
    part_no = columns["part_no"].astype(np.int64)
    numbers_ = {"part_no": part_no, "right": right[codes], "because": _because(columns, rows.size), "row": rows}
    return {**columns, **worded, **numbers_}


def _because(columns: dict[str, Any], count: int) -> npt.NDArray[np.int64]:
    """Why each part came off, as its place among the reasons; nothing said counts as unknown."""
    if "removed_because" not in columns:
        return np.full(count, REASONS.index(Because.UNKNOWN), np.int64)
    found, codes = columns["removed_because"]
    place = pc.fill_null(pc.index_in(found, value_set=pa.array(REASONS)), REASONS.index(Because.UNKNOWN))
    return np.asarray(np.asarray(place.to_numpy(zero_copy_only=False), np.int64)[codes])
