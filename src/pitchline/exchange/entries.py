"""Entries of a JSON text checked one by one, so that every problem is found in one go."""

import re
import types
from collections.abc import Callable
from functools import partial
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from pitchline.exchange.gathering import Gathering
from pitchline.exchange.json_lines import Path, line_at, lines_of
from pitchline.exchange.words import hint
from pitchline.trade.errors import NotAllowedError, Problem, phrase
from pitchline.words.catalogue import in_english

M = TypeVar("M", bound=BaseModel)
T = TypeVar("T")


def path_words(path: Path) -> str:
    """Where an entry stands, in words.

    Examples
    --------
    >>> path_words(("limits", 2, "new"))
    'limits, entry 3, new'
    """
    return ", ".join(f"entry {step + 1}" if isinstance(step, int) else step for step in path) or "file"


def path_of(words: str) -> Path:
    """Where the entry stands that a problem's field tells of.

    Examples
    --------
    >>> path_of("limits, entry 3, new"), path_of("hours, per_week: hours a week")
    (('limits', 2, 'new'), ('hours', 'per_week'))
    """
    steps = words.partition(":")[0].split(", ")
    numbers = (step.removeprefix("entry ") if step.startswith("entry ") else "" for step in steps)
    return tuple(
        int(number) - 1 if number.isdecimal() else step for number, step in zip(numbers, steps, strict=True)
    )


MODELS_SAY = (
    in_english("a valid string"),
    in_english("a valid number"),
    in_english("a valid integer"),
    in_english("a valid boolean"),
    in_english("a valid list"),
    in_english("a valid dictionary"),
    in_english("a valid date in the format YYYY-MM-DD"),
    in_english("a finite number"),
    in_english("greater than {limit}"),
    in_english("greater than or equal to {limit}"),
    in_english("less than {limit}"),
    in_english("less than or equal to {limit}"),
    in_english("String should have at least {limit} characters"),
    in_english("String should have at most {limit} characters"),
)
"""What the library that checks models says of a value, of which it knows no other language."""
_LIMIT = re.compile(r"-?\d[\d.]*")


def _allowed(error: Any) -> str:
    """What a model would have taken."""
    said: str = error["msg"].replace("Input should be ", "").split(" or instance of ")[0]
    most, either, last = said.rpartition(" or ")
    if either and error["type"] in ("literal_error", "enum"):
        return phrase("{most} or {last}", most=most, last=last)
    found = _LIMIT.search(said)
    if found is None or "{" in said or error["type"] in ("literal_error", "enum"):
        return said
    return phrase(f"{said[: found.start()]}{{limit}}{said[found.end() :]}", limit=found[0])


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """The model a field holds, also inside a list or an option."""
    if isinstance(annotation, type) and not isinstance(annotation, types.GenericAlias):
        return annotation if issubclass(annotation, BaseModel) else None
    return next((found for each in get_args(annotation) if (found := _model_in(each))), None)


def _known_keys(model: type[BaseModel], path: Path) -> list[str]:
    """The keys allowed at a place inside a model."""
    for step in path:
        if isinstance(step, str) and step in model.model_fields:
            model = _model_in(model.model_fields[step].annotation) or model
    return [field.alias or name for name, field in model.model_fields.items()]


class Entries:
    """A JSON object being read, with its problems placed at their lines."""

    def __init__(self, raw: dict[str, Any], text: str, gathering: Gathering) -> None:
        self.raw = raw
        self.gathering = gathering
        self._text = text
        self._lines: dict[Path, int] | None = None

    def line(self, path: Path) -> int | None:
        """The line of an entry; the text is only searched once there is a problem."""
        if self._lines is None:
            self._lines = lines_of(self._text)
        return line_at(self._lines, path)

    def add(self, path: Path, seen: object, allowed: str, next_step: str) -> None:
        """Note a problem at an entry."""
        self.gathering.add(path_words(path), seen, allowed, next_step, self.line(path))

    def attempt(self, path: Path, build: Callable[[], T]) -> T | None:
        """What a step gives, or None with its problem noted at the entry."""
        try:
            return build()
        except NotAllowedError as error:
            self._take(path, error.problem)
            return None

    def _take(self, path: Path, problem: Problem) -> None:
        where = path_words(path)
        field = (
            where
            if where.endswith(problem.field)
            else phrase("{where}: {field}", where=where, field=problem.field)
        )
        self.gathering.add(field, problem.seen, problem.allowed, problem.next_step, self.line(path))

    def _note(self, error: Any, model: type[BaseModel], path: Path) -> None:
        """One problem pydantic found, in our words."""
        at = (*path, *error["loc"])
        cause = error.get("ctx", {}).get("error")
        if isinstance(cause, NotAllowedError):
            self.add(at, cause.problem.seen, cause.problem.allowed, cause.problem.next_step)
        elif error["type"] == "extra_forbidden":
            known = _known_keys(model, error["loc"][:-1])
            key = str(error["loc"][-1])
            self.add(
                at,
                key,
                phrase("the keys {known}", known=", ".join(known)),
                hint(key, known, in_english("Delete it.")),
            )
        elif error["type"] == "missing":
            self.add(at, phrase("nothing"), "an entry here", "Add it.")
        else:
            seen = repr(error["input"]) if error["input"] != "" else phrase("nothing")
            self.add(at, seen, _allowed(error), "Correct the value.")

    def checked(self, raw: object, model: type[M], path: Path) -> M | None:
        """One entry as its model, or None with its problems noted."""
        try:
            return model.model_validate(raw)
        except ValidationError as error:
            for each in error.errors(include_url=False):
                self._note(each, model, path)
            return None

    def section(self, key: str, model: type[M]) -> M | None:
        """A section of the object; one left out takes its defaults, or is missing where it has none."""
        if key in self.raw:
            return self.checked(self.raw[key], model, (key,))
        if any(field.is_required() for field in model.model_fields.values()):
            self.add((key,), phrase("nothing"), "an entry here", "Add it.")
            return None
        return model.model_validate({})

    def each(self, holder: dict[str, Any], key: str, model: type[M], path: Path = ()) -> list[tuple[Path, M]]:
        """The entries of a list that pass, each with its path; the others are noted."""
        raw = holder.get(key, [])
        if not isinstance(raw, list):
            self.add((*path, key), repr(raw), "a list", "Put it in square brackets.")
            return []
        found = [
            ((*path, key, number), self.checked(entry, model, (*path, key, number)))
            for number, entry in enumerate(raw)
        ]
        return [(where, entry) for where, entry in found if entry is not None]

    def built(self, entries: list[tuple[Path, M]], build: Callable[[M], T]) -> list[tuple[Path, T]]:
        """What each entry gives, with its path; those whose step refused are noted and left out."""
        found = [(path, self.attempt(path, partial(build, entry))) for path, entry in entries]
        return [(path, thing) for path, thing in found if thing is not None]
