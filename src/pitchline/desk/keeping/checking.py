"""Whether a yard is whole: its database, its photos and documents, and that every judgement and plan can be read."""

from collections.abc import Iterator

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.models import Judgement
from pitchline.desk.photos.models import Attachment
from pitchline.desk.photos.store import path_of
from pitchline.desk.pocket.models import Brought
from pitchline.desk.trouble import DAMAGED
from pitchline.words import translated, worded


def faults() -> Iterator[str]:
    """Everything that is not as it should be, in words; nothing where the yard is whole."""
    try:
        yield from _in_the_database()
        yield from _missing_files()
        yield from _unreadable()
    except DatabaseError:
        yield translated(DAMAGED)


def _in_the_database() -> Iterator[str]:
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        yield translated("The database is not up to date. Open the desk once.")
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        if cursor.execute("PRAGMA integrity_check(10)").fetchall() != [("ok",)]:
            yield translated(DAMAGED)
            return
        for table, row, other, _ in cursor.execute("PRAGMA foreign_key_check").fetchall()[:20]:
            yield worded("Row {row} of {table} leads to nothing in {other}.", row=row, table=table, other=other)


def _missing_files() -> Iterator[str]:
    for name, file, small in Attachment.objects.values_list("name", "file", "file_small").iterator():
        if not all(path_of(one).is_file() for one in (file, small) if one):
            yield worded(
                "{name} is not in the folder of photos and documents, {folder}.",
                name=name,
                folder=settings.DATA / "files",
            )
    for (file,) in Brought.objects.filter(state=Brought.LOOK).exclude(file="").values_list("file").iterator():
        if not path_of(file).is_file():
            yield translated("A photo that a phone brought is not in the folder of photos and documents.")


def _unreadable() -> Iterator[str]:
    for judgement in Judgement.objects.select_related("machine").iterator(50):
        try:
            verdict_of(judgement)
        except Exception:  # whatever stands there: the others are looked at too
            yield worded(
                "The judgement of {machine} made at {day} cannot be read.",
                machine=judgement.machine.name,
                day=f"{judgement.made_at:%Y-%m-%d %H:%M}",
            )
