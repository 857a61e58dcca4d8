"""What one process of a test run makes and the others take over: in the folder that `make unit` names, gone with the run."""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

RUN = os.environ.get("PITCHLINE_TEST_RUN")


@contextmanager
def alone_at(name: str) -> Iterator[Path]:
    """Where something stands that is made once a run; whoever else wants it waits until it is there."""
    path = Path(str(RUN), name)
    with path.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield path
