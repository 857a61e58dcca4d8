"""Every problem of one file, gathered while reading goes on, and raised together."""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from pitchline.trade.errors import InputError, NotAllowedError, Phrase, Problem, phrase
from pitchline.trade.writing import as_figure
from pitchline.words.catalogue import in_english

T = TypeVar("T")
LONGEST_SHOWN = 100
MOST_PROBLEMS = 1_000


def _shown(text: str) -> str:
    """The text cut to a length that can be read, and without halves of characters, which no screen can print."""
    if isinstance(text, Phrase):
        return text
    short = text if len(text) <= LONGEST_SHOWN else text[:LONGEST_SHOWN] + "…"
    return short.encode("utf-8", "backslashreplace").decode("utf-8")


class Gathering:
    """The problems found so far in one file.

    Parameters
    ----------
    file : str
        File name without its folder; empty for text that came from elsewhere.
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def add(self, field: str, seen: object, allowed: str, next_step: str, row: int | None = None) -> None:
        """Note one problem.

        Parameters
        ----------
        field, allowed, next_step : str
            As in Problem.
        seen : object
            The value as it was typed; long values are cut for showing.
        row : int or None
            Row in the file, from 1.
        """
        self.take(Problem(field, seen if isinstance(seen, Phrase) else str(seen), allowed, next_step), row)

    def take(self, problem: Problem, row: int | None = None) -> None:
        """Note a problem raised elsewhere, and say where it stands.

        Parameters
        ----------
        problem : Problem
            What was raised.
        row : int or None
            Row in the file, from 1.

        Raises
        ------
        InputError
            With this one there are a thousand problems; no use reading on.
        """
        shown = replace(problem, field=_shown(problem.field), seen=_shown(problem.seen) or "nothing")
        self.problems.append(shown.at(self.file, row))
        if len(self.problems) >= MOST_PROBLEMS:
            step = in_english("Mend these first; reading stopped here.")
            last = Problem(
                "file",
                phrase("{most_problems} problems", most_problems=as_figure(MOST_PROBLEMS, ",")),
                "fewer",
                step,
                self.file,
            )
            raise InputError((*self.problems, last))

    def attempt(self, build: Callable[[], T], row: int | None = None) -> T | None:
        """What a step gives, or None with its problem noted.

        Parameters
        ----------
        build : callable
            The step, raising NotAllowedError when a value is not allowed.
        row : int or None
            Row in the file, from 1.
        """
        try:
            return build()
        except NotAllowedError as error:
            self.take(error.problem, row)
            return None

    def raise_if_any(self) -> None:
        """Nothing when all is well.

        Raises
        ------
        InputError
            With every problem noted so far, in order of row.
        """
        if self.problems:
            raise InputError(tuple(sorted(self.problems, key=lambda problem: problem.row or 0)))


def refuse(
    file: str, field: str, seen: object, allowed: str, next_step: str, row: int | None = None
) -> InputError:
    """An error with one problem, for a file that cannot be read at all.

    Parameters
    ----------
    file, field, allowed, next_step : str
        As in Problem.
    seen : object
        What was found.
    row : int or None
        Row in the file, from 1.
    """
    gathering = Gathering(file)
    gathering.add(field, seen, allowed, next_step, row)
    return InputError(tuple(gathering.problems))
