"""Who is at which piece of work. A claim ends with whoever made it, so nobody waits for one who is gone.

On PostgreSQL it is a lock of the session, which holds between computers too; beside SQLite a lock on one byte of a file. Neither
writes anything, so no page waits for a claim.
"""

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache

from django.conf import settings
from django.db import InterfaceError, OperationalError, connection

try:
    import fcntl
except ImportError:  # such a system has one process, which is alone
    fcntl = None  # type: ignore[assignment]

_FILE = "claims.lock"


@contextmanager
def claimed(what: str) -> Iterator[bool]:
    """Whether this process, and no other, is at a piece of work; by one thread of each process at a time."""
    number = int.from_bytes(hashlib.sha256(what.encode()).digest()[:8]) >> 2  # fits the offset of a file
    if connection.vendor == "postgresql":
        mine = _asked("SELECT pg_try_advisory_lock(%s)", number)
        try:
            yield mine
        finally:
            if mine:
                with suppress(OperationalError, InterfaceError):  # the session ended, and its locks with it
                    _asked("SELECT pg_advisory_unlock(%s)", number)
    elif fcntl is None:
        yield True
    else:
        file = _file(str(settings.DATA / _FILE))
        try:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, 1, number)
        except OSError:
            yield False
            return
        try:
            yield True
        finally:
            fcntl.lockf(file, fcntl.LOCK_UN, 1, number)


def _asked(question: str, number: int) -> bool:
    with connection.cursor() as cursor:
        cursor.execute(question, [number])
        return bool(cursor.fetchone()[0])


@cache
def _file(path: str) -> int:
    """Open once and never closed: closing a file lets go of every lock a process has on it."""
    return os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
