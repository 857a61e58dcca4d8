"""What fleet tables and the machine files beside them say, machine by machine, as it was sent.

See docs/reference/fleet-tables.md.
"""

import math
import tempfile
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.compute as pc

from pitchline.exchange.fleet_from_machines import COLUMNS, MACHINES_FILE
from pitchline.exchange.fleet_layout import (
    GROUNDS,
    KINDS,
    PARTS,
    READINGS,
    Number,
    TableLayout,
    Telling,
    Word,
    raise_all,
)
from pitchline.exchange.fleet_source import beside, table_files
from pitchline.exchange.fleet_stream import Piece, pieces, shares
from pitchline.exchange.fleet_tables import open_fleet
from pitchline.exchange.fleet_values import numbers, plain_column, words
from pitchline.exchange.gathering import Gathering
from pitchline.exchange.grid_csv import unshield
from pitchline.exchange.hands import HERE
from pitchline.exchange.machine_file import machine_from_json
from pitchline.exchange.places import Place
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError
from pitchline.words.catalogue import in_english

_FREE = ("tool", "day")
_NEW = Number(0.0, 1e4, "a new size from 0 to 10,000 mm", optional=True)
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Sent:
    """What tables say of one machine.

    Parameters
    ----------
    parts, readings, grounds : list of dict
        Rows by column, each with its `row` in the file; parts by position and part_no.
    """

    parts: list[Row] = field(default_factory=list)
    readings: list[Row] = field(default_factory=list)
    grounds: list[Row] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class SentFleet:
    """What a whole fleet's tables say.

    Parameters
    ----------
    machines : dict of str to Sent
        By short name.
    kinds : list of dict
        Rows of the table of kinds.
    files : dict of str to (str, Dossier)
        Each machine's own file and what it tells, by short name, in the order sent.
    names : dict of str to str
        File name of each table.
    """

    machines: dict[str, Sent]
    kinds: list[Row]
    files: dict[str, tuple[str, Dossier]]
    names: dict[str, str]


def sent_fleet(source: Path) -> SentFleet:
    """What was sent, each cell held against what its column may hold.

    Raises
    ------
    InputError
        With every problem of the tables and of the machine files.
    """
    with open_fleet(source):  # every cell by itself, and every row beside the others
        pass
    gathering = Gathering(source.name)
    machines: dict[str, Sent] = defaultdict(Sent)
    with tempfile.TemporaryDirectory(prefix="pitchline-") as name:
        folder = Path(name)
        paths = table_files(source, folder)
        for layout in (PARTS, READINGS, GROUNDS):
            for row in _rows(paths[layout.name], layout, folder, gathering):
                getattr(machines[row["machine"]], layout.name).append(row)
        kinds = _rows(paths[KINDS.name], KINDS, folder, gathering) if KINDS.name in paths else []
        names = {table: files[0].name for table, files in paths.items()}
    known = _files(beside(source, MACHINES_FILE), gathering)
    raise_all(gathering)
    return SentFleet(dict(machines), kinds, known, names)


def _files(text: str, gathering: Gathering) -> dict[str, tuple[str, Dossier]]:
    """Each machine's own file, by its short name."""
    found: dict[str, tuple[str, Dossier]] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        try:
            dossier = machine_from_json(line, MACHINES_FILE)
        except InputError as error:
            for problem in error.problems:
                gathering.take(problem, number)
            continue
        name = dossier.machine.machine_id
        if name in found:
            gathering.add("machine", name, "each machine once", in_english("Delete one of its lines."), number)
        found[name] = line, dossier
    return found


def _rows(paths: tuple[Place, ...], layout: TableLayout, folder: Path, gathering: Gathering) -> list[Row]:
    own = {name: Word(optional=True) for name in (*_FREE, "new_mm") if name in COLUMNS[layout.name]}
    wide = TableLayout(layout.name, {**layout.columns, **own}, layout.required)
    found: list[Row] = []
    for number, path in enumerate(paths):
        telling = Telling(gathering, path.name)
        for share in shares(path, number, wide, telling, folder, HERE):
            for piece in pieces(share, telling):
                found += _cells(piece, wide, telling)
    return found


def _cells(piece: Piece, wide: TableLayout, telling: Telling) -> list[Row]:
    columns: dict[str, list[Any]] = {"row": piece.rows.tolist()}
    for name, column in piece.columns.items():
        allowed = _NEW if name == "new_mm" else wide.columns[name]
        if name in _FREE:
            columns[name] = _texts(column)
        elif isinstance(allowed, Number):
            cells = numbers(column, name, allowed, telling, piece.rows).tolist()
            columns[name] = [None if math.isnan(cell) else cell for cell in cells]
        else:
            known, codes = words(column, name, allowed, telling, piece.rows)
            columns[name] = [unshield(each) for each in known.take(pa.array(codes)).to_pylist()]
    return [dict(zip(columns, cells, strict=True)) for cells in zip(*columns.values(), strict=True)]


def _texts(column: Any) -> list[str]:
    """Cells that may be anything, days as ISO 8601 writes them."""
    plain = plain_column(column)
    text = pc.cast(column if plain is None else plain, pa.string())
    return [unshield(cell.strip()) for cell in pc.fill_null(text, "").to_pylist()]
