"""What lies in a data folder is looked at before it is opened; what is told names the file and what to do."""

import shutil
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing

import pytest

from pitchline.desk.folders import make_folder
from pitchline.desk.keeping.opening import hold, look_at, make_private
from pitchline.trade.errors import InputError, NotAllowedError


@pytest.fixture(autouse=True)
def no_server(monkeypatch):
    monkeypatch.delenv("PITCHLINE_DATABASE", raising=False)


@pytest.fixture(scope="session")
def yard_once(tmp_path_factory):
    """A folder as a yard leaves it, its database a small one."""
    folder = tmp_path_factory.mktemp("kept")
    make_folder(folder)
    (folder / "new").unlink()
    with closing(sqlite3.connect(folder / "desk.sqlite3")) as database:
        database.execute("CREATE TABLE django_migrations (id INTEGER)")
        database.execute("CREATE TABLE many (text TEXT)")
        database.executemany("INSERT INTO many VALUES (?)", [("x" * 900,)] * 200)
        database.commit()
    return folder


@pytest.fixture
def yard(yard_once, tmp_path):
    """The same, to be spoilt."""
    return shutil.copytree(yard_once, tmp_path / "yard")


def cut(database):
    database.write_bytes(database.read_bytes()[:-8192])


def overwritten(database):
    database.write_bytes(b"garbage " * 512 + database.read_bytes()[4096:])


def zeros(database):
    content = bytearray(database.read_bytes())
    content[8192:60_000] = bytes(60_000 - 8192)
    database.write_bytes(content)


def emptied(database):
    database.write_bytes(b"")


def a_folder(database):
    database.unlink()
    database.mkdir()


def missing(database):
    database.unlink()


def of_another_program(database):
    database.unlink()
    with closing(sqlite3.connect(database)) as other:
        other.execute("CREATE TABLE songs (id INTEGER)")
        other.commit()


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (cut, "damaged"), (overwritten, "damaged"), (zeros, "damaged"), (emptied, "an empty file"), (a_folder, "no file"),
        (missing, "not there, though a yard was kept"), (of_another_program, "another program"),
    ],
)  # fmt: skip
def test_a_yard_that_cannot_be_opened_is_told_and_no_other_is_begun_over_it(yard, spoil, said):
    look_at(yard)
    spoil(yard / "desk.sqlite3")
    with pytest.raises(InputError) as told:
        look_at(yard)
    (problem,) = told.value.problems
    assert problem.file.endswith("desk.sqlite3")
    assert said in problem.seen
    assert problem.next_step.endswith(".")


@pytest.mark.parametrize("content", [b"", b"\xff\x00\x07" * 20])
def test_a_key_that_is_none_is_told(yard, content):
    (yard / "secret.key").write_bytes(content)
    with pytest.raises(InputError) as told:
        look_at(yard)
    assert told.value.problems[0].file.endswith("secret.key")


def test_an_empty_folder_a_new_one_and_a_first_start_broken_off_are_no_old_yard(tmp_path):
    look_at(tmp_path / "nowhere")
    make_folder(tmp_path)
    look_at(tmp_path)
    (tmp_path / "desk.sqlite3").touch()
    look_at(tmp_path)


def test_photos_without_a_database_are_no_new_yard(tmp_path, monkeypatch):
    make_folder(tmp_path)
    (tmp_path / "files").mkdir()
    with pytest.raises(InputError):
        look_at(tmp_path)
    monkeypatch.setenv("PITCHLINE_DATABASE", "postgresql://x@y/z")
    look_at(tmp_path)


def test_what_others_may_look_into_is_made_the_owners_alone(yard):
    for path in (yard, yard / "desk.sqlite3"):
        path.chmod(0o755)
    make_private(yard)
    assert stat.S_IMODE((yard / "desk.sqlite3").stat().st_mode) == 0o700
    (yard / "made").touch()
    assert stat.S_IMODE((yard / "made").stat().st_mode) == 0o600


HOLDS = """
import fcntl, os, sys
file = os.open(sys.argv[1], os.O_RDWR | os.O_CREAT)
fcntl.lockf(file, fcntl.LOCK_EX, 1, 4096)
os.write(file, b"4711")
print("held", flush=True)
sys.stdin.read()
"""


def test_a_second_desk_on_a_folder_is_told_of_the_first(tmp_path):
    call = [sys.executable, "-S", "-c", HOLDS, str(tmp_path / "desk.lock")]
    with subprocess.Popen(call, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as first:  # noqa: S603  ourselves
        first.stdout.readline()
        with pytest.raises(NotAllowedError, match="process 4711 has it open"):
            hold(tmp_path)
        first.stdin.close()
        first.wait()
    hold(tmp_path)
