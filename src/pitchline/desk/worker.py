"""Work in the background: each app that has some hires its worker when the desk starts; nobody else need know which there are."""

import logging
import os
from contextlib import suppress
from multiprocessing import Pipe
from multiprocessing.connection import Connection

from django.db import close_old_connections, connection

_LOG = logging.getLogger(__name__)
_LOOK_EVERY_S = 30.0


class Worker:
    """Does what is marked in the database, so nothing is forgotten when the desk is stopped.

    Started before the desk divides into processes: one of them runs it, the others wake it.
    """

    name = ""

    def __init__(self) -> None:
        self._ear: Connection | None = None
        self._bell: Connection | None = None

    def start(self) -> None:
        """From now on somebody will run this; before that, whoever wants it done does it themselves."""
        self._ear, self._bell = Pipe(duplex=False)
        if os.name == "posix":
            os.set_blocking(self._bell.fileno(), False)

    @property
    def alive(self) -> bool:
        """Whether there is somebody to do the work."""
        return self._bell is not None

    def wake(self) -> bool:
        """Whether there is somebody to do the work; they look at once."""
        if self._bell is not None:
            with suppress(
                BlockingIOError
            ):  # thousands have rung and nobody has looked yet: one more would say nothing new
                self._bell.send_bytes(b"look")
        return self.alive

    def soon(self) -> None:
        """What is marked is done in the background, or here and now where nobody is hired for it."""
        if not self.wake():
            self.work_here()

    @property
    def is_rung(self) -> bool:
        """Whether somebody has asked to look since the last look."""
        return self._ear is not None and self._ear.poll()

    def work(self) -> None:
        """Nothing comes out; afterwards nothing is waiting."""
        raise NotImplementedError

    def work_here(self) -> None:
        """Do what somebody waits for, and nothing else."""
        self.work()

    def run(self) -> None:
        """Work for ever, beginning with whatever an earlier run left."""
        ear = self._ear
        if ear is None:
            raise AssertionError("started before it runs")
        while True:
            try:
                close_old_connections()
                self.work()
            except Exception:  # whatever one machine's figures do, the others are still judged at the next look
                _LOG.exception("%s in the background failed; trying again", self.name)
            finally:
                connection.close()
            ear.poll(_LOOK_EVERY_S)
            while ear.poll():
                ear.recv_bytes()


_HIRED: list[Worker] = []


def hire(worker: Worker) -> None:
    """From now on the desk's background process runs it."""
    _HIRED.append(worker)


def workers() -> tuple[Worker, ...]:
    """Everything the desk does in the background, the first hired first."""
    return tuple(_HIRED)


def ring_all() -> None:
    """Whatever was marked, by whichever app, is done soon."""
    for worker in _HIRED:
        worker.soon()
