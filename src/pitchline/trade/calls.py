"""The three calls on a part, and the rule that makes them.

See docs/explanation/calls.md.
"""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure


class Call(StrEnum):
    """Run: nothing due inside the booking window. Book: work falls due inside it. Stop: do not work it.

    Unjudged is no call at all: nobody read or looked at the part, or nothing can be said of its wear.
    """

    UNJUDGED = "unjudged"
    RUN = "run"
    BOOK = "book"
    STOP = "stop"

    @property
    def rank(self) -> int:
        """-1 for unjudged, 0 for run, 1 for book, 2 for stop."""
        return _RANKS[self]

    @property
    def asks(self) -> bool:
        """Whether it asks for work: book and stop do."""
        return self.rank > 0


_RANKS = {call: rank for rank, call in enumerate(Call, start=-1)}
HATCHES: dict[Call, tuple[int, ...]] = {Call.UNJUDGED: (), Call.RUN: (), Call.BOOK: (45,), Call.STOP: (45, 135)}
"""How the lines of each call's hatch rise [deg from level, anticlockwise]. Drawing and screen are made from it, page and paper
are held to it. Nothing else slants: wear is dots, a range a grey bar, an answer on a ground a line by weight and dash."""


class Stake(StrEnum):
    """What a call that asks for work is about: whether somebody can be hurt, or only what kind of money is at stake."""

    UNSAFE = "unsafe"
    RUINS = "ruins"
    CONFIRM = "confirm"
    WORN_OUT = "worn_out"
    FALLS_DUE = "falls_due"
    MEASURE = "measure"
    SEEN = "seen"
    SETTING = "setting"


@dataclass(frozen=True, slots=True)
class CallRule:
    """When outlook figures become a call.

    Parameters
    ----------
    booking_window_weeks : float
        How far ahead work is booked [weeks], above 0 up to 104.
    book_chance : float
        Book when the chance of falling due inside the window is at least this [1], inside (0, 1).
    stop_chance : float
        Stop when the chance of being past the wear limit already is at least this [1], inside (0, 1).

    Raises
    ------
    NotAllowedError
        A figure outside its range.
    """

    booking_window_weeks: float = 8.0
    book_chance: float = 0.10
    stop_chance: float = 0.50

    def __post_init__(self) -> None:
        if not 0 < self.booking_window_weeks <= 104:
            raise NotAllowedError(
                "booking window",
                phrase(
                    "{booking_window_weeks} weeks", booking_window_weeks=as_figure(self.booking_window_weeks, "g")
                ),
                "above 0 up to 104 weeks",
            )
        for field, chance in (("book chance", self.book_chance), ("stop chance", self.stop_chance)):
            if not 0 < chance < 1:
                raise NotAllowedError(field, as_figure(chance, "g"), "between 0 and 1")
