"""What is the matter where a disk or a database fails: said in words, where a program would show its own."""

import errno
import sqlite3
from collections.abc import Iterator

from django.db import DatabaseError

from pitchline.words import in_english, translated

FULL = in_english(
    "The disk is full, and this was not saved. Make room on the desk's computer, then send it again."
)
LOCKED = in_english(
    "Somebody else writes for longer than the desk waits, and this was not saved. Send it again in a moment."
)
CLOSED = in_english(
    "The desk may not write in its folder, and this was not saved. Give it the right to, then send it again."
)
DAMAGED = in_english(
    "The yard's database is damaged. Close the desk, and put back your newest backup with “pitchline restore”."
)
AWAY = in_english(
    "The database does not answer, and this was not saved. Ask whoever keeps the desk to look whether it runs."
)
_BY_NUMBER = {
    errno.ENOSPC: FULL,
    errno.EDQUOT: FULL,
    errno.EROFS: CLOSED,
    errno.EACCES: CLOSED,
    errno.EPERM: CLOSED,
}
_BY_STATE = {
    "53100": FULL,
    "55P03": LOCKED,
    "40P01": LOCKED,
    "57014": LOCKED,
    "25006": CLOSED,
    "XX001": DAMAGED,
    "XX002": DAMAGED,
}
"""What a server says by SQLSTATE (PostgreSQL's documentation, appendix A, from memory)."""
_BY_WORDS = {
    "disk is full": FULL, "is locked": LOCKED, "readonly": CLOSED, "unable to open": CLOSED, "malformed": DAMAGED,
    "not a database": DAMAGED, "disk i/o": DAMAGED,
}  # fmt: skip


def _chain(error: BaseException | None) -> Iterator[BaseException]:
    while error is not None:
        yield error
        error = error.__cause__


def trouble_of(error: BaseException | None) -> str:
    """What is the matter and what to do, in the language in force; empty where it is neither disk nor database."""
    for one in _chain(error):
        if isinstance(one, OSError) and one.errno in _BY_NUMBER:
            return translated(_BY_NUMBER[one.errno])
        state = getattr(one, "sqlstate", None)
        if state in _BY_STATE:
            return translated(_BY_STATE[state])
        if isinstance(one, sqlite3.Error):
            said = str(one).lower()
            return next((translated(ours) for theirs, ours in _BY_WORDS.items() if theirs in said), "")
        # Without a state nobody answered; class 08 and 57P are connections that broke.
        is_servers = isinstance(one, DatabaseError) and type(one.__cause__).__module__.startswith("psycopg")
        if is_servers and type(one).__name__ in ("OperationalError", "InterfaceError"):
            below = getattr(one.__cause__, "sqlstate", None) or "08"
            if below.startswith(("08", "57P", "53")) and below not in _BY_STATE:
                return translated(AWAY)
    return ""
