"""Who works on a run over a fleet: this process, several beside it, or a cluster's workers.

See docs/howto/run-a-large-fleet.md.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

from threadpoolctl import ThreadpoolController

T = TypeVar("T")
_IN_FLIGHT = 2
"""Tasks begun and not yet taken, for each worker: bounds what is held in memory."""


@dataclass(frozen=True, slots=True)
class Hands:
    """Workers that are handed one task after the other.

    Parameters
    ----------
    executor : Executor or None
        Takes the tasks; None does each at once, here.
    count : int
        How many work at the same time.
    """

    executor: Executor | None = None
    count: int = 1

    def each(self, work: Callable[..., T], tasks: Iterable[tuple[Any, ...]]) -> Iterator[T]:
        """What comes of each task, in their order.

        Parameters
        ----------
        work : callable
            A function of a module, so that a worker elsewhere finds it by its name.
        tasks : iterable of tuple
            What it is called with; a few are begun ahead of the one waited for.
        """
        if self.executor is None:
            yield from (work(*task) for task in tasks)  # one thread or not is the caller's to say
            return
        begun: deque[Future[T]] = deque()
        for task in tasks:
            if len(begun) >= self.count * _IN_FLIGHT:
                yield begun.popleft().result()
            begun.append(self.executor.submit(one_thread, work, *task))
        while begun:
            yield begun.popleft().result()


HERE = Hands()
"""This process alone."""


def one_thread(work: Callable[..., T], *task: Any) -> T:
    """A task done without further threads: processes do not crowd each other, and sums come out the same everywhere."""
    with _threads_of(work).limit(limits=1):
        return work(*task)


@lru_cache
def _threads_of(work: Callable[..., Any]) -> ThreadpoolController:
    """The libraries with threads that are loaded; for each work anew, since its modules bring theirs."""
    return ThreadpoolController()
