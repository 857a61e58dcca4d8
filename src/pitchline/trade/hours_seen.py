"""What a machine's hour meter was seen to show between walk-rounds, by a feed or by somebody who read it."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure


@dataclass(frozen=True, slots=True)
class HoursSeen:
    """Hours of a machine on a day.

    Parameters
    ----------
    date : datetime.date
        The day.
    service_h : float
        Service hours at its end, or when they were read [h], zero or more.

    Raises
    ------
    NotAllowedError
        Negative hours.
    """

    date: dt.date
    service_h: float

    def __post_init__(self) -> None:
        if not self.service_h >= 0:
            raise NotAllowedError("hours seen", self.service_h, "0 h or more")


def check_hours_seen(seen: Sequence[HoursSeen]) -> None:
    """Nothing comes out of hours that can follow each other.

    Raises
    ------
    NotAllowedError
        Days out of order or twice, or hours that fall.
    """
    for before, after in pairwise(seen):
        if after.date <= before.date:
            allowed = phrase("a day after {date}", date=before.date)
            raise NotAllowedError(
                "hours seen, day", after.date.isoformat(), allowed, "Give each day once, in order."
            )
        if after.service_h < before.service_h:
            raise NotAllowedError(
                "hours seen",
                phrase("{service_h} h on {date}", service_h=as_figure(after.service_h, "g"), date=after.date),
                phrase(
                    "at least the {service_h} h of {date}",
                    service_h=as_figure(before.service_h, "g"),
                    date=before.date,
                ),
                "If the meter was changed, enter the change; else leave these hours out.",
            )
