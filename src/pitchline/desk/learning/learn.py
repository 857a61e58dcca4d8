"""Learning from the yard: the same code as `pitchline fleet`, on the same tables, with the audit of the yard's own history."""

import hashlib
import json
import tempfile
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from pitchline import __version__
from pitchline.desk.bridge.constant_rows import Constants
from pitchline.desk.clock import today
from pitchline.desk.method import method_digest
from pitchline.exchange.fleet_from_machines import FleetRows, fleet_zip
from pitchline.exchange.fleet_tables import open_fleet
from pitchline.exchange.learned_file import learned_json
from pitchline.fleet.audit_run import run_audit
from pitchline.fleet.learning import learned_from

MADE_FROM = "this yard"
Told = Callable[[str, int, int], None]


def digest_of_rows(rows: FleetRows) -> str:
    """One short text for all that is learned from, the method included: the same rows teach the same."""
    told = json.dumps([__version__, method_digest(), rows.tables], sort_keys=True)
    return hashlib.sha256(told.encode()).hexdigest()


def learned_row(rows: FleetRows, report: Told) -> Constants:
    """What the tables teach, as an unsaved row: constants, what they rest on and how earlier walk-rounds predicted later ones."""
    with tempfile.TemporaryDirectory(prefix="pitchline-") as folder:
        path = Path(folder) / "yard.zip"
        path.write_bytes(fleet_zip(rows, "parquet"))
        with open_fleet(path) as fleet:
            learned, lives_h = learned_from(fleet, report), fleet.lives_h
        found = run_audit(path, None, report)
    text = learned_json(learned, MADE_FROM)
    told = {"untold": dict(rows.untold), "lives_h": lives_h, "audit": asdict(found)}
    return Constants(text=text, learned_on=today(), rests_on=told)
