"""The trail for reading: by day, with long texts told by the lines that differ."""

import datetime as dt
import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from django.utils import timezone

from pitchline.desk.trail.models import Change
from pitchline.trade.writing import as_figure
from pitchline.words import translated

SHORT = 160
MOST_LINES = 60


@dataclass(frozen=True, slots=True)
class ToldChange:
    """One change for reading.

    Parameters
    ----------
    change : Change
        Its row.
    at : datetime
        When, in the desk's own time.
    before, after : str
        From and to, where they are short.
    lines : tuple of (str, str)
        Of long texts, the lines that differ: "from" or "to", and the line.
    more : int
        Lines that differ and are not shown.
    """

    change: Change
    at: dt.datetime
    before: str = ""
    after: str = ""
    lines: tuple[tuple[str, str], ...] = ()
    more: int = 0


def told_by_day(changes: Sequence[Change]) -> list[tuple[dt.date, list[ToldChange]]]:
    """Changes under their days, in the order they come."""
    told = [_told(change) for change in changes]
    return [(day, list(group)) for day, group in groupby(told, key=lambda one: one.at.date())]


def _told(change: Change) -> ToldChange:
    at = timezone.localtime(change.at)
    if max(len(change.before), len(change.after)) <= SHORT and "\n" not in change.before + change.after:
        return ToldChange(change, at, change.before, change.after)
    if not change.before or not change.after:
        text = change.before or change.after
        lines = [("from" if change.before else "to", line) for line in text.splitlines()]
    else:
        lines = _differing(change.before, change.after)
    return ToldChange(change, at, lines=tuple(lines[:MOST_LINES]), more=max(len(lines) - MOST_LINES, 0))


def _differing(before: str, after: str) -> list[tuple[str, str]]:
    """Lines taken away and lines put in their place; what stays is left out."""
    marks = {"- ": "from", "+ ": "to"}
    found = difflib.ndiff(before.splitlines(), after.splitlines()) if len(before) + len(after) < 60_000 else ()
    lines = [(marks[line[:2]], line[2:]) for line in found if line[:2] in marks]
    return lines or [
        ("from", translated("{n} characters").format(n=as_figure(len(before), ","))),
        ("to", translated("{n} characters").format(n=as_figure(len(after), ","))),
    ]
