"""A quote for parts and jobs somebody asked for, without a plan: lines priced by the list or by hand, charges, the sum."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from pitchline.money.amount import Money
from pitchline.money.cost import CENTS
from pitchline.money.prices import PriceList
from pitchline.money.stop_costs import Charge, StopCosts
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

ONCE = ("lorry", "call_out", "fitter_day")
"""Charges of a lay-up that a quote may hold once, as `StopCosts` names them."""
MOST_OF_ONE = 9999


@dataclass(frozen=True, slots=True)
class Asked:
    """One line as it is asked for.

    Parameters
    ----------
    job : JobKind or None
        What is done; None for a line in the business's own words.
    part : PartKind or None
        To what; None for such a line.
    count : int
        How many places or pieces, as the list's line says; 1 to 9999.
    words : str
        The line's own words, where it is no job on the list.
    price : float or None
        The price of the whole line, put by hand [currency], 0 or more; None takes the list's.
    why : str
        Why it was put by hand; needed where the list has a price.

    Raises
    ------
    NotAllowedError
        A count or price outside its range, a line that says nothing, or one in own words without a price.
    """

    job: JobKind | None
    part: PartKind | None
    count: int = 1
    words: str = ""
    price: float | None = None
    why: str = ""

    def __post_init__(self) -> None:
        if not 1 <= self.count <= MOST_OF_ONE:
            raise NotAllowedError("how many", self.count, phrase("1 to {most_of_one}", most_of_one=MOST_OF_ONE))
        if self.price is not None and not (math.isfinite(self.price) and self.price >= 0):
            raise NotAllowedError("price", self.price, "0 or more")
        if (self.job is None or self.part is None) and not self.words.strip():
            raise NotAllowedError("line", "nothing", "a job on a part, or words of its own")
        if self.job is None and self.price is None:
            raise NotAllowedError("price", "nothing", "a price for a line in your own words", "Type it.")


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line with its price.

    Parameters
    ----------
    asked : Asked
        What was asked for.
    per : str
        What it is counted by: "each", "piece", or nothing for a line in own words.
    labour_h : float or None
        Labour in it [h]; None where the list does not say.
    listed : Money or None
        What the list says; None where it has no such line.
    price : Money or None
        What it costs; None where nobody knows: then it is quoted apart.
    """

    asked: Asked
    per: str
    labour_h: float | None
    listed: Money | None
    price: Money | None


@dataclass(frozen=True, slots=True)
class FreeQuote:
    """Everything a free quote comes to.

    Parameters
    ----------
    lines : tuple of QuoteLine
        In the order they were asked for.
    charges : tuple of Charge
        Lorry, call-out and the like, as they were wanted.
    currency : str
        Code of every amount.
    tax_rate : float or None
        Tax as a share of a price [1]; None where it is not entered.
    with_labour : bool
        Whether labour is in the lines; else they are parts alone.
    """

    lines: tuple[QuoteLine, ...]
    charges: tuple[Charge, ...]
    currency: str
    tax_rate: float | None
    with_labour: bool

    @property
    def net(self) -> Money | None:
        """The priced lines and the charges, each to the cent; None where no line is priced.

        Returns
        -------
        Money or None
            Without tax [currency].
        """
        prices = [line.price for line in self.lines if line.price is not None]
        if not prices:
            return None
        beside = sum(_cents(charge.amount) for charge in self.charges)
        low, usual, high = (
            round(sum(_cents(getattr(price, figure)) for price in prices) + beside, CENTS)
            for figure in ("low", "usual", "high")
        )
        return Money(low, usual, high, self.currency)

    @property
    def labour_h(self) -> float:
        """Labour of all lines that say how much [h]."""
        return round(sum(line.labour_h or 0.0 for line in self.lines), 2) if self.with_labour else 0.0


def free_quote(
    prices: PriceList,
    asked: Sequence[Asked],
    charges: Collection[str] = (),
    sides_opened: int = 0,
    with_labour: bool = True,
) -> FreeQuote:
    """What the lines asked for come to.

    Parameters
    ----------
    prices : PriceList
        The machine's own prices.
    asked : sequence of Asked
        The lines, at least one.
    charges : collection of str
        Which of `ONCE` are wanted.
    sides_opened : int
        Tracks whose opening is charged, 0 to 2.
    with_labour : bool
        Whether labour is in the lines.

    Raises
    ------
    NotAllowedError
        No line, a charge nobody knows, the list has none of, or another number of sides.
    """
    if not asked:
        raise NotAllowedError("quote", "no line", "at least one", "Say how many of something.")
    if not 0 <= sides_opened <= 2:
        raise NotAllowedError("sides opened", sides_opened, "0 to 2")
    lines = tuple(_line(prices, one, with_labour) for one in asked)
    wanted = _charges(prices.stop or StopCosts(), charges, sides_opened)
    return FreeQuote(lines, wanted, prices.currency, prices.tax_rate, with_labour)


def _line(prices: PriceList, asked: Asked, with_labour: bool) -> QuoteLine:
    by_hand = None if asked.price is None else Money(asked.price, asked.price, asked.price, prices.currency)
    line = prices.line_for(asked.job, asked.part) if asked.job is not None and asked.part is not None else None
    if line is None:
        return QuoteLine(asked, "each" if asked.job is not None else "", None, None, by_hand)
    labour_h = round(line.labour_h * asked.count, 4)
    pay = labour_h * prices.labour_per_h if with_labour else 0.0
    of_one = (line.price_low, line.price_usual, line.price_high)
    low, usual, high = (round(price * asked.count + pay, CENTS) for price in of_one)
    listed = Money(low, usual, high, prices.currency)
    if by_hand is not None and not asked.why.strip() and by_hand.usual != listed.usual:
        raise NotAllowedError("why", "nothing", "a reason for another price than the list's", "Say why.")
    return QuoteLine(asked, line.per, labour_h if with_labour else None, listed, by_hand or listed)


def _charges(costs: StopCosts, wanted: Collection[str], sides_opened: int) -> tuple[Charge, ...]:
    """Those wanted, out of what a lay-up in any month is charged; a standing machine never stands on a quote."""
    words = {name: charge for name in ONCE if (charge := getattr(costs, name)) is not None}
    for name in wanted:
        if name not in words:
            raise NotAllowedError("charge", name.replace("_", " "), "one the price list has", "Leave it out.")
    picked = StopCosts(
        **{name: words[name] for name in ONCE if name in wanted}, opening_per_side=costs.opening_per_side
    )
    if sides_opened and costs.opening_per_side is None:
        raise NotAllowedError("sides opened", sides_opened, "0: the price list has no price for it", "Type 0.")
    return picked.charges(None, 1, sides_opened)


def _cents(amount: float) -> float:
    return round(amount * 100) / 100
