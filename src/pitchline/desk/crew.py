"""The desk's processes: some answer pages from one listening socket, as many work in the background, at low priority.

A process of Python uses one core, and judging is arithmetic that would keep its pages waiting.
"""

import gc
import logging
import os
import signal
import socket
import sys
import threading
import time
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing import Pipe
from multiprocessing.connection import Connection, wait
from types import FrameType
from typing import NoReturn

from pitchline.desk.at_work import Left, Line, heard

MOST_PROCESSES = 8
_TOO_SOON_S = 2.0
_TRIES = 5
_BACKGROUND_NICE = 10
PATIENCE_S = 25.0
"""How long whoever is told to go may take: a little longer than an answer under way may."""
_TOLD = (signal.SIGINT, signal.SIGTERM)
_LOOK_EVERY_S = 1.0
_DEATHS = 3
"""How many processes may end over one piece of work before it is left: one may be chance, or somebody short of memory."""
_clock = time.monotonic  # stands still while the computer sleeps
_LOG = logging.getLogger(__name__)
_LITTER = (20_000, 10, 10)
"""How much is made before Python looks for what is no longer used: a page makes thousands of small things and lets them go."""


def can_divide() -> bool:
    """Whether the desk can run as several processes: on Linux and its like; elsewhere one process with threads does it all."""
    return hasattr(os, "fork") and sys.platform != "darwin"


