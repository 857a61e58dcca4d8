"""The outlook of a fleet as a folder of Parquet files, one for each chunk of machines, taken up again where a run broke off.

See docs/howto/run-a-large-fleet.md.
"""

import hashlib
import json
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from pitchline import __version__
from pitchline.exchange.fleet_tables import FleetTables
from pitchline.exchange.gathering import refuse
from pitchline.exchange.hands import Hands
from pitchline.exchange.learned_file import learned_json
from pitchline.exchange.outlook_out import COLUMNS
from pitchline.exchange.places import Place, put_whole
from pitchline.outlook.learned import Learned
from pitchline.trade.errors import phrase
from pitchline.words.catalogue import in_english

_RUN = "_run.json"
"""Says whose parts these are; readers of a folder of Parquet leave names alone that begin so."""


def part_of(folder: Place, number: int) -> Place:
    """Where a chunk's part stands."""
    return folder / f"part-{number:06d}.parquet"


def begin_parts(folder: Place, fleet: FleetTables, learned: Learned, ground: int | None, hands: Hands) -> None:
    """Nothing comes out; afterwards the folder is there, with no part in it but of this same run.

    Parameters
    ----------
    folder : Path or Stored
        New, empty, or of a run with the same tables, constants, ground, chunks and version.
    fleet : FleetTables
        The tables.
    learned : Learned
        Constants.
    ground : int or None
        Ground class of the hours to come.
    hands : Hands
        Who runs through what was read.

    Raises
    ------
    InputError
        Something else is in it, or it cannot be written to.
    """
    rest = [fleet.folder / name for name in ("machines.arrow", "kinds.arrow")]
    rest += [spill.path for spills in fleet.spills for spill in spills]
    asked = [__version__, str(ground), str(fleet.machines_per_chunk), learned_json(learned, "")]
    whole = "\n".join([*asked, *hands.each(_digest, ((path,) for path in rest))])
    run = json.dumps({"run": hashlib.sha256(whole.encode()).hexdigest(), "parts": fleet.chunks})
    if isinstance(folder, Path):
        folder.mkdir(parents=True, exist_ok=True)
    kept = folder / _RUN
    if not kept.is_file():
        if folder.is_dir() and any(True for _ in folder.iterdir()):
            raise _refused(folder, phrase("a folder with other files"))
        put_whole(kept, run.encode())
        return
    with kept.open("rb") as stream:
        if stream.read() != run.encode():
            raise _refused(folder, phrase("parts of another run"))


def _refused(folder: Place, seen: str) -> Exception:
    allowed = in_english("a new or empty folder, or that of the same run, which is then taken up again")
    return refuse(folder.name, "--out", seen, allowed, in_english("Choose another folder, or empty this one."))


def _digest(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def read_part(part: Place) -> Any:
    """The rows of a part, as outlook_rows gave them."""
    with part.open("rb") as stream:
        rows = pq.read_table(pa.py_buffer(stream.read())).cast(pa.schema(COLUMNS)).combine_chunks()
    return pa.RecordBatch.from_arrays([one.combine_chunks() for one in rows.columns], schema=rows.schema)
