"""How numbers and days are written on every page: in one place, on the finished page, so that no page can forget it.

Pages are put together in one way of writing, "1,234.5" and "12 Nov 2026", which is also that of the papers. A business that
writes otherwise gets the same page with its texts rewritten. What somebody typed stays as typed: form fields are left alone,
and so is whatever stands in an element marked `data-as-typed`.
"""

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from pitchline.papers import words

THIN = "\u202f"


@dataclass(frozen=True, slots=True)
class Numbers:
    """A way of writing numbers.

    Parameters
    ----------
    example : str
        What it looks like.
    group, decimal : str
        The marks.
    """

    example: str
    group: str
    decimal: str


@dataclass(frozen=True, slots=True)
class Days:
    """A way of writing days.

    Parameters
    ----------
    example : str
        What it looks like.
    pattern : str
        With d, m, mon and y in braces.

    References
    ----------
    "iso" after ISO 8601 (from memory).
    """

    example: str
    pattern: str


NUMBERS = {
    "point": Numbers("1,234.5", ",", "."),
    "comma": Numbers("1.234,5", ".", ","),
    "space": Numbers("1 234,5", THIN, ","),
}
DAYS = {
    "day-month": Days("12 Nov 2026", "{d}\u00a0{mon}\u00a0{y}"),
    "month-day": Days("Nov 12, 2026", "{mon}\u00a0{d}, {y}"),
    "iso": Days("2026-11-12", "{y}-{m:02}-{d:02}"),
}
_MONTHS = {words.day(dt.date(2026, month, 1)).split(words.GAP)[1]: month for month in range(1, 13)}
_NUMBER = re.compile(r"(?<![\w.,/])(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.\d+)(?![,.]?\w)")
_DAY = re.compile(rf"\b(\d{{1,2}})[ \u00a0]({'|'.join(_MONTHS)})[ \u00a0](\d{{4}})\b")
_TAG = re.compile(r"(<[^>]*>)")
_NAME = re.compile(r"</?([a-zA-Z][\w-]*)")
_LABEL = re.compile(r'(aria-label=")([^"]*)(")')
_LEFT_ALONE = frozenset(("script", "style", "textarea", "code", "pre"))
_EMPTY = frozenset(("input", "br", "img", "meta", "link", "hr"))


def written(text: str, numbers: str, days: str) -> str:
    """The text with its numbers and days written another way.

    Parameters
    ----------
    text : str
        As the papers write.
    numbers, days : str
        Keys of `NUMBERS` and `DAYS`.

    Returns
    -------
    str
        Versions such as 0.7.1, and what stands inside words, stay as they are.

    Examples
    --------
    >>> written("EUR 12,350.50 on 3 Nov 2026 (0.7.1)", "comma", "iso")
    'EUR 12.350,50 on 2026-11-03 (0.7.1)'
    """
    day = DAYS[days].pattern
    if days != "day-month":
        text = _DAY.sub(lambda at: day.format(d=int(at[1]), mon=at[2], m=_MONTHS[at[2]], y=at[3]), text)
    if numbers != "point":
        marks = str.maketrans({",": NUMBERS[numbers].group, ".": NUMBERS[numbers].decimal})
        text = _NUMBER.sub(lambda at: at[0].translate(marks), text)
    return text


def written_page(page: str, numbers: str, days: str) -> str:
    """A page of HTML with the numbers and days of its texts and labels written another way.

    Parameters
    ----------
    page : str
        The page.
    numbers, days : str
        Keys of `NUMBERS` and `DAYS`.

    Returns
    -------
    str
        Form fields and what is marked `data-as-typed` are left alone.
    """
    told, inside, depth = [], "", 0
    for piece in _TAG.split(page):
        if not piece.startswith("<"):
            told.append(piece if inside else written(piece, numbers, days))
            continue
        found = _NAME.match(piece)
        name = found[1].lower() if found else ""
        if inside and name == inside:
            depth += -1 if piece.startswith("</") else 1
            inside = inside if depth else ""
        elif not inside and not piece.startswith("</") and name not in _EMPTY and _is_left_alone(name, piece):
            inside, depth = name, 1
        told.append(
            piece if inside else _LABEL.sub(lambda at: at[1] + written(at[2], numbers, days) + at[3], piece)
        )
    return "".join(told)


def _is_left_alone(name: str, tag: str) -> bool:
    return name in _LEFT_ALONE or "data-as-typed" in tag


class WrittenMiddleware:
    """Rewrites the pages of a business that writes numbers or days in its own way."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer as the business writes."""
        response = self.get_response(request)
        actor = getattr(request, "actor", None)
        html = not response.streaming and response.headers.get("Content-Type", "").startswith("text/html")
        if actor is None or not html:
            return response
        numbers, days = actor.business.numbers, actor.business.days
        if numbers != "point" or days != "day-month":
            response.content = written_page(response.content.decode(), numbers, days).encode()
            if response.has_header("Content-Length"):
                response.headers["Content-Length"] = str(len(response.content))
        return response
