"""The workers of a run over a fleet: processes of this computer, or those of a Dask cluster.

See docs/howto/run-a-large-fleet.md.
"""

import multiprocessing
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any, cast

from pitchline import __version__
from pitchline.exchange.hands import HERE, Hands
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import in_english

_ANSWERS_WITHIN_S = 30.0
_TRIES = 3
"""How often a task is begun again whose worker was lost."""


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


@contextmanager
def cluster(address: str) -> Iterator[Hands]:
    """The workers of a Dask cluster, which have to see this computer's temporary folder.

    Parameters
    ----------
    address : str
        Of its scheduler.

    Yields
    ------
    Hands
        Theirs; what a lost worker had begun is begun again by another.

    Raises
    ------
    NotAllowedError
        Nothing answers there, no worker is there, or one is of another version or sees another folder.
    """
    try:
        import distributed
    except ImportError:
        seen, step = phrase("distributed is not installed"), "pip install 'pitchline[cluster]'"
        raise NotAllowedError("--scheduler", seen, in_english("Dask on every computer"), step) from None
    try:
        client: Any = cast(Any, distributed).Client(address, timeout=_ANSWERS_WITHIN_S)
        client.wait_for_workers(1, _ANSWERS_WITHIN_S)
    except (OSError, ValueError) as error:
        allowed = in_english("the address of a Dask scheduler with workers, as in tcp://10.0.0.5:8786")
        step = in_english("Start scheduler and workers first, and look whether this computer reaches them.")
        raise NotAllowedError("--scheduler", f"{address}: {error}", allowed, step) from None
    with client:
        _check_workers(client)
        yield Hands(client.get_executor(pure=False, retries=_TRIES), sum(client.nthreads().values()))


def _check_workers(client: Any) -> None:
    """One of another version would give other bits; one that sees another folder would find no table."""
    with tempfile.NamedTemporaryFile(prefix="pitchline-") as marker:
        for worker, (version, sees) in client.run(_told, marker.name).items():
            if version != __version__:
                seen = phrase("{worker} has version {version}", worker=worker, version=version)
                same = phrase("version {version} on every worker", version=__version__)
                raise NotAllowedError("--scheduler", seen, same, in_english("Install the same on all of them."))
            if not sees:
                folder = tempfile.gettempdir()
                seen = phrase("{worker} does not see the folder {folder}", worker=worker, folder=folder)
                shared = in_english("a temporary folder that all computers share")
                raise NotAllowedError(
                    "--scheduler", seen, shared, in_english("Set TMPDIR to a folder they share.")
                )


def _told(marker: str) -> tuple[str, bool]:
    return __version__, Path(marker).exists()
