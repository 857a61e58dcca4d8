"""What an option costs over its life: present worth, cost a year, cost an hour."""

import math
from dataclasses import dataclass

from pitchline.money.factors import (
    checked_periods,
    present_of_series,
    present_of_single,
    rate_per_hour,
    series_of_present,
)
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure


@dataclass(frozen=True, slots=True)
class Payment:
    """Money paid at some hour from now.

    Parameters
    ----------
    at_h : float
        Service hours from now [h], 0 or more.
    amount : float
        Paid [currency]; below 0 for money that comes in.

    Raises
    ------
    NotAllowedError
        Hours below 0, or no number.
    """

    at_h: float
    amount: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.at_h) and self.at_h >= 0):
            raise NotAllowedError("hour of payment", self.at_h, "0 or more, from now")
        if not math.isfinite(self.amount):
            raise NotAllowedError("amount", self.amount, "a finite number")


def present_worth(first: float, a_year: float, salvage: float, rate: float, years: float) -> float:
    """Present worth of owning something: its first cost, its upkeep, less what it fetches in the end.

    Parameters
    ----------
    first : float
        First cost [currency].
    a_year : float
        Upkeep at the end of each year [currency].
    salvage : float
        What it fetches at the end [currency].
    rate : float
        Interest per year [1], 0 up to 1.
    years : float
        Its life [years], above 0.

    Returns
    -------
    float
        Cost as a positive figure [currency].

    Raises
    ------
    NotAllowedError
        A rate or life outside its range.

    References
    ----------
    Life-cycle cost as the present value of investment, upkeep and less salvage (10 CFR 436.19).

    Examples
    --------
    >>> round(present_worth(25_000, 500, 2_000, 0.08, 10), 2)
    27428.65
    """
    return first + a_year * present_of_series(rate, years) - salvage * present_of_single(rate, years)


def cost_a_year(first: float, a_year: float, salvage: float, rate: float, years: float) -> float:
    """Equivalent annual cost: the same sum every year that is worth what owning it costs.

    Parameters
    ----------
    first : float
        First cost [currency].
    a_year : float
        Upkeep at the end of each year [currency].
    salvage : float
        What it fetches at the end [currency].
    rate : float
        Interest per year [1], 0 up to 1.
    years : float
        Its life [years], above 0.

    Returns
    -------
    float
        Cost a year as a positive figure [currency/year].

    Raises
    ------
    NotAllowedError
        A rate or life outside its range.

    References
    ----------
    (P - S)(A/P) + S i + upkeep (engineering economy).

    Examples
    --------
    >>> round(cost_a_year(25_000, 500, 2_000, 0.08, 10), 2)
    4087.68
    """
    return (first - salvage) * series_of_present(rate, years) + salvage * rate + a_year


def present_worth_of(payments: tuple[Payment, ...], rate_per_year: float, hours_per_year: float) -> float:
    """Present worth of payments at service hours to come.

    Parameters
    ----------
    payments : tuple of Payment
        In any order.
    rate_per_year : float
        Interest per year [1], 0 up to 1.
    hours_per_year : float
        Service hours in a year [h], above 0.

    Returns
    -------
    float
        Sum of the discounted amounts [currency].

    Raises
    ------
    NotAllowedError
        A rate or number outside its range.

    References
    ----------
    Definition; interest by the hour, see `rate_per_hour`.
    """
    hourly = rate_per_hour(rate_per_year, hours_per_year)
    return sum(payment.amount * present_of_single(hourly, payment.at_h) for payment in payments)


def cost_per_h(payments: tuple[Payment, ...], life_h: float, rate_per_year: float, hours_per_year: float) -> float:
    """Cost per hour of an option: the same sum every hour of its life that is worth its payments.

    Options of unequal life may be compared by it where each can be had again at its end.

    Parameters
    ----------
    payments : tuple of Payment
        What it costs and when; a resale at the end is an amount below 0.
    life_h : float
        Hours it lasts [h], above 0.
    rate_per_year : float
        Interest per year [1], 0 up to 1.
    hours_per_year : float
        Service hours in a year [h], above 0.

    Returns
    -------
    float
        Cost per hour [currency/h].

    Raises
    ------
    NotAllowedError
        A rate or number outside its range, or a payment after the end of its life.

    References
    ----------
    Equivalent annual cost (engineering economy) with the hour as the period.

    Examples
    --------
    >>> cost_per_h((Payment(0.0, 6_000.0),), 3_000.0, 0.0, 1_500.0)
    2.0
    """
    checked_periods(life_h)
    for payment in payments:
        if payment.at_h > life_h:
            raise NotAllowedError(
                "hour of payment", payment.at_h, f"up to the end of the life at {as_figure(life_h, 'g')} h"
            )
    hourly = rate_per_hour(rate_per_year, hours_per_year)
    worth = present_worth_of(payments, rate_per_year, hours_per_year)
    return worth * series_of_present(hourly, life_h)
