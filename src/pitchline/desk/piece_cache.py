"""Pieces of pages that rest on stored things alone: made once, stored beside the database, made anew wherever they are missing.

The file is nobody's record: deleting it, or failing to write it, costs time and nothing else. Nobody waits for the disk
here, nor long for somebody else who writes.
"""

import hashlib
import json
import logging
import sqlite3
import threading
import zlib
from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path

from django.conf import settings

_LOG = logging.getLogger(__name__)
_FILE = "pieces.sqlite3"
_MOST = 100_000
_OPEN = (
    "PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF; PRAGMA busy_timeout=50; PRAGMA mmap_size=1073741824;"
    "DROP TABLE IF EXISTS piece;"
    "CREATE TABLE IF NOT EXISTS drawn (key BLOB PRIMARY KEY, code TEXT NOT NULL, packed BLOB NOT NULL, whose TEXT NOT NULL);"
    "CREATE INDEX IF NOT EXISTS drawn_whose ON drawn (whose);"
)
_HERE = threading.local()


@cache
def code_digest() -> str:
    """One short text for the code that makes the pieces: another release, or a file changed while working on it, is another."""
    root = Path(__file__).parents[1]
    files = sorted(path for path in root.rglob("*") if path.suffix in (".py", ".html", ".css"))
    told = [f"{path.relative_to(root)} {path.stat().st_size} {path.stat().st_mtime_ns}" for path in files]
    return hashlib.sha256("\n".join(told).encode()).hexdigest()[:16]


def _store() -> sqlite3.Connection:
    path = str(settings.MADE_HERE / _FILE)
    if getattr(_HERE, "path", "") != path:
        store = sqlite3.connect(path, isolation_level=None, timeout=0.05)
        store.executescript(_OPEN)
        _HERE.store, _HERE.path = store, path
    found: sqlite3.Connection = _HERE.store
    return found


def close_store() -> None:
    """Nothing comes out; afterwards this thread holds the file open no more, as before a process divides."""
    if getattr(_HERE, "path", ""):
        _HERE.store.close()
        _HERE.path = ""


def _name(key: tuple[str, ...]) -> bytes:
    return hashlib.sha256("\n".join((code_digest(), *key)).encode()).digest()


def is_cached(key: tuple[str, ...]) -> bool:
    """Whether the texts under a key are there already; without a look into them."""
    try:
        return _store().execute("SELECT 1 FROM drawn WHERE key = ?", (_name(key),)).fetchone() is not None
    except sqlite3.Error:
        return False


def cached(key: tuple[str, ...], make: Callable[[], Mapping[str, str]], of: str = "") -> dict[str, str]:
    """The texts stored under a key, or made now and stored.

    Parameters
    ----------
    key : tuple of str
        Everything the texts depend on beside the code: the id of a judgement, which never changes, a side, the units.
    make : callable
        Gives the texts by name; what it raises goes through.
    of : str
        What they are let go with, such as the id of a judgement.
    """
    name = _name(key)
    try:
        row = _store().execute("SELECT packed FROM drawn WHERE key = ?", (name,)).fetchone()
        if row is not None:
            known: dict[str, str] = json.loads(zlib.decompress(row[0]))
            return known
    except (sqlite3.Error, zlib.error, ValueError):
        _LOG.debug("a piece of a page could not be read; it is made anew", exc_info=True)
    made = dict(make())
    packed = zlib.compress(json.dumps(made, ensure_ascii=False).encode(), 1)
    try:
        _store().execute("INSERT OR REPLACE INTO drawn VALUES (?, ?, ?, ?)", (name, code_digest(), packed, of))
    except sqlite3.Error:
        _LOG.debug("a piece of a page could not be stored", exc_info=True)
    return made


def let_go(of: str) -> None:
    """Nothing comes out; what was stored of something nobody looks at any more is gone, unless somebody else writes just now."""
    try:
        _store().execute("DELETE FROM drawn WHERE whose = ?", (of,))
    except sqlite3.Error:
        _LOG.debug("pieces of pages could not be let go", exc_info=True)


def forget_all() -> None:
    """Nothing comes out; no piece is left, and nothing of it in the file."""
    store = _store()
    store.execute("PRAGMA busy_timeout = 10000")
    store.execute("DELETE FROM drawn")
    store.execute("VACUUM")
    close_store()


def tidy() -> None:
    """Nothing comes out; afterwards pieces of other code are gone, the file is sound, and it is not larger than it may be."""
    try:
        store = _store()
        if store.execute("PRAGMA quick_check").fetchone() != ("ok",):
            raise sqlite3.DatabaseError("not sound")
        store.execute("DELETE FROM drawn WHERE code <> ?", (code_digest(),))
        if store.execute("SELECT count(*) FROM drawn").fetchone()[0] > _MOST:
            store.execute("DELETE FROM drawn")
    except sqlite3.OperationalError:
        _LOG.debug("pieces of pages are tidied another time", exc_info=True)  # somebody else is at it
    except sqlite3.DatabaseError:
        close_store()
        for path in settings.MADE_HERE.glob(f"{_FILE}*"):
            with suppress(PermissionError):  # open elsewhere, on Windows: another time
                path.unlink(missing_ok=True)
    close_store()
