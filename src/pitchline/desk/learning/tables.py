"""The fleet tables of a yard: from its rows, and into its rows."""

import tempfile
from pathlib import Path

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of, machines_of
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.uploads import Upload
from pitchline.desk.yard.importing import Brought, SentFiles, bring_in
from pitchline.exchange.fleet_from_machines import FleetRows, fleet_rows, fleet_zip
from pitchline.exchange.fleet_to_machines import machines_from_tables
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError


def yard_rows(business: Business) -> FleetRows:
    """The fleet tables of every machine whose running gear is entered, the archived ones too: what they wore still teaches.

    Invented machines are left out where the yard has others; so is a machine whose rows do not go together.
    """
    machines = machines_of(business).select_related("business").exclude(file_text="").order_by("short_name")
    real = machines.filter(invented=False)
    unusable = 0
    dossiers: list[Dossier] = []
    for machine in (real if real.exists() else machines).iterator():
        dossier = _dossier(machine)
        if dossier is None:
            unusable += 1
        else:
            dossiers.append(dossier)
    rows = fleet_rows(dossiers)
    invented = machines.filter(invented=True).count() if real.exists() else 0
    rows.untold.update({"unusable": unusable, "invented": invented})
    return rows


def _dossier(machine: Machine) -> Dossier | None:
    try:
        return dossier_of(machine)
    except (InputError, NotAllowedError):
        return None


def bring_tables(actor: Actor, sent: Upload) -> Brought:
    """The machines of a zip of fleet tables, into the yard: all of them, or none and every problem.

    Raises
    ------
    InputError
        With every problem of the tables and the machines.
    """
    with tempfile.TemporaryDirectory(prefix="pitchline-") as folder:
        path = Path(folder) / sent.name
        path.write_bytes(sent.content)
        machines = machines_from_tables(path)
    return bring_in(actor, SentFiles(machines=machines))


def yard_zip(business: Business, ending: str) -> bytes:
    """The fleet tables of the yard in one zip, CSV or Parquet, with its machines' files beside them."""
    return fleet_zip(yard_rows(business), ending)
