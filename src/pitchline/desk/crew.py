"""The desk's processes: some answer pages from one listening socket, as many work in the background, at low priority.

A process of Python uses one core, and judging is arithmetic that would keep its pages waiting. Where a process cannot divide
(Windows, macOS) the head answers the pages itself, and starts one or two others for the background.
"""

import _thread
import gc
import logging
import os
import signal
import socket
import sys
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from multiprocessing import Pipe, get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from types import FrameType
from typing import TYPE_CHECKING, NoReturn

from pitchline.desk.at_work import Bell, Left, Line, heard

if TYPE_CHECKING:
    from pitchline.desk.page_server import PageServer

MOST_PROCESSES = 8
_MOST_STARTED = 2
"""How many work in the background where each has to load everything for itself."""
_TOO_SOON_S = 2.0
_LOADING_S = 20.0
"""What one that shares nothing may take to load everything, on a slow computer."""
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
    """Whether a process can divide, so that all of them share what one has loaded: on Linux and its like."""
    return hasattr(os, "fork") and sys.platform != "darwin"


def processes() -> int:
    """How many processes answer pages: one for each core this one may use."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(cores, MOST_PROCESSES)


def answer_pages(listening: socket.socket, line: Line | None = None) -> None:
    """Answer requests until told to leave."""
    _page_server(listening).run(_TOLD[1:])


def _page_server(listening: socket.socket) -> "PageServer":
    from django.conf import settings

    from pitchline.desk.page_server import PageServer
    from pitchline.desk.wsgi import application

    return PageServer(listening, application, is_behind_https=settings.HTTPS, proxy=settings.PROXY)


@contextmanager
def answering_here(listening: socket.socket) -> Iterator[None]:
    """Beside everything inside, answer requests; afterwards those under way are answered."""
    server = _page_server(listening)

    def answer() -> None:
        try:
            server.run()
        except BaseException:
            sys.excepthook(*sys.exc_info())
            _thread.interrupt_main()  # a desk that answers nobody is none

    answers = threading.Thread(target=answer, name="pages", daemon=True)
    try:
        answers.start()  # inside: who is told to go at this very moment still finishes what was asked
        yield
    finally:
        server.leave()
        answers.join(PATIENCE_S)


def work_in_background(number: int, line: Line) -> None:
    """Do what waits, until stopped, when nobody else wants the processor; one thread for each kind of work.

    Process 0 does every kind, the others help where several can do the same kind of work at once.
    """
    from pitchline.desk.piece_cache import tidy
    from pitchline.desk.worker import workers

    _stand_back()
    if number == 0:
        tidy()
    mine = [worker for worker in workers() if number == 0 or worker.is_shared]
    for worker in mine:
        worker.take_up(number, line)
    first, *others = mine
    for worker in others:
        threading.Thread(target=worker.run, name=worker.name, daemon=True).start()
    first.run()


def _work_elsewhere(number: int, bells: Mapping[str, Sequence[Bell]], line: Line) -> None:
    """The same in a process that was started with nothing, and is handed the bells of each kind of work."""
    import django

    from pitchline.desk.worker import workers

    django.setup()
    _let_litter_lie()
    for worker in workers():
        worker.bells = bells[worker.name]
    work_in_background(number, line)


def _keep_door(line: Line) -> None:
    """Answer phones, while the desk's own page says that they may come in."""
    from pitchline.desk.phones.door import keep_door
    from pitchline.desk.wsgi import application

    keep_door(application)


def _keep_door_elsewhere(line: Line) -> None:
    """The same in a process that was started with nothing."""
    import django

    django.setup()
    _let_litter_lie()
    _keep_door(line)


def _stand_back() -> None:
    if sys.platform == "win32":
        import ctypes

        this, below_normal = ctypes.c_void_p(-1), 0x4000  # after Windows' own headers, from memory
        ctypes.windll.kernel32.SetPriorityClass(this, below_normal)
    elif hasattr(os, "nice"):
        os.nice(_BACKGROUND_NICE)


