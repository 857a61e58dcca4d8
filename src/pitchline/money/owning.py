"""What an hour of a machine costs its owner, working and standing, by the method of EP 1110-1-8.

See docs/reference/price-list.md.
"""

import math
from dataclasses import dataclass, fields

from pitchline.trade.errors import NotAllowedError


@dataclass(frozen=True, slots=True)
class Owning:
    """What an hour's cost is reckoned from, as it was entered.

    Parameters
    ----------
    price_new : float
        List price with what is fitted to it [currency], above 0.
    life_h : float
        Hours until it is sold [h], above 0.
    hours_per_year : float
        Hours worked in a year [h], above 0 and at most 8784.
    discount, tax : float
        Taken off that price, and put on what is left [1], from 0 to 1.
    freight : float
        Bringing it [currency], 0 or more.
    salvage : float
        Share of the price it is sold for in the end [1], from 0 to 1.
    interest : float
        Cost of money in a year [1], from 0 to 1.
    wear_parts : float
        Running gear that this list prices by itself, and so is taken out [currency], 0 or more and at most the whole price.
    repair_factor : float
        Repairs over the whole life as a share of the price [1], 0 or more.
    fuel_per_h : float
        Fuel, oil and grease for an hour of work [currency/h], 0 or more.

    Raises
    ------
    NotAllowedError
        A figure outside its range.

    References
    ----------
    US Army Corps of Engineers, EP 1110-1-8, Construction Equipment Ownership and Operating Expense Schedule, 31 July 2003.
    """

    price_new: float
    life_h: float
    hours_per_year: float
    discount: float = 0.0
    tax: float = 0.0
    freight: float = 0.0
    salvage: float = 0.0
    interest: float = 0.0
    wear_parts: float = 0.0
    repair_factor: float = 0.0
    fuel_per_h: float = 0.0

    def __post_init__(self) -> None:
        for one in fields(self):
            figure, words = getattr(self, one.name), OWNING_WORDS[one.name]
            most, allowed = _MOST.get(one.name, (math.inf, "0 or more"))
            if not (math.isfinite(figure) and 0 <= figure <= most):
                seen = figure * 100 if one.name in SHARES else figure
                raise NotAllowedError(words, seen, allowed)
            if one.name in _ABOVE_0 and figure == 0:
                raise NotAllowedError(words, figure, "above 0")
        if self.wear_parts > self.price:
            raise NotAllowedError(
                OWNING_WORDS["wear_parts"], self.wear_parts, "no more than the machine's whole price"
            )

    @property
    def price(self) -> float:
        """What was paid for it, all in [currency]."""
        return self.price_new * (1 - self.discount) * (1 + self.tax) + self.freight

    @property
    def depreciation_per_h(self) -> float:
        """What it loses in an hour of work [currency/h]; where more is got for it in the end than is left, nothing."""
        return max(self.price * (1 - self.salvage) - self.wear_parts, 0.0) / self.life_h

    @property
    def money_per_h(self) -> float:
        """Cost of the money that is in it, by the hour worked [currency/h].

        Returns
        -------
        float
            Interest on the average that is in it over its years [currency/h].

        Notes
        -----
        Over N years the average is price times [(N - 1)(1 + salvage) + 2] / 2N.
        """
        years = self.life_h / self.hours_per_year
        average = ((years - 1) * (1 + self.salvage) + 2) / (2 * years)
        return self.price * average * self.interest / self.hours_per_year

    @property
    def repair_per_h(self) -> float:
        """Repairs in an hour of work, without the running gear that was taken out [currency/h]."""
        return (self.price - self.wear_parts) * self.repair_factor / self.life_h

    @property
    def standing_per_h(self) -> float:
        """An hour in which it stands: half of what it would lose, and the money that is in it [currency/h]."""
        return round(self.depreciation_per_h / 2 + self.money_per_h, 2)

    @property
    def working_per_h(self) -> float:
        """An hour in which it works: owning and operating, without driver and without the running gear taken out [currency/h]."""
        return round(self.depreciation_per_h + self.money_per_h + self.repair_per_h + self.fuel_per_h, 2)


OWNING_WORDS = {
    "price_new": "owning price new",
    "discount": "owning discount percent",
    "tax": "owning tax percent",
    "freight": "owning freight",
    "salvage": "owning salvage percent",
    "life_h": "owning life hours",
    "hours_per_year": "owning hours a year",
    "interest": "owning interest percent",
    "wear_parts": "owning running gear price",
    "repair_factor": "owning repair factor",
    "fuel_per_h": "owning fuel and oil per hour",
}
"""Each figure as a price list names it, in the order it is asked for."""
SHARES = ("discount", "tax", "salvage", "interest")
"""Figures that are entered as a percentage."""
_ABOVE_0 = ("price_new", "life_h", "hours_per_year")
_MOST = dict.fromkeys(SHARES, (1.0, "from 0 to 100")) | {"hours_per_year": (8784.0, "up to 8784")}
"""The hours of a leap year; the rest our own wide bounds."""
