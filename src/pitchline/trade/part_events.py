"""What began a part's life at its place: fitted, turned or rebuilt."""

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.readings import Reading


class Event(StrEnum):
    """What was done to a part and recorded."""

    FITTED_NEW = "fitted_new"
    FITTED_PART_WORN = "fitted_part_worn"
    TURNED = "turned"
    REBUILT = "rebuilt"


class Because(StrEnum):
    """Why a part came off."""

    WORN = "worn"
    BROKEN = "broken"
    TOGETHER = "together"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class PartEvent:
    """A recorded fitting, turning or rebuilding of one part.

    Parameters
    ----------
    place : Place
        Where; position 0 of a numbered part means every position of that side.
    event : Event
        What was done.
    service_h : float
        Service hours then [h], zero or more.
    date : datetime.date or None
        The day; None where nobody wrote it down.
    seen_on : datetime.date or None
        The last walk-round before it; None where hours alone tell which came first.
    readings : tuple of Reading
        Sizes of a used part as it was fitted.
    because : Because
        Why what was there before came off.

    Raises
    ------
    NotAllowedError
        Turning anything but bushes, or negative hours.
    """

    place: Place
    event: Event
    service_h: float
    date: dt.date | None = None
    seen_on: dt.date | None = None
    readings: tuple[Reading, ...] = ()
    because: Because = Because.UNKNOWN

    def __post_init__(self) -> None:
        if self.event is Event.TURNED and self.place.part is not PartKind.BUSH:
            raise NotAllowedError(
                "history", phrase("turned {place:place}", place=self.place.key), "only bushes are turned"
            )
        if not self.service_h >= 0:
            raise NotAllowedError("history, hours", self.service_h, "0 h or more")

    def follows(self, date: dt.date, service_h: float) -> bool:
        """Whether a walk-round came before it.

        Parameters
        ----------
        date : datetime.date
            Day of the walk-round.
        service_h : float
            Its service hours [h]; at the very hour of the event it came before, except when the machine was new.
        """
        if self.seen_on is not None:
            return date <= self.seen_on
        return service_h <= self.service_h and self.service_h > 0
