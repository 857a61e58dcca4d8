"""Several machines judged at once: a table on the screen, each one's papers in a folder."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from pitchline.exchange.machine_model import FORMAT
from pitchline.exchange.text_in import read_text
from pitchline.judge.called import next_hours
from pitchline.papers import words
from pitchline.papers.screen import MARKS
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.units import show_hours
from pitchline.verdict import Verdict
from pitchline.words import say, translated
from pitchline.words.called import machine_called
from pitchline.words.catalogue import in_english


def machine_files(given: Sequence[Path]) -> list[Path]:
    """The machine files named, those in the folders named and in their folders in order of name.

    Raises
    ------
    InputError
        A folder without any.
    """
    found: list[Path] = []
    for path in given:
        if not path.is_dir():
            found.append(path)
            continue
        within = [one for one in sorted(path.rglob("*.json")) if _is_machine(one)]
        if not within:
            allowed, step = (
                in_english("a folder with machine files in it"),
                in_english("Name another folder, or the files."),
            )
            raise InputError((Problem("folder", str(path), allowed, step),))
        found += within
    return found


def _is_machine(path: Path) -> bool:
    """Whether a file says it is a machine file: verdicts and other JSON may stand beside it."""
    try:
        return re.search(rf'"format"\s*:\s*"{re.escape(FORMAT)}"', read_text(path)) is not None
    except InputError:
        return True  # refused by name where it is read


def gathered(told: Iterable[tuple[Path, Exception]]) -> InputError:
    """Every problem of several files at once, each with its file's whole path: many may have one last name."""
    problems: list[Problem] = []
    for path, error in told:
        if isinstance(error, NotAllowedError):
            problems.append(error.problem.at(str(path)))
        elif isinstance(error, InputError):
            problems += [replace(one, file=str(path)) if one.file == path.name else one for one in error.problems]
    return InputError(tuple(problems))


def check_names(verdicts: Sequence[Verdict]) -> None:
    """Nothing comes out where no two machines would write one paper.

    Raises
    ------
    NotAllowedError
        Two have one short name.
    """
    for name, many in Counter(one.machine.machine_id for one in verdicts).items():
        if many > 1:
            allowed = in_english("a short name of its own for each machine, which names its papers")
            raise NotAllowedError("short_name", name, allowed, "Change one, or judge them apart.")


def show_table(verdicts: Sequence[Verdict]) -> None:
    """A line for each machine, the gravest first."""
    priced = any(one.money_window is not None for one in verdicts)
    table = Table(box=None, pad_edge=False, header_style="bold")
    for name in (translated("Call"), translated("Machine"), translated("What is due")):
        table.add_column(name)
    for name in [translated("Hours left"), *([translated("Cost of the work due")] if priced else [])]:
        table.add_column(name, justify="right")
    for one in sorted(verdicts, key=_gravest_first):
        hours = next_hours(one)
        row = [
            f"{MARKS[one.call]} {machine_called(one)}",
            one.machine.name,
            say(one.headline),
            show_hours(hours[1]) if hours is not None else "–",
        ]
        if priced:
            row.append(
                words.amount(one.money_window.usual, one.money_window.currency)
                if one.money_window is not None
                else "–"
            )
        table.add_row(*map(Text, row))
    Console(highlight=False).print(table)


def _gravest_first(verdict: Verdict) -> tuple[float, float, str]:
    hours = next_hours(verdict)
    return -verdict.call.rank, hours[1] if hours is not None else float("inf"), verdict.machine.name
