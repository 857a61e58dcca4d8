"""One thread that judges what is marked for judging, so that no page waits for a whole yard."""

import logging
import threading

from django.db import close_old_connections, connection

from pitchline.desk.machine.judging import judge_waiting

_LOG = logging.getLogger(__name__)
_LOOK_EVERY_S = 30.0


class Worker:
    """Judges in the background; the marks stand in the database, so nothing is forgotten when the desk is stopped."""

    name = "judging"

    def __init__(self) -> None:
        self._wanted = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin, with whatever an earlier run left."""
        self._thread = threading.Thread(target=self._run, name=self.name, daemon=True)
        self._thread.start()
        self._wanted.set()

    def wake(self) -> bool:
        """Whether there is a thread to do the work; it looks at once."""
        self._wanted.set()
        return self._thread is not None and self._thread.is_alive()

    def work(self) -> None:
        """Nothing comes out; afterwards nothing is waiting."""
        judge_waiting()

    def _run(self) -> None:
        while True:
            self._wanted.wait(_LOOK_EVERY_S)
            self._wanted.clear()
            try:
                close_old_connections()
                self.work()
            except Exception:  # whatever one machine's figures do, the others are still judged at the next look
                _LOG.exception("%s in the background failed; trying again", self.name)
            finally:
                connection.close()


WORKER = Worker()


def judge_soon() -> None:
    """Nothing comes out; what is marked is judged in the background, or here and now where no worker runs."""
    if not WORKER.wake():
        judge_waiting()
