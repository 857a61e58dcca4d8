"""A backup put back is the same yard: every row, file and key, on SQLite and on a server."""

import json
import os
import sqlite3
import subprocess
import sys
import zipfile
from contextlib import closing
from pathlib import Path

import pytest
from django.contrib.auth.models import User
from django.db import connection

import papers_told
from papers_told import papers
from pitchline.cli import main
from pitchline.desk import crew
from pitchline.desk.folders import FOLDER_ENV
from pitchline.desk.keeping import upgrading
from pitchline.desk.keeping.backup import HEAD, write_backup
from pitchline.desk.keeping.checking import faults
from pitchline.desk.keeping.restoring import read_head, restore
from pitchline.desk.keeping.upgrading import bring_up_to_date
from pitchline.desk.machine.papers import PAPERS
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.people.models import Member
from pitchline.desk.photos.models import Attachment
from pitchline.desk.photos.store import drop, path_of, put
from pitchline.desk.undo.models import Undoable
from pitchline.trade.errors import InputError


@pytest.fixture
def with_photo(machine, actor):
    """A machine with a judgement and a document."""
    return Attachment.objects.create(
        business=actor.business, machine=machine, what="document", name="note.txt", kind="text/plain", size_bytes=4,
        file=put(actor.business, b"note"),
    )  # fmt: skip


@pytest.fixture
def filled(actor, rows_of):
    """Rows of every kind in the yard that is seen without signing in: judged, planned, quoted, photographed."""
    Member.objects.create(user=User.objects.create_user("owner"), business=actor.business)
    rows_of(actor)


@pytest.fixture
def empty_place(tmp_path):
    """What sets a process to an empty place, on the kind of database this test runs on."""
    env = os.environ | {
        "PYTHONPATH": str(Path(crew.__file__).parents[2]),
        "PITCHLINE_DESK_DATA": str(tmp_path / "again"),
    }
    if connection.vendor == "sqlite":
        yield env
        return
    import psycopg

    told = connection.get_connection_params() | {"dbname": "postgres"}
    told = {name: told[name] for name in ("host", "user", "dbname") if told.get(name)}
    with psycopg.connect(**told, autocommit=True) as server:
        server.execute("DROP DATABASE IF EXISTS put_back")
        server.execute("CREATE DATABASE put_back")
        yield env | {"PITCHLINE_DATABASE": f"postgresql://{told['user']}@/put_back?host={told['host']}"}
        server.execute("DROP DATABASE put_back WITH (FORCE)")


def run(env, *words):
    """What a process of its own said, on the place that is set."""
    said = subprocess.run([sys.executable, *map(str, words)], env=env, capture_output=True, text=True, check=False)  # noqa: S603  ourselves
    assert said.returncode == 0, said.stderr
    return said.stdout


def test_what_is_put_back_and_moved_is_the_same_to_the_byte(filled, actor, empty_place, tmp_path):
    """Into SQLite, and with a server from there to it: every row, file and paper is as it was."""
    # What PostgreSQL keeps of JSON is its value: neither the order of its names nor how a number is spelled.
    odd = {"zeta": 1.0, "alpha": [0.1, 1e-7, 2.5e15, "\u2028 ü"], "mass": {"b": None, "a": True}}
    Undoable.objects.create(business=actor.business, who="x", way="x", said="x", before=odd)
    head, told = write_backup(tmp_path / "a.zip"), dict(papers())
    assert {name.split()[-1] for name, (status, _) in told.items() if status == 200} > PAPERS.keys()
    alone = {name: value for name, value in empty_place.items() if name != "PITCHLINE_DATABASE"}
    steps = [(alone, tmp_path / "a.zip", tmp_path / "file")]
    if connection.vendor == "postgresql":
        steps.append((empty_place, tmp_path / "file", tmp_path / "served"))
    for env, come_from, folder in steps:
        run(env, "-m", "pitchline.cli", "restore", come_from, "--data", folder)
        run(env, "-m", "pitchline.cli", "backup", tmp_path / "b.zip", "--data", folder)
        again = read_head(tmp_path / "b.zip")
        assert {name: again["sums"][name] for name in head["sums"]} == head["sums"]
        assert again["rows"] == head["rows"]
        assert (tmp_path / "b.zip").stat().st_mode & 0o077 == 0
    there = env | {FOLDER_ENV: str(folder), "PITCHLINE_TODAY": "2026-11-26"}
    assert json.loads(run(there, papers_told.__file__)) == told


def test_nothing_is_put_over_what_is_there(with_photo, tmp_path):
    write_backup(tmp_path / "a.zip")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "x").touch()
    with pytest.raises(InputError, match="a folder that holds something"):
        restore(tmp_path / "a.zip", tmp_path / "full")


def spoilt(path):
    """One byte of a row is another."""
    with zipfile.ZipFile(path) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    members["rows/machine.Machine.jsonl"] = members["rows/machine.Machine.jsonl"].replace(b"T", b"U", 1)
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in members.items():
            archive.writestr(name, content)


def of_later(path):
    """Its format is another."""
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(HEAD, json.dumps({"format": "pitchline-backup/9"}))


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (spoilt, "damaged, or no backup"),
        (lambda path: path.write_bytes(path.read_bytes()[:-100]), "damaged, or no backup"),
        (lambda path: path.write_bytes(b""), "damaged, or no backup"),
        (of_later, "another format"),
        (Path.unlink, "There is no such file"),
    ],
)
def test_a_backup_that_is_none_is_told_before_anything_is_written(machine, tmp_path, spoil, said, capsys):
    write_backup(tmp_path / "a.zip")
    spoil(tmp_path / "a.zip")
    assert main(["restore", str(tmp_path / "a.zip"), "--data", str(tmp_path / "new")]) == 2
    assert said in capsys.readouterr().err
    assert not (tmp_path / "new").exists()


def test_a_yard_is_whole_until_a_photo_or_a_judgement_is_not(with_photo, machine):
    assert list(faults()) == []
    drop(with_photo.file)
    machine.judgements.update(verdict_packed=b"x")
    first, second = faults()
    assert first.startswith("note.txt is not in the folder")
    assert "cannot be read" in second
    assert not path_of(with_photo.file).exists()


def test_older_code_does_not_open_what_newer_code_wrote(db):
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('machine', '9999_later', '2027-01-01 00:00:00+00:00')"
        )
    with pytest.raises(InputError, match="written by a newer release"):
        bring_up_to_date()


@pytest.mark.django_db(transaction=True)
def test_a_copy_is_made_before_the_tables_change(monkeypatch, settings, tmp_path, capsys):
    local_actor()
    settings.DATA = tmp_path
    monkeypatch.setattr(upgrading.MigrationExecutor, "migration_plan", lambda *told: ["one"])
    monkeypatch.setattr(upgrading, "call_command", lambda *told, **named: None)
    for stamp in ("2020", "2021", "2022"):
        (tmp_path / "before-upgrade").mkdir(exist_ok=True)
        (tmp_path / "before-upgrade" / f"{stamp}.zip").touch()
    bring_up_to_date()
    kept = sorted((tmp_path / "before-upgrade").iterdir())
    assert [one.stem for one in kept[:2]] == ["2021", "2022"]
    assert str(kept[2]) in capsys.readouterr().err
    if connection.vendor == "postgresql":
        assert read_head(kept[2])["rows"]["people.Business"] == 1
    else:
        with closing(sqlite3.connect(kept[2])) as copy:
            assert copy.execute("SELECT count(*) FROM people_business").fetchone() == (1,)
