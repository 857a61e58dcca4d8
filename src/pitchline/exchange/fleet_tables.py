"""The fleet tables: many machines' parts, readings and grounds, read in shares and handed out chunk by chunk.

See docs/reference/fleet-tables.md.
"""

import pickle
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from pitchline.exchange.fleet_chunk import FleetChunk, chunk_of
from pitchline.exchange.fleet_layout import GROUNDS, KINDS, PARTS, READINGS, TableLayout, Telling, raise_all
from pitchline.exchange.fleet_link import (
    GROUND_COLUMNS,
    PART_COLUMNS,
    READING_COLUMNS,
    Linked,
    Tellings,
    linked,
    rows_from,
)
from pitchline.exchange.fleet_share import Names, ReadShare, checked, keep_names, names_of, read_share, text_of
from pitchline.exchange.fleet_source import table_files
from pitchline.exchange.fleet_spill import Spill
from pitchline.exchange.fleet_stream import Share, shares
from pitchline.exchange.fleet_values import all_numbers, natural_order
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.hands import HERE, Hands
from pitchline.exchange.places import Place
from pitchline.outlook.fleet import BLOCK_MACHINES
from pitchline.outlook.paths import IntArray
from pitchline.trade.errors import InputError, Problem, phrase

_FLEET = "fleet.pickle"
MOST_KINDS = 1_000
MOST_MACHINES_PER_CHUNK = 100_000


@dataclass(frozen=True, slots=True)
class FleetTables:
    """A fleet that has been read and checked, resting in a temporary folder.

    Parameters
    ----------
    folder : Path
        Where it rests.
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
    spills : tuple of tuple of Spill
        Parts, readings and grounds at rest, each in as many files as it was read in shares.
    files : tuple of tuple of str
        Names of the files these tables were read from.
    """

    folder: Path
    machines: Any
    kinds: tuple[str, ...]
    lives_h: dict[str, tuple[float, float]]
    parts: int
    readings: int
    machines_per_chunk: int
    plain_machines: bool
    plain_positions: bool
    spills: tuple[tuple[Spill, ...], ...]
    files: tuple[tuple[str, ...], ...]

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

    def check(self, number: int) -> tuple[Problem, ...]:
        """What does not fit together between the rows of a chunk."""
        gathering = Gathering("")
        with suppress(InputError):  # a thousand problems: whoever takes them stops there too
            self._linked(number, gathering, None)
        return tuple(gathering.problems)

    def _linked(self, number: int, gathering: Gathering, machines: IntArray | None) -> Linked:
        tables = []
        for schema, spills in zip((PART_COLUMNS, READING_COLUMNS, GROUND_COLUMNS), self.spills, strict=True):
            rows = rows_from(pa.concat_tables([schema.empty_table(), *(spill.read(number) for spill in spills)]))
            tables.append(rows if machines is None else rows.taken(np.isin(rows["machine"], machines)))
        parts, readings, grounds = tables
        return linked(parts, readings, grounds, Tellings(*(Telling(gathering, *files) for files in self.files)))


@lru_cache(2)
def fleet_at(folder: Path) -> FleetTables:
    """The fleet that rests in a folder, for whoever is handed some of it.

    Parameters
    ----------
    folder : Path
        As FleetTables has it, while its context lasts.
    """
    return pickle.loads((folder / _FLEET).read_bytes())  # type: ignore[no-any-return]  # noqa: S301  this run wrote it


def chunk_at(folder: Path, number: int, machines: IntArray | None = None) -> FleetChunk:
    """One chunk of the fleet in a folder, as `FleetTables.chunk` gives it."""
    return fleet_at(folder).chunk(number, machines)


def _check_at(folder: Path, number: int) -> tuple[Problem, ...]:
    return fleet_at(folder).check(number)


