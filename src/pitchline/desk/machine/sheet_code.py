"""The code of a printed sheet: twelve letters that name its machine and the day it was printed; nothing is written to make one.

Two sheets printed for one machine on one day are one sheet, and a walk-round begun from either is the same.
"""

import datetime as dt
import re
import uuid
from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import reverse

from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.page_facts import told
from pitchline.papers.sheet_paper import SheetCode

LETTERS = "BCDFGHJKLMNPQRSTVWXZ"
"""No vowels, so that no word comes of it, and no letter like another (RFC 8628, 6.1)."""
_FIRST_DAY = dt.date(2020, 1, 1)
_OF_MACHINE, _OF_DAY = 7, 4
_BITS = 30
"""Of a machine's id, the first: 7 of 20 letters tell 2^30 apart."""
_WEIGHTS = (1, 3, 7, 9, 11, 13, 17, 19, 1, 3, 7)
"""None shares a divisor with 20, so the last letter finds every single wrong one."""
_APART = re.compile(r"[\s\-–.]")
_IN_TEXT = re.compile(
    rf"(?<![A-Z])[{LETTERS}]{{4}}[\s\-–.]?[{LETTERS}]{{4}}[\s\-–.]?[{LETTERS}]{{4}}(?![A-Z])", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Named:
    """What a code names.

    Parameters
    ----------
    code : str
        The code as it is printed.
    first, last : UUID
        Between which a machine's id lies.
    day : date
        When the sheet was printed.
    """

    code: str
    first: uuid.UUID
    last: uuid.UUID
    day: dt.date

    def sheet_id(self, machine: Machine) -> uuid.UUID:
        """Of the walk-round that is begun from this sheet, however often."""
        return uuid.uuid5(machine.pk, self.code)


def code_of(machine_id: uuid.UUID, day: dt.date) -> str:
    """A sheet's code.

    Examples
    --------
    >>> code_of(uuid.UUID("8f0c1a52-0000-4000-8000-000000000000"), dt.date(2026, 11, 30))
    'MKMW-ZLGB-JJHJ'
    """
    bare = _letters(machine_id.int >> (128 - _BITS), _OF_MACHINE) + _letters((day - _FIRST_DAY).days, _OF_DAY)
    return _shown(bare + _check(bare))


def read_code(text: str) -> Named | None:
    """What the code in a text names: typed by itself, small or large, or in an address, whatever desk it was printed at.

    Examples
    --------
    >>> read_code("https://old-address.example:8500/s/mkmw zlgb jjhj/").day
    datetime.date(2026, 11, 30)
    >>> read_code("MKMW-ZLGB-JJHK") is None
    True
    """
    found = [_named(_APART.sub("", one).upper()) for one in _IN_TEXT.findall(text)]
    return next((one for one in reversed(found) if one is not None), None)


def _named(code: str) -> Named | None:
    bare = code[:-1]
    number = _number(bare[:_OF_MACHINE])
    if _check(bare) != code[-1] or number >> _BITS:
        return None
    rest = 128 - _BITS
    first, last = (uuid.UUID(int=(number + n << rest) - n) for n in (0, 1))
    return Named(_shown(code), first, last, _FIRST_DAY + dt.timedelta(_number(bare[_OF_MACHINE:])))


def _letters(number: int, many: int) -> str:
    return "".join(LETTERS[number // 20**n % 20] for n in reversed(range(many)))


def _number(letters: str) -> int:
    number = 0
    for one in letters:
        number = number * 20 + LETTERS.index(one)
    return number


def _check(letters: str) -> str:
    return LETTERS[sum(weight * LETTERS.index(one) for weight, one in zip(_WEIGHTS, letters, strict=True)) % 20]


def _shown(code: str) -> str:
    return "-".join(code[n : n + 4] for n in (0, 4, 8))


def printed_code(request: HttpRequest, machine: Machine) -> SheetCode:
    """The code of a sheet printed now, in an address a phone can open, where this desk has one."""
    code = code_of(machine.pk, today())
    host = request.get_host()
    if host.partition(":")[0] not in ("127.0.0.1", "localhost", "testserver"):
        base = request.build_absolute_uri("/")
    else:
        base = str(told("address for phones", machine) or "")
    address = base.rstrip("/") + reverse("printed-sheet", args=[code])
    return SheetCode(code, address if base else f"PITCHLINE {code}")
