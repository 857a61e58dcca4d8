"""Work in the background: each app that has some hires its worker when the desk starts; nobody else need know which there are."""

import logging
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from multiprocessing import Pipe

from django.db import close_old_connections, connection

from pitchline.desk.at_work import Bell, Line
from pitchline.desk.claims import claimed
from pitchline.trade.writing import as_figure
from pitchline.words import translated

_LOG = logging.getLogger(__name__)
_LOOK_EVERY_S = 30.0


class Worker:
    """Does what is marked in the database, so nothing is forgotten when the desk is stopped.

    Started before there are other processes: one of them runs it, or several where `is_shared`; the others wake it.
    """

    name = ""
    is_shared = False
    limit_s = 600.0
    """How long one piece may go on without a word [s]: so long that no computer, however slow and busy, takes it for hung."""

    def __init__(self) -> None:
        self.bells: Sequence[Bell] = ()
        self._bell: Bell | None = None
        self._line: Line | None = None

    def start(self, processes: int = 1) -> None:
        """From now on somebody will run this; before that, whoever wants it done does it themselves."""
        # One each: what one has heard, another must hear too.
        self.bells = [Bell(*Pipe(duplex=False)) for _ in range(processes)]
        self._bell = self.bells[0]

    @property
    def alive(self) -> bool:
        """Whether there is somebody to do the work."""
        return bool(self.bells)

    def wake(self) -> bool:
        """Whether there is somebody to do the work; they look at once."""
        for bell in self.bells:
            bell.ring()
        return self.alive

    def soon(self) -> None:
        """What is marked is done in the background, or here and now where nobody is hired for it."""
        if not self.wake():
            self.work_here()

    @property
    def is_rung(self) -> bool:
        """Whether somebody has asked to look since the last look."""
        return self._bell is not None and self._bell.ear.poll()

    def work(self) -> None:
        """Nothing comes out; afterwards nothing is waiting."""
        raise NotImplementedError

    def work_here(self) -> None:
        """Do what somebody waits for, and nothing else."""
        self.work()

    def gave_up(self, what: str, why: str) -> None:
        """Nothing comes out; whoever waits for a piece of work is told in words why nobody is at it any more."""
        raise NotImplementedError

    @contextmanager
    def at(self, what: object) -> Iterator[bool]:
        """Whether nobody else is at a piece of work; meanwhile the crew's head watches over it."""
        with claimed(f"{self.name} {what}") as mine:
            if mine:
                self.goes_on(what)
            try:
                yield mine
            finally:
                if mine:
                    self.goes_on("")

    def goes_on(self, what: object) -> None:
        """Nothing comes out; the head knows that a piece has begun, or got on."""
        if self._line is not None:
            self._line.tell(self.name, str(what), self.limit_s)

    def take_up(self, number: int, line: Line) -> None:
        """Nothing comes out; this process is one of those that run it, and what the one before left behind is told of."""
        self._bell, self._line = self.bells[number], line
        for left in line.left:
            if left.kind == self.name:
                try:
                    self.gave_up(left.what, _why(left.hung, self.limit_s))
                except Exception:
                    _LOG.exception("%s: nobody could be told that %s was left", self.name, left.what)
        connection.close()

    def run(self) -> None:
        """Work for ever, beginning with whatever an earlier run left."""
        bell = self._bell
        if bell is None:
            raise AssertionError("started before it runs")
        while True:
            try:
                close_old_connections()
                self.work()
            except Exception:  # whatever one machine's figures do, the others are still judged at the next look
                _LOG.exception("%s in the background failed; trying again", self.name)
            finally:
                connection.close()
            bell.listen(_LOOK_EVERY_S)


def _why(hung: bool, limit_s: float) -> str:
    if hung:
        return translated("took longer than {limit_s} minutes and was ended").format(
            limit_s=as_figure(limit_s / 60, "g")
        )
    return translated("ended the process that was at it, again and again")


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
