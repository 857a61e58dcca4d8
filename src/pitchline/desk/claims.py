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
except ImportError:
    import msvcrt

    fcntl = None  # type: ignore[assignment]

_FILE = "claims.lock"


@contextmanager
def claimed(what: str) -> Iterator[bool]:
    """Whether this process, and no other, is at a piece of work; by one thread of each process at a time."""
    number = int.from_bytes(hashlib.sha256(what.encode()).digest()[:8])
    if connection.vendor == "postgresql":
        number >>= 2
        mine = _asked("SELECT pg_try_advisory_lock(%s)", number)
        try:
            yield mine
        finally:
            if mine:
                with suppress(OperationalError, InterfaceError):  # the session ended, and its locks with it
                    _asked("SELECT pg_advisory_unlock(%s)", number)
        return
    byte = number >> 33  # within what any system takes for a place in a file
    with _opened(str(settings.DATA / _FILE)) as file:
        try:
            lock_byte(file, byte)
        except OSError:
            yield False
            return
        try:
            yield True
        finally:
            _let_go(file, byte)


def _asked(question: str, number: int) -> bool:
    with connection.cursor() as cursor:
        cursor.execute(question, [number])
        return bool(cursor.fetchone()[0])


@contextmanager
def _opened(path: str) -> Iterator[int]:
    if fcntl is not None:
        yield _file(path)
        return
    file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        yield file
    finally:
        os.close(file)


@cache
def _file(path: str) -> int:
    """Open once and never closed: closing a file lets go of every lock a process has on it, but for Windows."""
    return os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)


def lock_byte(file: int, byte: int) -> None:
    """Nothing comes out; this process alone holds one byte of a file, until it lets go, closes the file or ends."""
    if fcntl is not None:
        fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, 1, byte)
    else:
        os.lseek(file, byte, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)


def _let_go(file: int, byte: int) -> None:
    if fcntl is not None:
        fcntl.lockf(file, fcntl.LOCK_UN, 1, byte)
    else:
        os.lseek(file, byte, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_UNLCK, 1)
