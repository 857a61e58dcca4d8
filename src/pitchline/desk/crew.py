"""The desk's processes: several that answer pages from one listening socket, and one that judges, at low priority.

A process of Python uses one core, and judging is arithmetic that would keep its pages waiting.
"""

import gc
import os
import signal
import socket
import sys
import threading
import time
from collections.abc import Callable
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from types import FrameType
from typing import NoReturn

MOST_PROCESSES = 8
_TOO_SOON_S = 2.0
_TRIES = 5
_BACKGROUND_NICE = 10
PATIENCE_S = 25.0
"""How long whoever is told to go may take: a little longer than an answer under way may."""
_TOLD = (signal.SIGINT, signal.SIGTERM)
_LITTER = (20_000, 10, 10)
"""How much is made before Python looks for what is no longer used: a page makes thousands of small things and lets them go."""


def can_divide() -> bool:
    """Whether the desk can run as several processes: on Linux and its like; elsewhere one process with threads does it all."""
    return hasattr(os, "fork") and sys.platform != "darwin"


def processes() -> int:
    """How many processes answer pages: one for each core this one may use."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(cores, MOST_PROCESSES)


def answer_pages(listening: socket.socket) -> None:
    """Answer requests until stopped."""
    from pitchline.desk.page_server import PageServer
    from pitchline.desk.wsgi import application

    PageServer(listening, application).run()


def work_in_background() -> None:
    """Do what waits, until stopped, when nobody else wants the processor; one thread for each kind of work."""
    from pitchline.desk.piece_cache import tidy
    from pitchline.desk.worker import workers

    if can_divide():
        os.nice(_BACKGROUND_NICE)
    tidy()
    first, *others = workers()
    for worker in others:
        threading.Thread(target=worker.run, name=worker.name, daemon=True).start()
    first.run()


def run(listening: socket.socket) -> None:
    """Run the desk until stopped."""
    from pitchline.desk.worker import workers

    for worker in workers():
        worker.start()
    if not can_divide():
        threading.Thread(target=work_in_background, name="background", daemon=True).start()
        answer_pages(listening)
        return
    roles: list[Callable[[], None]] = [lambda: answer_pages(listening)] * processes()
    Crew([work_in_background, *roles]).run()


class Crew:
    """One process for each role; whoever falls over is put up again, and all go when this process goes, however it goes."""

    def __init__(self, roles: list[Callable[[], None]]) -> None:
        self._roles = roles
        self._at_work: dict[int, tuple[int, float]] = {}
        self._ear, self._lifeline = Pipe(duplex=False)

    def run(self) -> None:
        """Watch over the crew until told to stop."""
        _make_ready()
        signal.signal(signal.SIGTERM, _leave)
        signal.signal(signal.SIGINT, _interrupt)  # a shell starts what runs in the background with it ignored
        try:
            for number in range(len(self._roles)):
                self._send(number)
            self._watch()
        finally:
            self._dismiss()

    def _watch(self) -> None:
        failures = 0
        while failures < _TRIES:
            pid, status = os.wait()
            number, began = self._at_work.pop(pid)
            gave_up = os.WIFEXITED(status) and time.monotonic() - began < _TOO_SOON_S
            failures = failures + 1 if gave_up else 0  # one that was killed did not give up
            self._send(number)
        raise RuntimeError("the desk's processes stop as soon as they are started; what they said stands above")

    def _send(self, number: int) -> None:
        # Told to go between dividing and hearing for itself, a child would leave by its parent's way, or miss it and stay.
        signal.pthread_sigmask(signal.SIG_BLOCK, _TOLD)
        pid = os.fork()
        if pid == 0:
            self._lifeline.close()
            _work(self._roles[number], self._ear)
        self._at_work[pid] = (number, time.monotonic())
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
