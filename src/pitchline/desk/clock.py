"""What day it is at the desk: the one place that looks at a clock for it. The core is handed the day."""

import datetime as dt

from django.conf import settings
from django.utils import timezone

from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import NotAllowedError


def held_day(text: str) -> dt.date | None:
    """The day the desk is held at; None for an empty text, so that it goes with the clock.

    Raises
    ------
    NotAllowedError
        The text is no day.
    """
    try:
        return dt.date.fromisoformat(text) if text else None
    except ValueError:
        step = "Write it as 2026-11-25, or leave it out."
        raise NotAllowedError("PITCHLINE_TODAY", text[:40], "a day", step) from None


def today() -> dt.date:
    """The day it is in the desk's time zone, or the one its settings hold it at."""
    held: dt.date | None = settings.TODAY
    return held if held is not None else timezone.localdate()


def day_for(dossier: Dossier) -> dt.date:
    """The day a machine is judged for: today, or that of its last walk-round where somebody is a day ahead of the desk."""
    return max([today(), *(one.date for one in dossier.walk_rounds[-1:])])
