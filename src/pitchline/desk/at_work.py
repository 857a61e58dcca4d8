"""What processes tell each other: that there is work, and to the crew's head which piece one is at, and for how long it may be.

So one that hangs is noticed: the head, which itself touches no machine and no database, ends it and puts up another.
"""

import json
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection


@dataclass(frozen=True, slots=True)
class Bell:
    """Between whoever wants something done and the one process that hears it.

    Parameters
    ----------
    ear, rope : Connection
        Its reading and its writing end.
    """

    ear: Connection
    rope: Connection

    def ring(self) -> None:
        """Nothing comes out; never waits, as one ring not heard yet says all there is to say."""
        if not self.ear.poll():
            self.rope.send_bytes(b"look")

    def listen(self, wait_s: float) -> None:
        """Nothing comes out; whoever rang before is heard."""
        self.ear.poll(wait_s)
        while self.ear.poll():
            self.ear.recv_bytes()


@dataclass(frozen=True, slots=True)
class Left:
    """A piece of work nobody is to take up again as it is.

    Parameters
    ----------
    kind : str
        The worker's name.
    what : str
        What the worker calls the piece.
    hung : bool
        Whether it took longer than it may; else the process at it ended, several times running.
    """

    kind: str
    what: str
    hung: bool


@dataclass(frozen=True, slots=True)
class Line:
    """A process's line to the head.

    Parameters
    ----------
    line : Connection
        Its writing end.
    left : tuple of Left
        What the process before this one left behind.
    """

    line: Connection
    left: tuple[Left, ...] = ()

    def tell(self, kind: str, what: str, limit_s: float) -> None:
        """From now on a piece may take this long [s]; none is at work where `what` is empty. Told again, it begins again."""
        with suppress(OSError):  # without a head this process ends too
            self.line.send_bytes(json.dumps([kind, what, limit_s]).encode())  # short: whole or not at all


def heard(line: Connection) -> tuple[str, str, float]:
    """The next thing told.

    Raises
    ------
    EOFError
        Nobody is there any more.
    """
    kind, what, limit_s = json.loads(line.recv_bytes())
    return kind, what, limit_s
