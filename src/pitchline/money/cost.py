"""What one job costs by the yard's own price list.

See docs/explanation/calls.md.
"""

from dataclasses import dataclass

from pitchline.money.amount import Money
from pitchline.money.prices import PriceList
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import RunningGear, TrackKind
from pitchline.trade.parts import PartKind
from pitchline.trade.saying import Saying, saying

CENTS, _PARTS_OF_AN_HOUR = 2, 4
"""Decimals of an amount and of hours of labour: what a list has in its last one is not blurred by sums."""


@dataclass(frozen=True, slots=True)
class Cost:
    """A job's labour and price, or why there is none.

    Parameters
    ----------
    labour_h : float or None
        Labour [h]; None when not priced.
    price : Money or None
        Parts and labour without tax; None when not priced.
    not_priced : Saying or None
        What the price list lacks; None when priced.
    """

    labour_h: float | None
    price: Money | None
    not_priced: Saying | None = None


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
    of = "several" if places > 1 else "one"
    if prices is None:
        return Cost(None, None, saying(f"price.no_list_{of}", job=job, part=part))
    line = prices.line_for(job, part)
    if line is None:
        return Cost(None, None, saying(f"price.not_on_list_{of}", job=job, part=part))
    times = pieces if line.per == "piece" else places
    labour_h = round(times * line.labour_h, _PARTS_OF_AN_HOUR)
    pay = labour_h * prices.labour_per_h
    prices_of_one = (line.price_low, line.price_usual, line.price_high)
    low, usual, high = (round(times * price + pay, CENTS) for price in prices_of_one)
    return Cost(labour_h, Money(low, usual, high, prices.currency))


def bolting_over_h(prices: PriceList | None, gear: RunningGear) -> float | None:
    """Labour for bolting one side's old shoes, or the pads in their place, to a new chain.

    Parameters
    ----------
    prices : PriceList or None
        The yard's list.
    gear : RunningGear
        Counts the joints.

    Returns
    -------
    float or None
        What the list says for bolting on new ones [h], the old chain being scrapped with nothing to save on it; None where it
        says nothing, or the running gear has neither.
    """
    pads = gear.track is TrackKind.STEEL_PAD_SHOES
    part, words = (PartKind.PAD if pads else PartKind.SHOE), (JobKind.RESHOE, JobKind.REPLACE)
    if prices is None or not gear.count(part):
        return None
    line = next((line for word in words if (line := prices.line_for(word, part)) is not None), None)
    if line is None:
        return None
    return line.labour_h * (gear.joints_per_side if line.per == "piece" else 1)


def total(amounts: list[Money], currency: str) -> Money:
    """Sum of amounts, as if all went well, as usual, or badly together.

    Returns
    -------
    Money
        Low with low, usual with usual, high with high.
    """
    low, usual, high = (
        round(sum(getattr(amount, figure) for amount in amounts), CENTS) for figure in ("low", "usual", "high")
    )
    return Money(low, usual, high, currency)
