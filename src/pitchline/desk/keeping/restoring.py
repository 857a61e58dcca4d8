"""A backup put back: read whole before anything is written, into an empty place, on whichever database is set."""

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

from pitchline.desk.folders import FOLDER_ENV, data_folder
from pitchline.desk.keeping.opening import with_sign_in
from pitchline.exchange.gathering import refuse
from pitchline.exchange.safe_write import write_whole
from pitchline.trade.errors import phrase
from pitchline.words import in_english

_BATCH = 200
_MOST_HEAD = 256 * 1024**2


def read_head(path: Path) -> dict[str, Any]:
    """What a backup says it holds, every member of it checked against its sum.

    Raises
    ------
    InputError
        It is no backup, or damaged.
    """
    from pitchline.desk.keeping.backup import FORMAT, HEAD

    try:
        with zipfile.ZipFile(path) as archive:
            if archive.getinfo(HEAD).file_size > _MOST_HEAD:
                raise ValueError
            head: dict[str, Any] = json.loads(archive.read(HEAD))
            if head.get("format") != FORMAT:
                raise refuse(
                    path.name,
                    "file",
                    phrase("another format"),
                    in_english("a backup this release knows"),
                    "Install the newest pitchline.",
                )
            for name, told in head["sums"].items():
                with archive.open(name) as stream:
                    if _sum_of(stream) != told:
                        raise ValueError
    except FileNotFoundError:
        raise refuse(
            path.name,
            "file name",
            path.name,
            "a file that exists",
            "There is no such file: check name and folder.",
        ) from None
    except (zipfile.BadZipFile, KeyError, ValueError, EOFError, OSError, NotImplementedError, RuntimeError):
        step = in_english("Take an earlier one.")
        raise refuse(
            path.name,
            "file",
            phrase("damaged, or no backup"),
            in_english("a backup made with “pitchline backup”"),
            step,
        ) from None
    return head


def _sum_of(stream: IO[bytes]) -> str:
    digest = hashlib.sha256()
    while piece := stream.read(1024**2):
        digest.update(piece)
    return digest.hexdigest()


def restore(path: Path, folder: Path) -> dict[str, Any]:
    """What was put back; the folder is made, and the database filled, whole or not at all.

    Parameters
    ----------
    path : Path
        A backup; or the data folder of another yard kept in SQLite, which is copied from: so a yard moves to a server.
    folder : Path
        The data folder: empty or not there; or the very one that is copied from, when only its rows go to a server.

    Raises
    ------
    InputError
        No sound backup, a folder or a database that already holds something, a newer release's.
    """
    if path.is_dir():
        with tempfile.TemporaryDirectory(prefix="pitchline-") as kept:
            file = Path(kept) / "yard.zip"
            _back_up_elsewhere(path, file)
            return _restore(file, folder, is_there=path.resolve() == folder.resolve())
    return _restore(path, folder, is_there=False)


def _back_up_elsewhere(folder: Path, file: Path) -> None:
    """In a process of its own, as this one is set to another database."""
    env = {name: value for name, value in os.environ.items() if name != "PITCHLINE_DATABASE"}
    call = [sys.executable, "-m", "pitchline.cli", "backup", str(file), "--data", str(folder)]
    done = subprocess.run(call, env=env, capture_output=True, text=True, check=False)  # noqa: S603  ourselves
    if done.returncode:
        raise refuse(
            str(folder),
            "file",
            done.stderr.strip().splitlines()[-1][:300],
            "the folder of a yard",
            "Check it with “pitchline check”.",
        )


def _restore(path: Path, folder: Path, is_there: bool) -> dict[str, Any]:
    head = read_head(path)
    if not head["files"]:
        step = in_english(
            "It goes back into a database by itself with PITCHLINE_DATABASE set; take a whole backup else."
        )
        if not os.environ.get("PITCHLINE_DATABASE"):
            raise refuse(path.name, "file", phrase("rows alone, without photos and keys"), "a whole backup", step)
        is_there = True
    on_server = bool(os.environ.get("PITCHLINE_DATABASE"))
    if is_there and not on_server:
        raise refuse(
            str(folder), "file", phrase("the folder that is copied from"), "another folder", "Name it with --data."
        )
    if not is_there and folder.exists() and any(folder.iterdir()):
        raise refuse(
            str(folder),
            "file",
            phrase("a folder that holds something"),
            "an empty folder, or none yet",
            "Name it with --data.",
        )
    with _in_place(folder, is_there) as made:
        os.environ[FOLDER_ENV] = str(made)
        os.environ["DJANGO_SETTINGS_MODULE"] = "pitchline.desk.settings"
        with_sign_in({label for label, _ in head["state"]})
        if not is_there:
            _put_files(path, made)
        import django

        django.setup()
        _put_rows(path, head)
    return head


