"""From an asking price to an offer that can be explained line by line. A working aid, not a valuation.

See docs/explanation/money.md.
"""

import math
from dataclasses import dataclass, replace

from pitchline.money.amount import Money
from pitchline.money.worth import HALF, Worth, against_half, worth_left
from pitchline.trade.asking import AskingPrice
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.saying import Saying, saying

NOT_A_VALUATION = saying("bid.not_a_valuation")


@dataclass(frozen=True, slots=True)
class BidLine:
    """One line on the way from the asking price to the offer.

    Parameters
    ----------
    words : Saying
        What is taken off or added.
    amount : Money
        How much; below 0 where it is taken off.
    because : Saying
        Why.
    """

    words: Saying
    amount: Money
    because: Saying


@dataclass(frozen=True, slots=True)
class Bid:
    """An offer, and how it comes about.

    Parameters
    ----------
    lines : tuple of BidLine
        The asking price first.
    worth_it : Money
        Their sum, line by line: what the machine comes to for a buyer.
    offer : Money
        The same, never below nothing and never above what is asked.
    capped : bool
        Whether what the running gear adds was cut, because more cannot sit in it than is asked for the machine.
    left_out : tuple of Saying
        What the offer does not know of.
    caution : Saying
        What it is not.
    """

    lines: tuple[BidLine, ...]
    worth_it: Money
    offer: Money
    capped: bool
    left_out: tuple[Saying, ...]
    caution: Saying = NOT_A_VALUATION


def bid(asking: float, worth: Worth) -> Bid:
    """An offer for a machine, defensible line by line.

    Parameters
    ----------
    asking : float
        What is asked for the machine, without tax [currency], above 0; taken to be for a running gear that is half worn.
    worth : Worth
        What its running gear is worth.

    Returns
    -------
    Bid
        Asking price, less what has to be put right now, less one stop, and the running gear against a half worn one once that
        is done; the offer is held between nothing and what is asked.

    Raises
    ------
    NotAllowedError
        An asking price that is not above 0.

    References
    ----------
    Cost to cure first, then depreciation of the rest (modified age-life method); half-life adjustment and its cap as in the
    appraisal of aircraft; see docs/explanation/money.md.
    """
    if not (math.isfinite(asking) and asking > 0):
        raise NotAllowedError("asking price", asking, "above 0", "Enter what is asked, without tax.")
    currency = worth.as_new.currency
    gear, capped = _capped(against_half(worth.parts, currency, once_put_right=True), asking, worth)
    lines = (
        BidLine(saying("bid.asking"), Money(asking, asking, asking, currency), saying("bid.as_entered")),
        BidLine(saying("bid.put_right"), _off(worth.put_right, currency), _put_right_said(worth)),
        BidLine(saying("bid.one_stop"), _off(worth.stop, currency), _stop_said(worth)),
        BidLine(saying("bid.gear"), gear, saying("bid.gear_cut" if capped else "bid.gear_by_life")),
    )
    low, usual, high = (sum(getattr(line.amount, figure) for line in lines) for figure in ("low", "usual", "high"))
    held = [min(max(figure, 0.0), asking) for figure in (low, usual, high)]
    offer = Money(held[0], held[1], held[2], currency)
    return Bid(lines, Money(low, usual, high, currency), offer, capped, worth.left_out)


def with_asking(worth: Worth, asking: AskingPrice | None) -> tuple[Worth, Bid | None]:
    """A worth and an offer at an asking price, from a worth reckoned at any other or at none.

    Parameters
    ----------
    worth : Worth
        What the running gear is worth.
    asking : AskingPrice or None
        What is asked for the machine; None where nobody said.

    Returns
    -------
    tuple of (Worth, Bid or None)
        The worth held at that price, and the offer. Without a price the worth is held nowhere, and there is no offer; so too with
        one in another currency, because none is turned into another.
    """
    same = asking is not None and asking.currency == worth.as_new.currency
    amount = asking.amount if asking is not None and same else None
    left, capped = worth_left(worth.parts, worth.as_new.currency, amount)
    held = replace(worth, left=left, capped=capped)
    return held, None if amount is None else bid(amount, held)


def _off(cost: Money | None, currency: str) -> Money:
    """A cost as something taken off: its high figure makes the low offer."""
    if cost is None:
        return Money(0.0, 0.0, 0.0, currency)
    return Money(-cost.high or 0.0, -cost.usual or 0.0, -cost.low or 0.0, currency)


def _capped(gear: Money, asking: float, worth: Worth) -> tuple[Money, bool]:
    """What the running gear adds, held so that no more sits in it than is asked for the whole machine."""
    most = max(asking - HALF * worth.as_new.usual, 0.0)
    held = Money(min(gear.low, most), min(gear.usual, most), min(gear.high, most), gear.currency)
    return held, gear.usual > most


def _put_right_said(worth: Worth) -> Saying:
    if worth.not_priced:
        return saying("bid.not_priced", jobs=worth.not_priced)
    return saying("bid.every_job" if worth.put_right.high else "bid.nothing_unsafe")


def _stop_said(worth: Worth) -> Saying:
    if worth.stop is None:
        return saying("bid.no_stop_entered")
    return saying("bid.stop_made_of" if worth.stop.high else "bid.no_stop_needed")
