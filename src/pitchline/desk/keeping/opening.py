"""What lies in a data folder, looked at before it is opened: no yard is begun over one that is damaged, missing or another's."""

import os
import sqlite3
import stat
from contextlib import closing, suppress
from pathlib import Path

from pitchline.desk.claims import lock_byte
from pitchline.desk.folders import KEY, NEW
from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError, NotAllowedError, phrase
from pitchline.words import in_english

DATABASE = "desk.sqlite3"
_HEAD = b"SQLite format 3\0"
_WALKED_MB = 32
"""A database up to here is walked through whole at every start: a tenth of a second."""
_PUT_BACK = in_english("Put back your newest backup with “pitchline restore”, into an empty folder.")
_TRACES = ("files", "pieces.sqlite3")
SIGN_IN = frozenset(("account", "mfa", "usersessions", "axes", "socialaccount"))
"""Apps of the libraries that sign people in, which a desk of one person does without."""


def look_at(folder: Path) -> None:
    """Nothing where a yard can be opened in a folder, or begun.

    Raises
    ------
    InputError
        Told in two sentences: what is the matter with which file, and what to do.

    References
    ----------
    sqlite.org/fileformat2.html, section 1.3: the head's text, page size and number of pages.
    """
    key = folder / KEY
    if key.exists():
        _check_key(key)
    if os.environ.get("PITCHLINE_DATABASE"):
        return
    database = folder / DATABASE
    if not database.exists():
        if (key.exists() and not (folder / NEW).exists()) or any((folder / name).exists() for name in _TRACES):
            step = in_english(
                "Put back your newest backup, or set PITCHLINE_DATABASE if the yard is kept by a server."
            )
            raise _told(database, phrase("not there, though a yard was kept in its folder"), step)
        return
    if not database.is_file():
        raise _told(database, phrase("no file"), _PUT_BACK)
    if database.stat().st_size == 0:
        if (folder / NEW).exists():  # the very first start was broken off
            return
        raise _told(database, phrase("an empty file"), _PUT_BACK)
    _check_database(database)


def _told(file: Path, seen: str, step: str) -> InputError:
    return refuse(str(file), "file", seen, "the yard's database", step)


def _check_key(key: Path) -> None:
    try:
        sound = key.read_text(encoding="ascii").strip().isprintable() and key.stat().st_size > 0
    except (OSError, ValueError):
        sound = False
    if not sound:
        step = in_english(
            "Put it back from your backup; or delete it: everybody signs in anew, passwords for hours are typed anew."
        )
        raise refuse(str(key), "file", phrase("empty or damaged"), "the desk's own key", step)


def _check_database(database: Path) -> None:
    try:
        with database.open("rb") as stream:
            head = stream.read(100)
    except OSError as error:
        raise _told(database, error.strerror or "", in_english("Give the desk the right to read it.")) from None
    if not head.startswith(_HEAD):
        raise _told(database, phrase("damaged, or a file of another program"), _PUT_BACK)
    page = int.from_bytes(head[16:18])
    size = database.stat().st_size
    cut = size < int.from_bytes(head[28:32]) * (65536 if page == 1 else page) and head[24:28] == head[92:96]
    try:
        with closing(sqlite3.connect(database, timeout=10)) as opened:
            names = {name for (name,) in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
            walked = size > _WALKED_MB * 1024**2 or opened.execute("PRAGMA quick_check(1)").fetchone() == ("ok",)
    except sqlite3.OperationalError:  # in use, or on a disk that is full: no damage; whoever opens it next says so
        return
    except sqlite3.DatabaseError:
        walked, names = False, {"django_migrations"}
    if cut or not walked:
        raise _told(database, phrase("damaged"), _PUT_BACK)
    if names and "django_migrations" not in names:
        raise _told(
            database, phrase("a database of another program"), in_english("Choose another folder with --data.")
        )


def had_sign_in(folder: Path) -> bool:
    """Whether people sign in, or did, at the yard of a folder: then its tables hold what signs them in, too."""
    address, asked = (
        os.environ.get("PITCHLINE_DATABASE"),
        "SELECT app FROM django_migrations WHERE app = 'account'",
    )
    try:
        if address:
            import psycopg

            with psycopg.connect(address) as server:
                return server.execute(asked).fetchone() is not None
        with closing(sqlite3.connect(folder / DATABASE, timeout=10)) as opened:
            return opened.execute(asked).fetchone() is not None
    except Exception:  # whoever opens it next says what is the matter
        return False


def make_private(folder: Path) -> None:
    """Nothing comes out; what the desk made in a folder others may look into is for its owner alone (releases before 0.7.0)."""
    os.umask(0o077)
    for path in folder.glob("*"):
        with suppress(OSError):
            mode = stat.S_IMODE(path.lstat().st_mode)
            ours = path.name.startswith((DATABASE, *_TRACES, KEY, "claims.lock", "static", "tls", "work"))
            if ours and mode & 0o077 and not path.is_symlink():
                path.chmod(mode & 0o700)


_HELD: list[int] = []
_BYTE = 4096
"""Behind what the file says, so that Windows lets others read it."""


def hold(folder: Path) -> None:
    """Nothing comes out; until this process ends no other desk opens on the folder.

    Raises
    ------
    NotAllowedError
        One is open on it.
    """
    file = os.open(folder / "desk.lock", os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o600)
    try:
        lock_byte(file, _BYTE)
    except OSError:
        other = os.read(file, 20).decode(errors="replace").strip()
        allowed = phrase("a folder no other desk is open on; process {other} has it open", other=other)
        raise NotAllowedError("--data", folder, allowed, "Use that desk, or close it first.") from None
    os.ftruncate(file, 0)
    os.write(file, str(os.getpid()).encode())
    _HELD.append(file)  # closing it would let go