@contextmanager
def _in_place(folder: Path, is_there: bool) -> Iterator[Path]:
    """A folder beside, which takes the place of the one wanted when all went well."""
    if is_there:
        yield folder
        return
    folder.parent.mkdir(parents=True, exist_ok=True)
    made = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
    try:
        yield made
        from django.db import connections

        connections.close_all()
        if folder.exists():
            folder.rmdir()
        made.rename(folder)
    finally:
        shutil.rmtree(made, ignore_errors=True)


def _put_files(path: Path, folder: Path) -> None:
    from pitchline.desk.keeping.backup import FILES

    with zipfile.ZipFile(path) as archive:
        for name in archive.namelist():
            if not name.startswith(FILES):
                continue
            target = folder / name.removeprefix(FILES)
            if not target.resolve().is_relative_to(folder.resolve()):
                raise refuse(
                    path.name,
                    "file",
                    phrase("a name that leads out of its folder"),
                    "a sound backup",
                    "Take another one.",
                )
            target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            write_whole(target, archive.read(name))


def _put_rows(path: Path, head: dict[str, Any]) -> None:
    """Into tables as they were when the backup was made; then these are brought up to date."""
    from django.core.management import call_command
    from django.core.management.color import no_style
    from django.db import connection, transaction
    from django.db.migrations.executor import MigrationExecutor

    from pitchline.desk.keeping.backup import ROWS, tables_of
    from pitchline.desk.keeping.making import make_tables
    from pitchline.desk.keeping.upgrading import refuse_newer

    executor = MigrationExecutor(connection)
    state = [(label, name) for label, name in head["state"]]
    refuse_newer({node for node in state if node not in executor.loader.disk_migrations}, path.name)
    if executor.loader.applied_migrations:
        database = connection.settings_dict["NAME"]
        raise refuse(
            "",
            "PITCHLINE_DATABASE",
            phrase("{database}, which holds tables already", database=database),
            in_english("an empty database"),
            "Make one for it.",
        )
    known = [node for node in state if node in executor.loader.graph.nodes]
    if not (set(executor.loader.graph.leaf_nodes()) <= set(state) and make_tables(executor.loader)):
        executor.migrate(known)
    executor.loader.build_graph()
    models = [
        one for one in tables_of(executor.loader.project_state(known).apps) if one._meta.label in head["rows"]
    ]
    with connection.constraint_checks_disabled(), transaction.atomic(), zipfile.ZipFile(path) as archive:
        for model in models:
            model._base_manager.all()._raw_delete(connection.alias)  # what a step of the tables' history wrote
        for model in models:
            for field in model._meta.concrete_fields:  # a day something was entered stays that day
                for each in ("auto_now", "auto_now_add"):
                    if hasattr(field, each):
                        setattr(field, each, False)
            with archive.open(f"{ROWS}{model._meta.label}.jsonl") as stream:
                batch = []
                for line in stream:
                    batch.append(_row(model, json.loads(line)))
                    if len(batch) == _BATCH:
                        model._base_manager.bulk_create(batch)
                        batch = []
                model._base_manager.bulk_create(batch)
        connection.check_constraints()
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), models):
            cursor.execute(statement)
    call_command("migrate", verbosity=0, interactive=False)


def _row(model: Any, told: dict[str, Any]) -> Any:
    fields = {field.attname: field for field in model._meta.concrete_fields}
    return model(
        **{
            name: (fields[name].target_field if fields[name].is_relation else fields[name]).to_python(value)
            for name, value in told.items()
        }
    )


def default_folder(named: Path | None) -> Path:
    """Where a yard goes when nobody says otherwise."""
    return named.expanduser().absolute() if named is not None else data_folder()
