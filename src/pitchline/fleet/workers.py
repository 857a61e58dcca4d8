"""The workers of a run over a fleet: processes of this computer.

See docs/howto/run-a-large-fleet.md.
"""

import multiprocessing
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager

from pitchline.exchange.hands import HERE, Hands


@contextmanager
def processes(cores: int) -> Iterator[Hands]:
    """So many processes, begun as they are needed; for one core, this one.

    Yields
    ------
    Hands
        Theirs.
    """
    if cores == 1:
        yield HERE
        return
    # Where a process can safely divide, one that has loaded everything starts them: each by itself would take a second of a core.
    context = multiprocessing.get_context("forkserver" if sys.platform == "linux" else "spawn")
    context.set_forkserver_preload(["pitchline.fleet.preloaded"])  # told and never used by the other way
    with ProcessPoolExecutor(cores, mp_context=context) as pool:
        yield Hands(pool, cores)
