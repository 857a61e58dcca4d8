"""Judging in the background, so that no page waits for a whole yard."""

import logging
from multiprocessing import Pipe
from multiprocessing.connection import Connection

from django.db import close_old_connections, connection

from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.pieces import judged_piece
from pitchline.desk.yard.prices import newest_prices
from pitchline.trade.units import UnitSystem

_LOG = logging.getLogger(__name__)
_LOOK_EVERY_S = 30.0


class Worker:
    """Judges what is marked; the marks stand in the database, so nothing is forgotten when the desk is stopped.

    Started before the desk divides into processes: one of them runs it, the others wake it.
    """

    name = "judging"

    def __init__(self) -> None:
        self._ear: Connection | None = None
        self._bell: Connection | None = None

    def start(self) -> None:
        """From now on somebody will run this; before that, whoever wants it done does it themselves."""
        self._ear, self._bell = Pipe(duplex=False)

    @property
    def alive(self) -> bool:
        """Whether there is somebody to do the work."""
        return self._bell is not None

    def wake(self) -> bool:
        """Whether there is somebody to do the work; they look at once."""
        if self._bell is not None:
            self._bell.send_bytes(b"look")
        return self.alive

    def work(self) -> None:
        """Nothing comes out; afterwards nothing is waiting."""
        judge_waiting(draw)

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


def draw(machine: Machine, judgement: Judgement) -> None:
    """Nothing comes out; afterwards the machine's page finds its drawing made."""
    business = machine.business
    priced = newest_prices(business) is not None
    judged_piece(machine, judgement, None, UnitSystem(business.units), priced)


WORKER = Worker()


def judge_soon() -> None:
    """Nothing comes out; what is marked is judged in the background, or here and now where nobody is hired for it."""
    if not WORKER.wake():
        judge_waiting()