def processes() -> int:
    """How many processes answer pages: one for each core this one may use."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(cores, MOST_PROCESSES)


def answer_pages(listening: socket.socket, told: Sequence[signal.Signals] = (signal.SIGTERM,)) -> None:
    """Answer requests until told to leave by one of these signals."""
    from pitchline.desk.page_server import PageServer
    from pitchline.desk.wsgi import application

    PageServer(listening, application).run(told)


def work_in_background(number: int = 0, line: Line | None = None) -> None:
    """Do what waits, until stopped, when nobody else wants the processor; one thread for each kind of work.

    Process 0 does every kind, the others help where several can do the same kind of work at once.
    """
    from pitchline.desk.piece_cache import tidy
    from pitchline.desk.worker import workers

    if line is not None:
        os.nice(_BACKGROUND_NICE)
    if number == 0:
        tidy()
    mine = [worker for worker in workers() if number == 0 or worker.is_shared]
    for worker in mine:
        worker.take_up(number, line)
    first, *others = mine
    for worker in others:
        threading.Thread(target=worker.run, name=worker.name, daemon=True).start()
    first.run()


def heed() -> None:
    """From now on SIGINT and SIGTERM end the desk: a shell starts what it puts in the background with SIGINT ignored."""
    signal.signal(signal.SIGTERM, _leave)
    signal.signal(signal.SIGINT, _interrupt)


def run(listening: socket.socket) -> None:
    """Run the desk until stopped."""
    from pitchline.desk.worker import workers

    divided = can_divide()
    for worker in workers():
        worker.start(processes() if divided and worker.is_shared else 1)
    if not divided:
        threading.Thread(target=work_in_background, name="background", daemon=True).start()
        answer_pages(listening, _TOLD)
        return
    background = [lambda line, number=number: work_in_background(number, line) for number in range(processes())]
    Crew([*background, *[lambda _: answer_pages(listening)] * processes()]).run()


@dataclass(slots=True)
class _Hand:
    """One process of the crew: its role, since when, and until when each piece of work it is at may take."""

    number: int
    began: float
    line: Connection
    pieces: dict[str, tuple[str, float]] = field(default_factory=dict)

    def hear(self, deaths: Counter[tuple[str, str]]) -> bool:
        """Whether it is still there; takes in what it told, and over what it has got nobody dies any more."""
        try:
            while self.line.poll():
                kind, what, limit_s = heard(self.line)
                before, _ = self.pieces.get(kind, ("", 0.0))
                if before != what:
                    deaths.pop((kind, before), None)
                self.pieces[kind] = (what, _clock() + limit_s)
        except (EOFError, OSError):
            return False
        return True

    def at_work(self) -> list[tuple[str, str]]:
        """Kind and name of each piece it is at."""
        return [(kind, what) for kind, (what, _) in self.pieces.items() if what]

    def late(self) -> list[tuple[str, str]]:
        """Those that take longer than they may."""
        now = _clock()
        return [one for one in self.at_work() if self.pieces[one[0]][1] < now]


class Crew:
    """One process for each role; whoever falls over is put up again, and all go when this process goes, however it goes."""

    def __init__(self, roles: list[Callable[[Line], None]]) -> None:
        self._roles = roles
        self._at_work: dict[int, _Hand] = {}
        self._deaths = Counter[tuple[str, str]]()
        self._ear, self._lifeline = Pipe(duplex=False)

    def run(self) -> None:
        """Watch over the crew until told to stop."""
        _make_ready()
        try:
            for number in range(len(self._roles)):
                self._send(number)
            self._watch()
        finally:
            self._dismiss()

    def _watch(self) -> None:
        failures = 0
        while failures < _TRIES:
            told = wait([hand.line for hand in self._at_work.values()], _LOOK_EVERY_S)
            for pid, hand in list(self._at_work.items()):
                if hand.line in told and not hand.hear(self._deaths):
                    _, status = os.waitpid(pid, 0)
                    del self._at_work[pid]
                    hand.line.close()
                    gave_up = os.WIFEXITED(status) and _clock() - hand.began < _TOO_SOON_S
                    failures = failures + 1 if gave_up else 0  # one that was killed did not give up
                    self._send(hand.number, self._left_by(hand))
                elif hand.late() and hand.hear(self._deaths) and hand.late():  # not for a piece it has just done
                    _LOG.error("the background hangs at %s; it is ended, and another goes on", hand.late())
                    with suppress(ProcessLookupError):
                        os.kill(pid, signal.SIGKILL)  # it may be where it hears no other
        raise RuntimeError("the desk's processes stop as soon as they are started; what they said stands above")

    def _left_by(self, hand: _Hand) -> tuple[Left, ...]:
        """What nobody takes up again after this process: what hung, and over what one process after the other ended."""
        late, at_work = hand.late(), hand.at_work()
        if not late:
            self._deaths.update(at_work)
        return tuple(
            Left(kind, what, hung=(kind, what) in late)
            for kind, what in at_work
            if (kind, what) in late or self._deaths[kind, what] >= _DEATHS
        )

    def _send(self, number: int, left: tuple[Left, ...] = ()) -> None:
        ear, line = Pipe(duplex=False)
        # Told to go between dividing and hearing for itself, a child would leave by its parent's way, or miss it and stay.
        signal.pthread_sigmask(signal.SIG_BLOCK, _TOLD)
        pid = os.fork()
        if pid == 0:
            self._lifeline.close()
            _work(lambda: self._roles[number](Line(line, left)), self._ear)
        line.close()
        self._at_work[pid] = _Hand(number, _clock(), ear)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, _TOLD)

    def _dismiss(self) -> None:
        """Tell all to go, and wait: answers under way are finished; who does not go in time is stopped."""
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # pressed twice it must not leave anybody behind
        signal.signal(signal.SIGTERM, signal.SIG_IGN)
        for pid in self._at_work:
            os.kill(pid, signal.SIGTERM)
        end = time.monotonic() + PATIENCE_S
        while self._at_work:
            if time.monotonic() > end:
                for late in self._at_work:
                    os.kill(late, signal.SIGKILL)
            pid, _ = os.waitpid(-1, os.WNOHANG)
            self._at_work.pop(pid, None)
            if pid == 0:
                time.sleep(0.02)


def _leave(number: int, frame: FrameType | None) -> NoReturn:
    raise SystemExit(0)


def _interrupt(number: int, frame: FrameType | None) -> NoReturn:
    raise KeyboardInterrupt


def _make_ready() -> None:
    """Load everything before dividing, so that it is loaded once, and hold nothing open that must not be shared."""
    from django.db import connections
    from django.urls import get_resolver

    from pitchline.desk import wsgi  # noqa: F401  loads the middleware
    from pitchline.desk.piece_cache import close_store

    _ = get_resolver().url_patterns
    connections.close_all()
    close_store()
    gc.collect()
    gc.freeze()
    gc.set_threshold(*_LITTER)


def _work(role: Callable[[], None], ear: Connection) -> NoReturn:
    """A child's whole life; it never returns into what its parent was doing."""
    status = 1
    try:
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent hears it, and stops us
        signal.signal(signal.SIGTERM, signal.SIG_DFL)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, _TOLD)
        threading.Thread(target=_go_with_parent, args=(ear,), daemon=True).start()
        role()
        status = 0
    except BaseException:
        sys.excepthook(*sys.exc_info())
    finally:
        os._exit(status)


def _go_with_parent(ear: Connection) -> None:
    """Nothing is ever sent: the line only ends, when the parent does."""
    try:
        ear.recv_bytes()
    except (EOFError, OSError):
        os._exit(0)
