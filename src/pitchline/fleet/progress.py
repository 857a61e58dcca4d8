"""How far a long run has come, shown on a terminal and nowhere else."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TypeAlias

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from pitchline.words import translated

Report: TypeAlias = Callable[[str, int, int], None]
"""Told what is being done, in English, how much of it is done, and out of how much."""


def silent(doing: str, done: int, of: int) -> None:
    """Nothing comes out."""


@contextmanager
def bar() -> Iterator[Report]:
    """A progress bar on standard error if that is a terminal; otherwise nothing is shown.

    Yields
    ------
    callable
        To be told how far the run has come.
    """
    console = Console(stderr=True)
    if not console.is_terminal:
        yield silent
        return
    look = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*look, console=console, transient=True) as shown:
        task = shown.add_task("", total=None)

        def report(doing: str, done: int, of: int) -> None:
            shown.update(task, description=translated(doing), completed=done, total=of)

        yield report
