"""What somebody sends, in a form or an address: read by Django's forms alone, which say limits and reasons, and cut nothing off.

Forms that a person fills in stand in their app's `forms.py`; here are the short ones: a reason, a switch, the ids a page sends
with its buttons, and the lines of a table whose names the page itself makes.
"""

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Self

from django import forms
from django.http import HttpRequest, QueryDict

from pitchline.desk.spoken import later
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, translated
from pitchline.words.catalogue import NOTHING

MOST_REASON = 2000
"""Letters in a reason or a note, as in all that follow: our own choice."""
MOST_NAME = 200
"""Letters in a name or a few words: of a machine, a place or a file, in a size and its source."""
MOST_TEXT = 10_000
"""Letters in any other field of a table."""
MOST_FIGURE = 40
"""Letters in a field that takes one figure."""
MOST_TICKED = 5000
"""Machines ticked at once."""
_SHOWN = 60
_ZERO = "\x00"
_NOT_OF_THE_TABLE = ("why", "next", "csrfmiddlewaretoken")


class Post(forms.Form):
    """A short form whose refusal is told like that of any other entry."""

    too_long = in_english("Shorten it; nothing was saved yet.")

    @classmethod
    def of(cls, request: HttpRequest) -> dict[str, Any]:
        """What was sent, by field.

        Raises
        ------
        InputError
            Every field that cannot be used, with what was typed, the limit and what to do.
        """
        return cls(request.POST).read()

    def read(self) -> dict[str, Any]:
        """What was sent, by field.

        Raises
        ------
        InputError
            Every field that cannot be used.
        """
        if not self.is_valid():
            raise InputError(self.problems)
        return self.cleaned_data

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Every field that cannot be used, for a page that shows the others all the same."""
        return tuple(self._problem(name) for name in self.errors)

    def usable(self, name: str) -> str:
        """What stands in a field that can be used; empty where it cannot."""
        return str(self.cleaned_data.get(name, "")) if name not in self.errors else ""

    def _problem(self, name: str) -> Problem:
        typed, field = str(self.data.get(name, "")), self.fields[name]
        label, most = str(field.label or name), getattr(field, "max_length", None)
        seen = (typed[:_SHOWN] + ("…" if len(typed) > _SHOWN else "")).replace(_ZERO, "\\0")
        if _ZERO in typed:  # no database keeps it and no keyboard types it
            return Problem(label, seen, "text without a zero byte", "Type it again.")
        if most is not None and len(typed) > most:
            return Problem(label, *_too_long(typed, most), self.too_long)
        if isinstance(field, forms.ChoiceField):
            allowed = ", ".join(str(said) for key, said in list(field.choices) if key != "")  # type: ignore[arg-type]
            return Problem(label, seen or NOTHING, allowed, "Choose one of them.")
        told = " ".join(map(str, self.errors[name].as_data()[0].messages))
        return Problem(label, seen or NOTHING, told, "Open the page again and send it from there.")


class Question(Post):
    """What an address asks; nothing is saved by it."""

    too_long = in_english("Shorten it.")


def _too_long(text: str, most: int) -> tuple[str, str]:
    """What is seen of it, and what is allowed."""
    return translated("{n} letters").format(n=as_figure(len(text), ",")), translated(
        "{most} letters at most"
    ).format(most=as_figure(most, ","))


def reason() -> forms.CharField:
    """Why something is done."""
    return forms.CharField(required=False, max_length=MOST_REASON, strip=False, label=later("why"))


def choice(label: str, choices: Iterable[tuple[str, str]]) -> forms.ChoiceField:
    """One of several, or none."""
    return forms.ChoiceField(choices=list(choices), required=False, label=label)


class _Switch(forms.ChoiceField):
    """1 or 0; nothing is 0, as a box that is not ticked sends nothing."""

    def clean(self, value: Any) -> bool:
        return bool(super().clean(value) == "1")


def figure(label: str) -> forms.CharField:
    """A figure as typed, which the core reads."""
    return forms.CharField(required=False, max_length=MOST_FIGURE, label=label)


def words(label: str, most: int = MOST_NAME) -> forms.CharField:
    """A few words, or none."""
    return forms.CharField(required=False, max_length=most, label=label)


def switch(label: str) -> forms.ChoiceField:
    """One way or the other."""
    return _Switch(choices=[("1", later("yes")), ("0", later("no"))], required=False, label=label)


def sent_id() -> forms.UUIDField:
    """An id the page made, so that sending twice does a thing once; None where it made none."""
    return forms.UUIDField(required=False, label=later("its id"))


def version() -> forms.IntegerField:
    """The version of a row somebody saw; its column holds no more."""
    return forms.IntegerField(min_value=0, max_value=2**31 - 1, widget=forms.HiddenInput, label=later("version"))


def check_length(text: str, field: str, most: int) -> None:
    """Refuse a text that is too long, with its count.

    Raises
    ------
    NotAllowedError
        More letters than `most`.
    """
    if len(text) > most:
        raise NotAllowedError(field, *_too_long(text, most), Post.too_long)


class Reason(Post):
    """Why."""

    why = reason()


def as_sent(request: HttpRequest) -> dict[str, str]:
    """Everything as it was typed, for a form to read, or to stand on the page again when it was refused; never to be saved."""
    return dict(_sent(request).items())  # type: ignore[arg-type]  # of several under one name the last, a text


def _sent(request: HttpRequest) -> QueryDict:
    return request.POST if request.method == "POST" else request.GET


def why_typed(request: HttpRequest) -> str:
    """The reason as it was typed, however long, to stand on the page again."""
    return request.POST.get("why", "")


class PutAway(Post):
    """Out of the way or back, and why."""

    away, why = switch(later("put away")), reason()


class Archived(Post):
    """Out of the list or back in it."""

    archived = switch(later("archived"))


class _Next(Post):
    next = forms.CharField(required=False, max_length=MOST_REASON)


def next_text(request: HttpRequest) -> str:
    """Where a form, or the address of one, wants to go on; empty where it does not say or cannot be meant."""
    form = _Next(request.POST if request.method == "POST" else request.GET)
    return str(form.cleaned_data["next"]) if form.is_valid() else ""


@dataclass(frozen=True, slots=True)
class Cell:
    """One field of a table.

    Parameters
    ----------
    name, head, label : str
        Its name in the form, its column, what a reader of the page calls it.
    called : str
        What a refusal calls it.
    text : str
        What stands in it.
    most : int
        Letters it may have.
    size : int or None
        Letters it is wide; None for as many as there is room for.
    """

    name: str
    head: str
    label: str
    called: str
    text: str
    most: int
    size: int | None = None


def too_long(cells: Iterable[Cell]) -> tuple[Problem, ...]:
    """What is to be said of each field that has more letters than it may."""
    wrong = [cell for cell in cells if len(cell.text.strip()) > cell.most]
    return tuple(Problem(cell.called, *_too_long(cell.text, cell.most), Post.too_long) for cell in wrong)


class _Lines(Post):
    """The fields of a table: as many as the page has lines, each a text."""

    def __init__(self, *args: Any, most: int, **more: Any) -> None:
        super().__init__(*args, **more)
        for name in self.data:
            longest = None if name in _NOT_OF_THE_TABLE else most  # forms of their own say how long those may be
            self.fields[name] = forms.CharField(required=False, max_length=longest, strip=False)


def lines_sent(request: HttpRequest, most: int = MOST_TEXT) -> dict[str, str]:
    """Every field of a table as typed, by its name; each `most` letters long at most, beside the reason.

    Raises
    ------
    InputError
        A field that is longer than anything a table asks for.
    """
    return lines_in(request.POST, most)


def lines_in(fields: Mapping[str, str], most: int = MOST_TEXT) -> dict[str, str]:
    """The same of fields that were sent as one text.

    Raises
    ------
    InputError
        A field that is longer than anything a table asks for.
    """
    return _Lines(fields, most=most).read()


def ids_sent(request: HttpRequest, name: str) -> list[uuid.UUID]:
    """The ids sent under a name; an empty one is none.

    Raises
    ------
    InputError
        More than can be done at once, or one that is no id.
    """
    texts, found = _sent(request).getlist(name), []
    if len(texts) > MOST_TICKED:
        many, allowed = (
            as_figure(len(texts), ","),
            translated("{most} at once").format(most=as_figure(MOST_TICKED, ",")),
        )
        raise InputError((Problem("ticked", many, allowed, "Tick fewer, and the others after that."),))
    for text in filter(None, texts):
        try:
            found.append(uuid.UUID(text))
        except ValueError:  # no button of ours sends it
            seen, step = (
                text[:_SHOWN].replace(_ZERO, "\\0"),
                translated("Open the page again and send it from there."),
            )
            raise InputError((Problem(name, seen, "an id that a page made", step),)) from None
    return found


class Version(Post):
    """The version of a row somebody saw."""

    def __init__(self: Self, *args: Any, name: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields[name] = version()
