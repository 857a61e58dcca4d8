"""Work that takes longer than a page may: done in a thread, its progress told in a file that every process of the desk reads.

What it writes is written in one transaction, so a desk that is stopped meanwhile has done all of it or nothing. Progress cannot
stand in the database, which that transaction keeps to itself.
"""

import json
import logging
import os
import threading
import time
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from django.conf import settings
from django.db import close_old_connections, connection

from pitchline.desk.machine.worker import WORKER

_LOG = logging.getLogger(__name__)
PATIENCE_S = 0.8
"""How long a page waits before it shows progress instead."""
_TELL_EVERY_S = 0.25


@dataclass(slots=True)
class Work:
    """How far one piece of work is.

    Parameters
    ----------
    said : str
        What is being done.
    done, of : int
        How many of how many; 0 of 0 where it cannot be counted.
    path : Path or None
        Where that is told.
    """

    said: str
    done: int = 0
    of: int = 0
    path: Path | None = None
    _told_at: float = field(default=0.0, repr=False)

    def tell(self, done: int, of: int) -> None:
        """Nothing comes out; whoever looks is told, a few times a second at most."""
        self.done, self.of = done, of
        if self.path is not None and time.monotonic() - self._told_at > _TELL_EVERY_S:
            self._told_at = time.monotonic()
            fresh = self.path.with_suffix(".new")
            fresh.write_text(self.text(), encoding="utf-8")
            fresh.replace(self.path)

    def text(self) -> str:
        """What stands in the file."""
        return json.dumps({"said": self.said, "done": self.done, "of": self.of, "process": os.getpid()})


def _path_of(key: uuid.UUID) -> Path:
    folder: Path = settings.DATA / "work"
    folder.mkdir(mode=0o700, exist_ok=True)
    return folder / f"{key}.json"


def at_work(key: uuid.UUID) -> Work | None:
    """The work under way for a key; None where there is none, or where its process is gone."""
    path = _path_of(key)
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
        os.kill(told["process"], 0)
    except FileNotFoundError:
        return None
    except (ProcessLookupError, ValueError, KeyError):
        path.unlink(missing_ok=True)
        return None
    except PermissionError:
        _LOG.debug("the process at work belongs to somebody else", exc_info=True)
    return Work(told["said"], told["done"], told["of"])


def do(key: uuid.UUID, said: str, job: Callable[[Work], None]) -> None:
    """Nothing comes out; the work is done, or under way where it takes long. Twice at once does it once."""
    if not WORKER.alive:
        job(Work(said))
        return
    work = Work(said, path=_path_of(key))
    if at_work(key) is not None or not _taken(work):
        return
    thread = threading.Thread(target=_run, args=(work, job), name="list", daemon=True)
    thread.start()
    thread.join(PATIENCE_S)


def _taken(work: Work) -> bool:
    """Whether this process has it: the file is made by one alone."""
    try:
        handle = os.open(str(work.path), os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return False
    with os.fdopen(handle, "w", encoding="utf-8") as stream:
        stream.write(work.text())
    return True


def _run(work: Work, job: Callable[[Work], None]) -> None:
    try:
        close_old_connections()
        job(work)
    except Exception:  # told to whoever looks at the desk's window; the page says that nothing was written
        _LOG.exception("%s failed", work.said)
    finally:
        connection.close()
        if work.path is not None:
            work.path.unlink(missing_ok=True)
