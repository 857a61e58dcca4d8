"""What one job costs by the yard's own price list.

See docs/explanation/calls.md.
"""

from dataclasses import dataclass

from pitchline.money.amount import Money
from pitchline.money.prices import PriceList
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PARTS, PartKind


@dataclass(frozen=True, slots=True)
class Cost:
    """A job's labour and price, or why there is none.

    Parameters
    ----------
    labour_h : float or None
        Labour [h]; None when not priced.
    price : Money or None
        Parts and labour without tax; None when not priced.
    not_priced : str
        What the price list lacks, in words; empty when priced.
    """

    labour_h: float | None
    price: Money | None
    not_priced: str = ""


def job_cost(prices: PriceList | None, job: JobKind, part: PartKind, places: int, pieces: int) -> Cost:
    """Price of a job at several places.

    Parameters
    ----------
    prices : PriceList or None
        The yard's list.
    job : JobKind
        What is done.
    part : PartKind
        To what.
    places : int
        At how many places, from 1.
    pieces : int
        How many pieces over all places, from 1.

    Returns
    -------
    Cost
        Labour and parts times places or pieces, as the list's line says; low, usual and high.
    """
    words = f"{job.label} {PARTS[part].plural if places > 1 else PARTS[part].singular}"
    if prices is None:
        return Cost(None, None, f"{words}: no price list given")
    line = prices.line_for(job, part)
    if line is None:
        return Cost(None, None, f"{words}: not on the price list")
    times = pieces if line.per == "piece" else places
    labour_h = times * line.labour_h
    pay = labour_h * prices.labour_per_h
    low, usual, high = (times * price + pay for price in (line.price_low, line.price_usual, line.price_high))
    return Cost(labour_h, Money(low, usual, high, prices.currency))


def total(amounts: list[Money], currency: str) -> Money:
    """Sum of amounts, as if all went well, as usual, or badly together.

    Returns
    -------
    Money
        Low with low, usual with usual, high with high.
    """
    return Money(
        sum(amount.low for amount in amounts),
        sum(amount.usual for amount in amounts),
        sum(amount.high for amount in amounts),
        currency,
    )
