"""The error tree.

PitchlineError              everything this project raises on purpose
├── NotAllowedError         one value outside what is allowed; also a ValueError; carries one Problem
└── InputError              a file or form with one or more Problems, all of them at once
"""

from dataclasses import dataclass, replace
from enum import Enum
from string import Formatter
from typing import Any

from pitchline.trade.writing import marked


class Phrase(str):
    """A text of a refusal that knows its English pattern and values, so that the room of words can put its own in its place.

    By itself it says codes where that room says labels.
    """

    __slots__ = ("english", "values")
    english: str
    values: dict[str, Any]

    def __reduce__(self) -> tuple[Any, ...]:
        return _phrase, (self.english, self.values)


def phrase(english: str, /, **values: Any) -> Phrase:
    """A text of a refusal with its values.

    Parameters
    ----------
    english : str
        With values in braces; behind a colon a form as Python writes it, or what kind of code it is.
    **values
        What stands in the braces.

    Examples
    --------
    >>> phrase("a size above {least} mm", least=12), phrase("{place:place}, new", place="bush/left")
    ('a size above 12 mm', 'bush left, new')
    """
    return _phrase(english, values)


class _Codes(Formatter):
    def format_field(self, value: Any, format_spec: str) -> str:
        is_kind = len(format_spec) > 1 and format_spec.isidentifier()
        return _in_plain(value) if is_kind else format(value, format_spec)


def _in_plain(value: Any) -> str:
    if isinstance(value, tuple | list):
        return ", ".join(map(_in_plain, value))
    code = value.name.lower() if isinstance(value, Enum) else str(value)
    return code.replace("_", " ").replace("/", " ")


_CODES = _Codes()


def _phrase(english: str, values: dict[str, Any]) -> Phrase:
    made = Phrase(_CODES.vformat(english, (), values))
    made.english, made.values = english, values
    return made


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with what was entered, in words a person can act on.

    Parameters
    ----------
    field : str
        Name of the field, as the person sees it.
    seen : str
        The value as it was typed.
    allowed : str
        What would have been accepted.
    next_step : str
        What to do now.
    file : str
        File name, empty where there is none.
    row : int or None
        Row in the file, counted from 1 as a spreadsheet counts.
    """

    field: str
    seen: str
    allowed: str
    next_step: str
    file: str = ""
    row: int | None = None

    def at(self, file: str, row: int | None = None) -> "Problem":
        """The same problem, told where it stands.

        Parameters
        ----------
        file : str
            File name.
        row : int or None
            Row in the file, from 1.

        Returns
        -------
        Problem
            A copy with the place filled in where it was still open.
        """
        return replace(self, file=self.file or file, row=self.row if self.row is not None else row)

    def __str__(self) -> str:
        place = ", ".join(part for part in (self.file, f"row {self.row}" if self.row is not None else "") if part)
        head = f"{place}: " if place else ""
        return f"{head}{self.field}: {self.seen!r} is not allowed; allowed: {self.allowed}. {self.next_step}"


class PitchlineError(Exception):
    """Everything this project raises on purpose."""


class NotAllowedError(PitchlineError, ValueError):
    """One value outside what is allowed."""

    def __init__(self, field: str, seen: object, allowed: str, next_step: str = "Correct the value.") -> None:
        shown = seen if isinstance(seen, Phrase) else marked(str(seen)) if isinstance(seen, float) else str(seen)
        self.problem = Problem(field, shown, allowed, next_step)
        super().__init__(str(self.problem))


class InputError(PitchlineError):
    """A file or form that cannot be used, with every problem found in it."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.problems,)
