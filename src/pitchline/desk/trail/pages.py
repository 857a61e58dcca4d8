"""The trail for reading: by day, with long texts told by the lines that differ."""

import datetime as dt
import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.utils import timezone

from pitchline.desk.people.who import prices_seen
from pitchline.desk.trail.models import TEXTS, Change
from pitchline.trade.writing import as_day, as_figure
from pitchline.words import translated, worded

SHORT = 160
MOST_LINES = 60
_OF_MONEY = re.compile(r"price|cost|currency|labour|\b[A-Z]{3}[ \u00a0]?\d", re.IGNORECASE)
"""What a change may not say from and to of, for whoever sees no prices."""
_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


@dataclass(frozen=True, slots=True)
class ToldChange:
    """One change for reading.

    Parameters
    ----------
    change : Change
        Its row.
    at : datetime
        When, in the desk's own time.
    what, why : str
        What was changed, and the reason.
    before, after : str
        From and to, where they are short.
    lines : tuple of (str, str)
        Of long texts, the lines that differ: "from" or "to", and the line.
    more : int
        Lines that differ and are not shown.
    """

    change: Change
    at: dt.datetime
    what: str
    why: str
    before: str = ""
    after: str = ""
    lines: tuple[tuple[str, str], ...] = ()
    more: int = 0

    @property
    def who(self) -> str:
        """Who did it."""
        return self.change.who


def told_by_day(changes: Sequence[Change]) -> list[tuple[dt.date, list[ToldChange]]]:
    """Changes under their days, in the order they come."""
    return [(day, list(group)) for day, group in groupby(told_changes(changes), key=lambda one: one.at.date())]


def told_changes(changes: Iterable[Change]) -> list[ToldChange]:
    """Changes in the order they come."""
    return [_told(change) for change in changes]


def _told(change: Change) -> ToldChange:
    at = timezone.localtime(change.at)
    what, before, after, why = (_said(change, name) for name in TEXTS)
    if not prices_seen() and _OF_MONEY.search("\n".join((what, before, after, why))):
        before = after = why = ""
    if max(len(before), len(after)) <= SHORT and "\n" not in before + after:
        return ToldChange(change, at, what, why, before, after)
    if not before or not after:
        lines = [("from" if before else "to", line) for line in (before or after).splitlines()]
    else:
        lines = _differing(before, after)
    return ToldChange(change, at, what, why, lines=tuple(lines[:MOST_LINES]), more=max(len(lines) - MOST_LINES, 0))


def _said(change: Change, name: str) -> str:
    """One text of a change in the language and the way in force; without its phrase as it stands, a bare day as a day."""
    known, text = change.said.get(name), str(getattr(change, name))
    if known is not None:
        return _worded(known)
    if name == "what":  # kept as a key before 0.7.0
        return translated(text.replace("_", " "))
    try:
        return as_day(dt.date.fromisoformat(text)) if _DAY.fullmatch(text) else text
    except ValueError:  # no day of the calendar, so typed by somebody
        return text


def _worded(kept: dict[str, Any]) -> str:
    values = {name: _worded(each) if isinstance(each, dict) else each for name, each in kept["values"].items()}
    return worded(kept["english"], **values)


def _differing(before: str, after: str) -> list[tuple[str, str]]:
    """Lines taken away and lines put in their place; what stays is left out."""
    marks = {"- ": "from", "+ ": "to"}
    found = difflib.ndiff(before.splitlines(), after.splitlines()) if len(before) + len(after) < 60_000 else ()
    lines = [(marks[line[:2]], line[2:]) for line in found if line[:2] in marks]
    return lines or [
        ("from", translated("{n} characters").format(n=as_figure(len(before), ","))),
        ("to", translated("{n} characters").format(n=as_figure(len(after), ","))),
    ]
