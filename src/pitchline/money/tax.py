"""Tax, always shown apart from the prices it is put on."""

import math
from dataclasses import dataclass

from pitchline.money.amount import Money
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure


@dataclass(frozen=True, slots=True)
class Taxed:
    """An amount without tax, the tax on it, and both together.

    Parameters
    ----------
    net, tax, gross : Money
        Without tax, the tax alone, and both.
    rate : float
        Tax as a share of the net amount [1].
    """

    net: Money
    tax: Money
    gross: Money
    rate: float


def checked_tax(rate: float) -> float:
    """The same tax rate, when it can be one.

    Parameters
    ----------
    rate : float
        Share of the net amount [1], from 0 to 1.

    Returns
    -------
    float
        Unchanged [1].

    Raises
    ------
    NotAllowedError
        Below 0, above 1, or no number.

    References
    ----------
    Our own wide bound.
    """
    if not (math.isfinite(rate) and 0 <= rate <= 1):
        raise NotAllowedError("tax percent", as_figure(rate * 100, "g"), "from 0 to 100", "Enter 19 for 19 %.")
    return rate


def with_tax(net: Money, rate: float) -> Taxed:
    """Tax on an amount, to the cent.

    Parameters
    ----------
    net : Money
        Without tax.
    rate : float
        Tax as a share of it [1], from 0 to 1; entered by the yard, never assumed.

    Returns
    -------
    Taxed
        Rounded half up to two decimals for each figure.

    Raises
    ------
    NotAllowedError
        A rate outside its range.

    Examples
    --------
    >>> with_tax(Money(90.0, 100.0, 120.0, "EUR"), 0.19).tax.usual
    19.0
    """
    checked_tax(rate)
    whole = Money(_cents(net.low), _cents(net.usual), _cents(net.high), net.currency)
    tax = Money(_cents(whole.low * rate), _cents(whole.usual * rate), _cents(whole.high * rate), net.currency)
    sums = (_cents(whole.low + tax.low), _cents(whole.usual + tax.usual), _cents(whole.high + tax.high))
    return Taxed(whole, tax, Money(sums[0], sums[1], sums[2], net.currency), rate)


def _cents(amount: float) -> float:
    return math.floor(round(amount * 100, 6) + 0.5) / 100
