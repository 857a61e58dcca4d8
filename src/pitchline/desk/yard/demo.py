"""The invented demo yard, through the same files and the same import as anybody's own."""

import tempfile
from dataclasses import replace
from pathlib import Path

from pitchline.demo.files import write_yard
from pitchline.demo.yard import build_yard, weeks_to
from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.who import Actor
from pitchline.desk.uploads import Upload
from pitchline.desk.yard.importing import Brought, bring_in, found_in


def open_demo_yard(actor: Actor, seed: int = 1) -> Brought:
    """What was written, its days laid so that the newest walk-round is of these days; opening it twice changes nothing.

    A machine of it that is in the yard already stays as it is, on the days it was brought in with.
    """
    whole = build_yard(seed, weeks_to(today()))
    there = dict(Machine.objects.filter(business=actor.business, invented=True).values_list("short_name", "name"))
    new = tuple(one for one in whole.machines if one.folder not in there)
    if not new:
        return Brought(unchanged=[there[one.folder] for one in whole.machines])
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        written = write_yard(replace(whole, machines=new), root)
        sent = [
            Upload(str(path.relative_to(root).parent), path.name, path.read_bytes())
            for path in written
            if path.suffix != ".txt" and path.name != "parts.csv"  # a table of parts is no machine
        ]
    return bring_in(actor, found_in(sent))
