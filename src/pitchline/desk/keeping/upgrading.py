"""The database brought up to date: a copy first, and never by code that is older than what wrote it."""

import datetime as dt
import sys
import time
from collections.abc import Collection
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from pitchline.desk.claims import claimed
from pitchline.desk.keeping.backup import write_backup
from pitchline.desk.keeping.making import make_tables
from pitchline.desk.keeping.opening import SIGN_IN
from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import phrase
from pitchline.words import in_english, worded

BEFORE = "before-upgrade"
_KEPT, _LOOK_AGAIN_S = 3, 0.2
Node = tuple[str, str]


def bring_up_to_date() -> None:
    """Nothing comes out; afterwards the database is as this release has it, and what it was before lies in `before-upgrade`.

    Of several desks that start on one server's database the first does it; the others wait, and find it done.

    Raises
    ------
    InputError
        A newer release wrote it.
    """
    while True:
        with claimed("upgrade") as mine:
            if mine:
                _bring_up_to_date()
                return
        time.sleep(_LOOK_AGAIN_S)


def _bring_up_to_date() -> None:
    executor = MigrationExecutor(connection)
    done = executor.loader.applied_migrations
    refuse_newer(set(done) - set(executor.loader.disk_migrations), "the yard")
    if not executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return
    if any(label == "people" for label, _ in done):
        kept = _copy()
        print(
            worded("The yard is brought up to date; as it was before it lies in {kept}.", kept=kept),
            file=sys.stderr,
        )
    make_tables(executor.loader)
    call_command("migrate", verbosity=0, interactive=False)


def refuse_newer(unknown: Collection[Node], what: str) -> None:
    """Nothing where every step is one this release knows, or was made by somebody else's app.

    Raises
    ------
    InputError
        A newer release made it.
    """
    others = {one.label for one in apps.get_app_configs() if not one.name.startswith("pitchline.")} | SIGN_IN
    if any(label not in others for label, _ in unknown):
        step = in_english(
            "Install the newest pitchline; or put back a backup made before it was brought up to date."
        )
        raise refuse(
            "", what, phrase("written by a newer release"), in_english("one that this release knows"), step
        )


def _copy() -> Path:
    """SQLite is copied as it is, so that an old release can open it; a server's tables as a backup without photos."""
    folder = settings.DATA / BEFORE
    folder.mkdir(mode=0o700, exist_ok=True)
    stamp = f"{dt.datetime.now(dt.UTC):%Y-%m-%d-%H%M%S}"
    is_file = connection.vendor == "sqlite"
    kept: Path = folder / (f"{stamp}.sqlite3" if is_file else f"{stamp}.zip")
    if is_file:
        beside = kept.with_suffix(".part")
        with connection.cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(beside)])
        beside.rename(kept)
    else:
        write_backup(kept, with_files=False)
    for old in sorted(folder.glob("2*"))[:-_KEPT]:
        old.unlink()
    return kept