@contextmanager
def open_fleet(source: Place, machines_per_chunk: int = 1024, hands: Hands = HERE) -> Iterator[FleetTables]:
    """A fleet, read and checked; its temporary files last as long as the context.

    Parameters
    ----------
    source : Path or Stored
        A folder with the tables as CSV or Parquet, or a zip of one.
    machines_per_chunk : int
        Machines held in memory at a time, from 1; rounded up to whole blocks.
    hands : Hands
        Who reads and checks.

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
        fleet = _Reader(source, folder, blocks, hands).read()
        (folder / _FLEET).write_bytes(pickle.dumps(fleet))
        gathering = Gathering(source.name)
        for problems in hands.each(_check_at, ((folder, number) for number in range(fleet.chunks))):
            for problem in problems:
                gathering.take(problem)
        raise_all(gathering)
        yield fleet


class _Reader:
    """Has the tables read, each share once more than its names, and puts together what comes of it."""

    def __init__(self, source: Place, folder: Path, machines_per_chunk: int, hands: Hands) -> None:
        self.gathering = Gathering(source.name)
        self.folder = folder
        self.per_chunk = machines_per_chunk
        self.files = table_files(source, folder)
        self.hands = hands

    def read(self) -> FleetTables:
        parts = self._shares(PARTS)
        if len(parts) == 1:  # handing out so little takes longer than reading it
            self.hands = HERE
        names = self._names(parts)
        found = {PARTS.name: self._rest(parts, names)}
        self._check_names(names, found[PARTS.name])
        for table in (READINGS, GROUNDS):
            found[table.name] = self._rest(self._shares(table), names)
        lives_h = self._lives_h()
        raise_all(self.gathering)
        return FleetTables(
            folder=self.folder,
            machines=names.machines,
            kinds=tuple(names.kinds.to_pylist()),
            lives_h=lives_h,
            parts=sum(one.rows for one in found[PARTS.name]),
            readings=sum(one.rows for one in found[READINGS.name]),
            machines_per_chunk=self.per_chunk,
            plain_machines=all_numbers(names.machines),
            plain_positions=names.plain_positions,
            files=tuple(self._files(table) for table in (PARTS, READINGS, GROUNDS)),
            spills=tuple(tuple(one.spill for one in found[table.name]) for table in (PARTS, READINGS, GROUNDS)),
        )

    def _files(self, table: TableLayout) -> tuple[str, ...]:
        """Names of a table's files; of those in a folder, from the table's own folder on."""
        paths = (str(path).replace("\\", "/") for path in self.files[table.name])
        return tuple(path[path.lower().rfind(f"/{table.name}") + 1 :] for path in paths)

    def _shares(self, table: TableLayout) -> list[Share]:
        """What a table's files are cut into."""
        found = []
        for number, (path, name) in enumerate(zip(self.files[table.name], self._files(table), strict=True)):
            found += shares(path, number, table, Telling(self.gathering, name), self.folder, self.hands)
        return found

    def _names(self, parts: list[Share]) -> Names:
        """All names in order; numbers can only be given once they are known."""
        machines, kinds, plain = pa.array([], pa.string()), pa.array([], pa.string()), True
        for each in self.hands.each(names_of, ((share,) for share in parts)):
            machines = pc.unique(pa.concat_arrays([machines, each.machines]))
            kinds = pc.unique(pa.concat_arrays([kinds, each.kinds]))
            plain &= each.plain_positions
        machines, kinds = (names.take(pa.array(natural_order(names))) for names in (machines, kinds))
        keep_names(machines, self.folder / "machines.arrow")
        keep_names(kinds, self.folder / "kinds.arrow")
        return Names(machines, kinds, plain)

    def _check_names(self, names: Names, parts: list[ReadShare]) -> None:
        telling = Telling(self.gathering, *self._files(PARTS))
        if not sum(one.rows for one in parts) and not self.gathering.problems:
            telling.add("machine", phrase("no row"), "one part or more", "Check that this is the right table.")
        if len(names.kinds) > MOST_KINDS:
            telling.add(
                "kind",
                phrase("{n:,} kinds", n=len(names.kinds)),
                phrase("up to {most_kinds:,}", most_kinds=MOST_KINDS),
                "Use one word for each kind.",
            )

    def _rest(self, several: list[Share], names: Names) -> list[ReadShare]:
        """Shares of a table read and put to rest."""
        kept = (self.folder / "machines.arrow", self.folder / "kinds.arrow", self.per_chunk)
        tasks = (
            (share, *kept, self.folder / f"{share.layout.name}-{number}.arrow")
            for number, share in enumerate(several)
        )
        found = []
        for one in self.hands.each(read_share, tasks):
            for problem in one.problems:
                self.gathering.take(problem)
            found.append(one)
        return found

    def _lives_h(self) -> dict[str, tuple[float, float]]:
        lives_h: dict[str, tuple[float, float]] = {}
        if KINDS.name not in self.files:
            return lives_h
        telling = Telling(self.gathering, *self._files(KINDS))
        for rows, columns in (pair for share in self._shares(KINDS) for pair in checked(share, telling)):
            lives, spreads = columns["typical_life_h"].tolist(), columns["log_spread"].tolist()
            for kind, life_h, spread, row in zip(
                text_of(columns["kind"]).to_pylist(), lives, spreads, rows, strict=True
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
