"""What somebody sends: read by Django's forms alone, which say limits and reasons, and cut nothing off.

Forms that a person fills in stand in their app's `forms.py`; here are the short ones: a reason, a switch, the ids a page sends
with its buttons, and the lines of a table whose names the page itself makes.
"""

import uuid
from typing import Any, Self

from django import forms
from django.http import HttpRequest

from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.writing import as_figure

MOST_REASON = 2000
MOST_TEXT = 10_000
"""Letters in a reason, and in any other field of a table: our own choice."""
MOST_FIGURE = 40
"""Letters in a field that takes one figure."""
MOST_TICKED = 5000
"""Machines ticked at once."""
_SHOWN = 60
_NOT_OF_THE_TABLE = ("why", "next", "csrfmiddlewaretoken")


class Post(forms.Form):
    """A short form whose refusal is told like that of any other entry."""

    @classmethod
    def of(cls, request: HttpRequest) -> dict[str, Any]:
        """What was sent, by field.

        Raises
        ------
        InputError
            Every field that cannot be used, with what was typed, the limit and what to do.
        """
        return cls(request.POST)._read()

    def _read(self) -> dict[str, Any]:
        if not self.is_valid():
            raise InputError(tuple(self._problem(name) for name in self.errors))
        return self.cleaned_data

    def _problem(self, name: str) -> Problem:
        typed, field = str(self.data.get(name, "")), self.fields[name]
        label, most = str(field.label or name).lower(), getattr(field, "max_length", None)
        if most is not None and len(typed) > most:
            many = f"{as_figure(len(typed), ',')} letters"
            return Problem(
                label, many, f"{as_figure(most, ',')} letters at most", "Shorten it; nothing was saved yet."
            )
        return Problem(
            label,
            typed[:_SHOWN],
            " ".join(map(str, self.errors[name].as_data()[0].messages)),
            "Open the page again and send it from there.",
        )


def reason() -> forms.CharField:
    """Why something is done."""
    return forms.CharField(required=False, max_length=MOST_REASON, strip=False, label="why")


class _Switch(forms.ChoiceField):
    """1 or 0; nothing is 0, as a box that is not ticked sends nothing."""

    def clean(self, value: Any) -> bool:
        return bool(super().clean(value) == "1")


def switch() -> forms.ChoiceField:
    """One way or the other."""
    return _Switch(choices=[("1", "yes"), ("0", "no")], required=False)


def sent_id() -> forms.UUIDField:
    """An id the page made, so that sending twice does a thing once; None where it made none."""
    return forms.UUIDField(required=False)


def check_length(text: str, field: str, most: int) -> None:
    """Refuse a text that is too long, with its count.

    Raises
    ------
    NotAllowedError
        More letters than `most`.
    """
    if len(text) > most:
        many, allowed = f"{as_figure(len(text), ',')} letters", f"{as_figure(most, ',')} letters at most"
        raise NotAllowedError(field, many, allowed, "Shorten it; nothing was saved yet.")


class Reason(Post):
    """Why."""

    why = reason()


def as_sent(request: HttpRequest) -> dict[str, str]:
    """Everything as it was typed, to stand on the page again when it was refused; never to be saved."""
    return request.POST.dict()


def why_typed(request: HttpRequest) -> str:
    """The reason as it was typed, however long, to stand on the page again."""
    return as_sent(request).get("why", "")


class PutAway(Post):
    """Out of the way or back, and why."""

    away, why = switch(), reason()


class Archived(Post):
    """Out of the list or back in it."""

    archived = switch()


class _Next(Post):
    next = forms.CharField(required=False, max_length=MOST_REASON)


def next_text(request: HttpRequest) -> str:
    """Where a form wants to go on; empty where it does not say or cannot be meant."""
    form = _Next(request.POST)
    return str(form.cleaned_data["next"]) if form.is_valid() else ""


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
    return _Lines(request.POST, most=most)._read()


def ids_sent(request: HttpRequest, name: str) -> list[uuid.UUID]:
    """The ids ticked under a name, those that are none left out.

    Raises
    ------
    InputError
        More than can be done at once.
    """
    texts, found = request.POST.getlist(name), []
    if len(texts) > MOST_TICKED:
        many, allowed = as_figure(len(texts), ","), f"{as_figure(MOST_TICKED, ',')} at once"
        raise InputError((Problem("ticked", many, allowed, "Tick fewer, and the others after that."),))
    for text in texts:
        try:
            found.append(uuid.UUID(text))
        except ValueError:  # no button of ours sends it
            continue
    return found


class Version(Post):
    """The version of a row somebody saw."""

    def __init__(self: Self, *args: Any, name: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields[name] = forms.IntegerField(min_value=0, max_value=2**31 - 1)
