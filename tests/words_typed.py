"""What somebody typed, which no language says otherwise."""

import re


def typed_in(dossier):
    """What somebody typed of a machine, in whole and in the pieces in which it is shown."""
    machine = dossier.machine
    told = {machine.name, machine.machine_id, machine.note, *(one.source for one in dossier.limits)}
    for visit in dossier.walk_rounds:
        told |= {visit.by, *(one.note for one in visit.findings), *(one.kept_because for one in visit.readings)}
    return told | {piece.strip() for text in told for piece in re.split(r"[.:]", text)}