def heed() -> None:
    """From now on SIGINT and SIGTERM end the desk: a shell starts what it puts in the background with SIGINT ignored."""
    signal.signal(signal.SIGTERM, _leave)
    signal.signal(signal.SIGINT, _interrupt)


def run(listening: socket.socket) -> None:
    """Run the desk until stopped."""
    from pitchline.desk.worker import workers

    divides = can_divide()
    count = processes() if divides else min(processes(), _MOST_STARTED)
    for worker in workers():
        worker.start(count if worker.is_shared else 1)
    if divides:
        background = [partial(work_in_background, number) for number in range(count)]
        Crew([*background, *[partial(answer_pages, listening)] * count, _keep_door]).run()
        return
    bells = {worker.name: worker.bells for worker in workers()}
    with answering_here(listening):
        Crew([*[partial(_work_elsewhere, number, bells) for number in range(count)], _keep_door_elsewhere]).run()


@dataclass(slots=True)
class _Hand:
    """One process of the crew: its role, since when, and until when each piece of work it is at may take."""

    number: int
    process: BaseProcess
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

    def __init__(self, roles: Sequence[Callable[[Line], None]]) -> None:
        self._roles, self._hands = roles, list[_Hand]()
        self._deaths = Counter[tuple[str, str]]()
        self._ear, self._lifeline = Pipe(duplex=False)
        self._divides = can_divide()

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
            told = wait([hand.line for hand in self._hands], _LOOK_EVERY_S)
            for hand in list(self._hands):
                if hand.line in told and not hand.hear(self._deaths):
                    hand.process.join()
                    self._hands.remove(hand)
                    hand.line.close()
                    lived_s = _clock() - hand.began - (0.0 if self._divides else _LOADING_S)
                    gave_up = lived_s < _TOO_SOON_S and (hand.process.exitcode or 0) >= 0
                    failures = failures + 1 if gave_up else 0  # one that was killed did not give up
                    self._send(hand.number, self._left_by(hand))
                elif hand.late() and hand.hear(self._deaths) and hand.late():  # not for a piece it has just done
                    _LOG.error("the background hangs at %s; it is ended, and another goes on", hand.late())
                    hand.process.kill()  # it may be where it hears nothing milder
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
        life = (self._roles[number], Line(line, left), self._ear, self._lifeline if self._divides else None)
        # Told to go between dividing and hearing for itself, a child would leave by its parent's way, or miss it and stay.
        _hear_nothing(True)
        context = get_context("fork") if self._divides else get_context("spawn")
        process = context.Process(target=_work, args=life)
        process.start()
        line.close()
        self._hands.append(_Hand(number, process, _clock(), ear))
        _hear_nothing(False)

    def _dismiss(self) -> None:
        """Tell all to go, and wait: answers under way are finished; who does not go in time is stopped."""
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # pressed twice it must not leave anybody behind
        signal.signal(signal.SIGTERM, signal.SIG_IGN)
        for hand in self._hands:
            hand.process.terminate()
        end = time.monotonic() + PATIENCE_S
        for hand in self._hands:
            hand.process.join(max(end - time.monotonic(), 0.0))
            hand.process.kill()  # nothing where it is gone
            hand.process.join()


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
    _let_litter_lie()


def _let_litter_lie() -> None:
    gc.collect()
    gc.freeze()
    gc.set_threshold(*_LITTER)


def _hear_nothing(deaf: bool) -> None:
    """Whether signals to go wait; where a system has no such thing, a child told too early goes at once."""
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_BLOCK if deaf else signal.SIG_UNBLOCK, _TOLD)


def _work(role: Callable[[Line], None], line: Line, ear: Connection, lifeline: Connection | None) -> None:
    """A child's whole life."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent hears it, and stops us
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    _hear_nothing(False)
    if lifeline is not None:
        lifeline.close()  # by dividing it has the parent's end too
    threading.Thread(target=_go_with_parent, args=(ear,), daemon=True).start()
    role(line)


def _go_with_parent(ear: Connection) -> None:
    """Nothing is ever sent: the line only ends, when the parent does."""
    try:
        ear.recv_bytes()
    except (EOFError, OSError):
        os._exit(0)
