"""A backup: one zip with every row as JSON, every photo and document, and the keys, whichever database holds the rows.

Rows are written by the tables as they are, also before an upgrade, and put back into the same; then they are brought up to date.
"""

import base64
import datetime as dt
import decimal
import hashlib
import json
import uuid
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.apps.registry import Apps
from django.conf import settings
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.models import Model

from pitchline import __version__
from pitchline.desk.keeping.opening import SIGN_IN
from pitchline.exchange.gathering import refuse
from pitchline.exchange.safe_write import not_writable, open_whole
from pitchline.words import in_english

FORMAT = "pitchline-backup/1"
HEAD = "backup.json"
ROWS, FILES = "rows/", "folder/"
NOT_KEPT = ("sessions.Session", "usersessions.UserSession")
"""Who is signed in is not put back: a session somebody ended would be open again."""
_ROWS_OR_DRAWN = ("desk.sqlite3", "pieces.sqlite3", ".")
"""What begins so in the data folder is rows, or made anew."""
_MADE_ANEW = ("static", "work", "new", "claims.lock", "desk.lock", "before-upgrade")
_CHUNK = 500


def write_backup(path: Path, with_files: bool = True) -> dict[str, Any]:
    """What was written: rows by table, files, and by which release; the desk may run meanwhile.

    Parameters
    ----------
    path : Path
        The file; afterwards it is whole, or what it was before.
    with_files : bool
        Whether photos, documents and keys are in it.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    head: dict[str, Any] = {
        "format": FORMAT,
        "pitchline": __version__,
        "made_at": dt.datetime.now(dt.UTC).isoformat(),
    }
    sums: dict[str, str] = {}
    with open_whole(path) as stream:
        try:
            with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
                # A photo is written before its row: what came before the rows is there, and what came meanwhile.
                for _ in range(2 if with_files else 0):
                    _write_files(archive, sums)
                    if "rows" not in head:
                        head |= _write_rows(archive, sums)
                if not with_files:
                    head |= _write_rows(archive, sums)
                head |= {"files": with_files, "sums": sums}
                archive.writestr(HEAD, json.dumps(head, indent=1))
        except OSError as error:
            raise not_writable(path, error) from None
    path.chmod(0o600)
    return head


def kept_files(folder: Path) -> Iterator[Path]:
    """Files of a data folder that are somebody's record or key."""
    for path in sorted(folder.rglob("*")):
        first = path.relative_to(folder).parts[0]
        is_kept = first not in _MADE_ANEW and not first.startswith(_ROWS_OR_DRAWN)
        if is_kept and path.is_file() and not path.name.endswith(".part"):
            yield path


def _write_files(archive: zipfile.ZipFile, sums: dict[str, str]) -> None:
    for path in kept_files(settings.DATA):
        name = FILES + path.relative_to(settings.DATA).as_posix()
        if name in sums:
            continue
        try:
            content = path.read_bytes()
        except FileNotFoundError:  # let go just now
            continue
        archive.writestr(zipfile.ZipInfo(name), content)
        sums[name] = hashlib.sha256(content).hexdigest()


def apps_at(executor: MigrationExecutor) -> tuple[Apps, list[tuple[str, str]]]:
    """The tables as they are now, as classes, and the last step done of each app."""
    done = set(executor.loader.applied_migrations)
    graph = executor.loader.graph
    left_out = {label for label, _ in done} & SIGN_IN - executor.loader.migrated_apps
    if left_out:
        step = in_english(
            "Set what the desk is run with, such as PITCHLINE_DESK_LOGIN and PITCHLINE_OIDC_ADDRESS."
        )
        raise refuse("", "settings", ", ".join(sorted(left_out)), in_english("those the desk is run with"), step)
    last = [
        node
        for node in done
        if node in graph.nodes
        and not any(child in done and child[0] == node[0] for child in graph.node_map[node].children)
    ]
    return executor.loader.project_state(sorted(last)).apps, sorted(last)


def tables_of(known: Apps) -> list[type[Model]]:
    """Every table whose rows are kept."""
    models = known.get_models(include_auto_created=True)
    kept = [one for one in models if one._meta.managed and not one._meta.proxy and one._meta.label not in NOT_KEPT]
    return sorted(kept, key=lambda one: one._meta.label)


@contextmanager
def _one_moment() -> Iterator[None]:
    """Inside, everything is read as it was at one moment, and whoever writes waits for nobody."""
    if connection.in_atomic_block:
        yield
        return
    if connection.vendor == "postgresql":
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
        return
    with connection.cursor() as cursor:
        cursor.execute("BEGIN")  # Django's own would take the one place of who writes
        try:
            yield
        finally:
            cursor.execute("ROLLBACK")


def _write_rows(archive: zipfile.ZipFile, sums: dict[str, str]) -> dict[str, Any]:
    known, last = apps_at(MigrationExecutor(connection))
    rows: dict[str, int] = {}
    with _one_moment():
        for model in tables_of(known):
            name, digest, many = f"{ROWS}{model._meta.label}.jsonl", hashlib.sha256(), 0
            fields = [field.attname for field in model._meta.concrete_fields]
            with archive.open(name, "w", force_zip64=True) as stream:
                found = model._base_manager.order_by("pk").values_list(*fields)
                for row in found.iterator(_CHUNK):
                    line = _line(dict(zip(fields, row, strict=True)))
                    stream.write(line)
                    digest.update(line)
                    many += 1
            rows[model._meta.label], sums[name] = many, digest.hexdigest()
    return {"rows": rows, "state": [list(one) for one in last]}


def _line(row: dict[str, Any]) -> bytes:
    """One row; names in the order of the alphabet, for a server keeps those inside stored JSON in an order of its own."""
    return json.dumps(row, default=_plain, ensure_ascii=False, sort_keys=True).encode() + b"\n"


def _plain(value: object) -> str:
    """A value JSON does not have, as the field's own reader of text takes it."""
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(bytes(value)).decode()
    if isinstance(value, dt.datetime | dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, uuid.UUID | decimal.Decimal):
        return str(value)
    raise TypeError(f"nothing is known of {type(value)}")
