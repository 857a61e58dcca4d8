"""How figures and days are written: one formatter for pages, papers, answers and reasons, in the way that is in force.

Whoever makes a text for somebody sets that somebody's way around it, `with writing(way):`, as `decimal.localcontext` sets a
precision; where nobody sets one it is "1,234.5" and "12 Nov 2026". The way is never read from the environment. What somebody
typed, files, and figures another program reads do not come here.

The marks and patterns of other ways are those of a locale (Babel's, from the CLDR). The digits are always Python's: Babel rounds
the decimal text of a figure and Python its binary value, and 2.675 may not be 2.67 to one business and 2.68 to the next.
"""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache

LOCALES = {"point": "en", "comma": "de", "space": "fr"}
"""Ways of numbers, each by a locale that has its marks."""
PATTERNS = {"day-month": "d MMM y", "month-day": "MMM d, y", "iso": "y-MM-dd"}
"""Ways of days, as patterns of the CLDR; months are English as all our words are."""
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


class UnitSystem(StrEnum):
    """How lengths and masses are shown."""

    METRIC = "metric"
    IMPERIAL = "imperial"


ENGLISH = "en"


@dataclass(frozen=True, slots=True)
class Writing:
    """A way of writing: marks of figures, pattern of days, units of lengths and masses, and the language by its code (BCP 47)."""

    numbers: str = "point"
    days: str = "day-month"
    units: UnitSystem = UnitSystem.METRIC
    language: str = ENGLISH


PLAIN = Writing()
_IN_FORCE: ContextVar[Writing] = ContextVar("writing", default=PLAIN)


def way_in_force() -> Writing:
    """The way that is set around whoever asks.

    Returns
    -------
    Writing
        `PLAIN` where nobody set one.
    """
    return _IN_FORCE.get()


@contextmanager
def writing(way: Writing) -> Iterator[None]:
    """Everything inside is written this way; afterwards the way before is in force again.

    Examples
    --------
    >>> with writing(Writing("comma", "iso")):
    ...     as_figure(12350.5, ",.2f"), as_day(dt.date(2026, 11, 3))
    ('12.350,50', '2026-11-03')
    """
    before = _IN_FORCE.set(way)
    try:
        yield
    finally:
        _IN_FORCE.reset(before)


@cache
def marks_of(numbers: str) -> tuple[str, str]:
    """The marks of a way of numbers.

    Returns
    -------
    str, str
        The mark of thousands and the decimal mark.
    """
    if numbers == "point":
        return ",", "."
    from babel import Locale  # 0.1 s that only another way pays for

    marks = Locale.parse(LOCALES[numbers]).number_symbols["latn"]
    return marks["group"], marks["decimal"]


@cache
def _exchanged(numbers: str) -> dict[int, str]:
    group, decimal = marks_of(numbers)
    return {ord(","): group, ord("."): decimal}


def as_figure(value: float, form: str = ",.0f") -> str:
    """A figure in the way in force.

    Parameters
    ----------
    value : float
        The figure [any unit].
    form : str
        Format specification of Python, such as ",.0f", ".1f" or "g".

    Examples
    --------
    >>> as_figure(1234.5), as_figure(1234.5, ",.1f"), as_figure(7.5, "g")
    ('1,234', '1,234.5', '7.5')
    """
    return marked(format(value, form))


def marked(figure: str) -> str:
    """A figure that Python wrote and somebody trimmed, in the way in force.

    Parameters
    ----------
    figure : str
        Such as "2.5", made from "2.50".
    """
    numbers = _IN_FORCE.get().numbers
    return figure if numbers == "point" else figure.translate(_exchanged(numbers))


def as_day(date: dt.date, gap: str = " ") -> str:
    """A known day in the way in force.

    Returns
    -------
    str
        Such as "12 Nov 2026".
    """
    days = _IN_FORCE.get().days
    if days == "day-month":
        return f"{date.day}{gap}{MONTHS[date.month - 1]}{gap}{date.year}"
    return _other_day(dt.date(date.year, date.month, date.day), days).replace(" ", gap)


@lru_cache(maxsize=1024)  # the same few days stand on every line
def _other_day(date: dt.date, days: str) -> str:
    from babel.dates import format_date

    return format_date(date, PATTERNS[days], locale="en")
