"""The invented demo yard, through the same files and the same import as anybody's own."""

import tempfile
from pathlib import Path

from pitchline.demo.files import write_yard
from pitchline.demo.yard import build_yard
from pitchline.desk.people.who import Actor
from pitchline.desk.yard.importing import Brought, bring_in, found_in
from pitchline.desk.yard.uploads import Upload


def open_demo_yard(actor: Actor, seed: int = 1) -> Brought:
    """What was written; opening it twice changes nothing."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        written = write_yard(build_yard(seed), root)
        sent = [
            Upload(str(path.relative_to(root).parent), path.name, path.read_bytes())
            for path in written
            if path.suffix != ".txt"
        ]
    return bring_in(actor, found_in(sent))
