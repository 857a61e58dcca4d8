"""The machine file: one machine in one JSON file, in and out.

See docs/reference/machine-file.md.
"""

import json
from pathlib import Path
from typing import Any

from pitchline.exchange.entries import Entries
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.json_in import loaded
from pitchline.exchange.machine_in import dossier_from
from pitchline.exchange.machine_model import FORMAT, MachineFile
from pitchline.exchange.machine_out import file_of
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.text_in import read_text
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import phrase

SCHEMA_ID = "urn:pitchline:machine:1"
SCHEMA_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def machine_schema() -> dict[str, Any]:
    """The JSON Schema of a machine file.

    Returns
    -------
    dict
        Draft 2020-12, with titles, descriptions and units.

    References
    ----------
    JSON Schema, draft 2020-12. The published copy is machine-1.schema.json beside this file.
    """
    schema = MachineFile.model_json_schema(by_alias=True)
    return {"$schema": SCHEMA_DIALECT, "$id": SCHEMA_ID} | schema


def machine_json(dossier: Dossier) -> str:
    """A dossier as the text of a machine file.

    Returns
    -------
    str
        JSON; `machine_from_json` gives the same dossier again.
    """
    return json.dumps(file_of(dossier), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def machine_line(dossier: Dossier) -> str:
    """The same on one line, for a file of many machines."""
    return json.dumps(file_of(dossier), ensure_ascii=False, allow_nan=False)


def machine_from_json(text: str, file: str) -> Dossier:
    """The machine a text tells of.

    Raises
    ------
    InputError
        With every problem found: line, field, value seen, what is allowed and what to do.
    """
    gathering = Gathering(file)
    raw = loaded(text, gathering, "a machine file")
    if not isinstance(raw, dict):
        raise refuse(file, "file", f"a {type(raw).__name__}", "one object in braces", "Start from an example.")
    if raw.get("format") != FORMAT:
        seen = raw.get("format", "nothing")
        step = phrase(
            'Begin the file with "format": "{format}", or use the pitchline that wrote it.', format=FORMAT
        )
        gathering.add("format", seen, FORMAT, step)
        gathering.raise_if_any()
    dossier = dossier_from(Entries(raw, text, gathering))
    gathering.raise_if_any()
    if dossier is None:
        raise AssertionError("a file without problems gives a dossier")
    return dossier


def read_machine(path: Path) -> Dossier:
    """The machine a file tells of.

    Raises
    ------
    InputError
        The file cannot be read, or with every problem found in it.
    """
    return machine_from_json(read_text(path), path.name)


def write_machine(dossier: Dossier, path: Path) -> None:
    """Nothing comes out; afterwards the file holds the machine.

    Raises
    ------
    InputError
        The place cannot be written to.
    """
    write_whole(path, machine_json(dossier).encode("utf-8"))
