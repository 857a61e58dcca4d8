"""Work that takes longer than a page may: done in a thread, with how far it is kept in memory.

What it writes is written in one transaction, so a desk that is stopped meanwhile has done all of it or nothing.
"""

import logging
import threading
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field

from django.db import close_old_connections, connection

from pitchline.desk.machine.worker import WORKER

_LOG = logging.getLogger(__name__)
PATIENCE_S = 0.8
"""How long a page waits before it shows progress instead."""


@dataclass(slots=True)
class Work:
    """How far one piece of work is.

    Parameters
    ----------
    said : str
        What is being done.
    done, of : int
        How many of how many; 0 of 0 where it cannot be counted.
    failed : bool
        Whether it stopped by an error of ours.
    over : Event
        Set at its end.

    References
    ----------
    Definition.
    """

    said: str
    done: int = 0
    of: int = 0
    failed: bool = False
    over: threading.Event = field(default_factory=threading.Event)


_AT_WORK: dict[uuid.UUID, Work] = {}


def at_work(key: uuid.UUID) -> Work | None:
    """The work under way for a key; None where there is none."""
    return _AT_WORK.get(key)


def do(key: uuid.UUID, said: str, job: Callable[[Work], None]) -> None:
    """Nothing comes out; the work is done, or under way where it takes long. Twice at once does it once."""
    if key in _AT_WORK:
        return
    work = _AT_WORK[key] = Work(said)
    if not WORKER.alive:
        try:
            job(work)
        finally:
            _AT_WORK.pop(key, None)
        return
    threading.Thread(target=_run, args=(key, work, job), name="list", daemon=True).start()
    work.over.wait(PATIENCE_S)


def _run(key: uuid.UUID, work: Work, job: Callable[[Work], None]) -> None:
    try:
        close_old_connections()
        job(work)
    except Exception:  # told to whoever looks at the desk's window; the page says that nothing was written
        work.failed = True
        _LOG.exception("%s failed", work.said)
    finally:
        connection.close()
        _AT_WORK.pop(key, None)
        work.over.set()
