"""Where the cost of some work had been reckoned: kept in the machine's file as one of three texts, said when it is read."""

import datetime as dt
import re

from pitchline.words import in_english, worded

_VERDICT = in_english("verdict of {day:day}")
_LAY_UP = in_english("lay-up {n} of the plan of {day:day}")
_BEFORE = in_english("what is done before the first lay-up of the plan of {day:day}")


def of_verdict(day: dt.date) -> str:
    """As it is kept, of a verdict's job, such as "verdict of 2026-11-30"."""
    return _kept(_VERDICT).format(day=day)


def of_lay_up(number: int, day: dt.date) -> str:
    """As it is kept, of a lay-up, or of what a plan has before its first one: number 0."""
    return _kept(_LAY_UP if number else _BEFORE).format(n=number, day=day)


def source_said(source: str) -> str:
    """The same in the language and the way in force; what somebody wrote into a file of their own as it stands."""
    for said in (_VERDICT, _LAY_UP, _BEFORE):
        pattern = _kept(said).format(n=r"(?P<n>\d+)", day=r"(?P<day>\d{4}-\d\d-\d\d)")
        found = re.fullmatch(pattern, source, re.ASCII)
        try:
            if found is not None:
                return worded(said, **found.groupdict())
        except ValueError:  # no day of the calendar
            return source
    return source


def _kept(said: str) -> str:
    return said.replace("{day:day}", "{day}")
