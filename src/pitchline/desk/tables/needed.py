"""How many of each part are needed by when: added up from the jobs of every machine, with the range of their days."""

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass

from pitchline.desk.people.models import Business
from pitchline.desk.tables.models import JobRow
from pitchline.desk.tables.queries import TABLES, Wanted, rows_of
from pitchline.trade.parts import PartKind

MONTHS = 12
_BY_THE_SIDE = (PartKind.CHAIN, PartKind.BUSH, PartKind.LINK)
"""What comes as one piece for a side, however many joints it has."""


@dataclass(frozen=True, slots=True)
class Needed:
    """One kind of part: pieces needed by the end of each month.

    Parameters
    ----------
    part : str
        Kind of part.
    least, middle, most : tuple of int
        Pieces by then if every day turns out hopeful, as likely as not, and cautious.
    undated : int
        Pieces of machines without hours a week, and of those not due within twenty years.
    """

    part: str
    least: tuple[int, ...]
    middle: tuple[int, ...]
    most: tuple[int, ...]
    undated: int


def month_ends(today: dt.date) -> list[dt.date]:
    """The last days of this month and those after it."""
    firsts = [
        dt.date(today.year + (today.month + n - 1) // 12, (today.month + n - 1) % 12 + 1, 1)
        for n in range(1, MONTHS + 1)
    ]
    return [first - dt.timedelta(days=1) for first in firsts]


def needed_by_month(business: Business, wanted: Wanted, today: dt.date) -> list[Needed]:
    """Each kind of part that is renewed, the most wanted first; what stops a machine is needed now."""
    ends = month_ends(today)
    pieces: dict[str, list[tuple[int, tuple[dt.date | None, ...]]]] = defaultdict(list)
    jobs = JobRow.objects.filter(
        pk__in=rows_of(business, TABLES["jobs"], wanted).values("pk"), renews=1
    ).values_list("part", "pieces", "places", "call", "middle_h", "cautious_on", "middle_on", "hopeful_on")
    for part, many, places, call, middle_h, *days in jobs:
        count = places.count(";") + 1 if part in _BY_THE_SIDE else many
        at_once = call == "stop" or (call == "book" and middle_h is None)
        pieces[part].append((count, (today, today, today) if at_once else tuple(days)))
    found = []
    for part, some in pieces.items():
        most, middle, least = (
            tuple(
                sum(count for count, days in some if (day := days[which]) is not None and day <= end)
                for end in ends
            )
            for which in range(3)
        )
        undated = sum(count for count, days in some if days[1] is None)
        found.append(Needed(part, least, middle, most, undated))
    return sorted(found, key=lambda one: (-one.middle[-1], -one.most[-1], one.part))
