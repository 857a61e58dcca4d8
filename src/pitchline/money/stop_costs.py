"""What a stop costs beside its jobs: the lorry, the call-out, the fitter's day, the machine that stands, the track opened."""

import math
from dataclasses import dataclass

from pitchline.trade.errors import NotAllowedError
from pitchline.trade.saying import Saying, saying

_MONTHS = range(1, 13)
_LORRY, _CALL_OUT, _FITTER = saying("charge.lorry"), saying("charge.call_out"), saying("charge.fitters_day")


@dataclass(frozen=True, slots=True)
class Charge:
    """One charge of a stop.

    Parameters
    ----------
    words : Saying
        What for.
    amount : float
        How much [currency], without tax.
    billed : bool
        Whether it stands on a quote; a standing machine costs its owner, whoever does the work.
    """

    words: Saying
    amount: float
    billed: bool = True


@dataclass(frozen=True, slots=True)
class StopCosts:
    """A yard's own cost of a stop, whatever is done at it; None where nothing is entered.

    Parameters
    ----------
    lorry, call_out, fitter_day : float or None
        Haulage, call-out and the fitter's day, once for each stop [currency], 0 or more.
    standing_per_h : float or None
        A standing machine, in all months or outside the busy ones [currency/h], 0 or more.
    busy_standing_per_h : float or None
        The same in the busy months [currency/h]; None where there are none.
    busy_months : tuple of int
        Busy months, 1 to 12, each once.
    opening_per_side : float or None
        Opening the track of one side and closing it again, beyond what the jobs' own lines hold [currency], 0 or more.

    Raises
    ------
    NotAllowedError
        A figure below 0, a month that is none, or busy months without their rate and the other way round.
    """

    lorry: float | None = None
    call_out: float | None = None
    fitter_day: float | None = None
    standing_per_h: float | None = None
    busy_standing_per_h: float | None = None
    busy_months: tuple[int, ...] = ()
    opening_per_side: float | None = None

    def __post_init__(self) -> None:
        for words, figure in (*self._figures(), ("standing per hour busy", self.busy_standing_per_h)):
            if figure is not None and not (math.isfinite(figure) and figure >= 0):
                raise NotAllowedError(words, figure, "0 or more")
        if len(set(self.busy_months)) < len(self.busy_months) or not set(self.busy_months) <= set(_MONTHS):
            seen = ", ".join(str(month) for month in self.busy_months)
            raise NotAllowedError("busy months", seen, "months from 1 to 12, each once")
        if self.busy_months and self.busy_standing_per_h is None:
            raise NotAllowedError(
                "standing per hour busy", "nothing", "a rate for the busy months", "Enter it, or no busy months."
            )
        if self.busy_standing_per_h is not None and not self.busy_months:
            raise NotAllowedError(
                "busy months", "nothing", "months from 1 to 12, such as 4-10", "Enter them, or no busy rate."
            )

    def _figures(self) -> tuple[tuple[str, float | None], ...]:
        return (
            ("lorry", self.lorry),
            ("call-out", self.call_out),
            ("fitter's day", self.fitter_day),
            ("standing per hour", self.standing_per_h),
            ("opening a track per side", self.opening_per_side),
        )

    @property
    def not_entered(self) -> tuple[Saying, ...]:
        """The charges that are not entered, and so are in no figure."""
        charges = (
            (_LORRY, self.lorry),
            (_CALL_OUT, self.call_out),
            (_FITTER, self.fitter_day),
            (saying("charge.standing_rate"), self.standing_per_h),
            (saying("charge.opening_rate"), self.opening_per_side),
        )
        return tuple(said for said, figure in charges if figure is None)

    def standing_rate(self, month: int) -> float | None:
        """Cost of a standing machine in one month.

        Parameters
        ----------
        month : int
            From 1 to 12.

        Returns
        -------
        float or None
            Rate [currency/h]; None where it is not entered.

        Raises
        ------
        NotAllowedError
            A month that is none.

        Examples
        --------
        >>> costs = StopCosts(standing_per_h=40.0, busy_standing_per_h=90.0, busy_months=(5, 6))
        >>> costs.standing_rate(6), costs.standing_rate(7)
        (90.0, 40.0)
        """
        if month not in _MONTHS:
            raise NotAllowedError("month", month, "from 1 to 12")
        return self.busy_standing_per_h if month in self.busy_months else self.standing_per_h

    def charges(self, standing_h: float | None, month: int, sides_opened: int) -> tuple[Charge, ...]:
        """What one stop is charged, line by line.

        Parameters
        ----------
        standing_h : float or None
            Hours the machine stands [h], 0 or more; None where they are not known.
        month : int
            Month of the stop, 1 to 12.
        sides_opened : int
            Tracks opened, 0 to 2.

        Returns
        -------
        tuple of Charge
            Only what is entered and does not come to nothing.

        Raises
        ------
        NotAllowedError
            A month that is none.
        """
        rate = self.standing_rate(month)
        standing = rate * standing_h if rate is not None and standing_h is not None else None
        opening = self.opening_per_side * sides_opened if self.opening_per_side is not None else None
        lines = (
            (_LORRY, self.lorry, True),
            (_CALL_OUT, self.call_out, True),
            (_FITTER, self.fitter_day, True),
            (saying("charge.standing", standing_h=standing_h), standing, False),
            (saying("charge.opening", n=sides_opened), opening, True),
        )
        return tuple(Charge(words, amount, billed) for words, amount, billed in lines if amount)
