"""The yard's own price list, and what a job costs by it."""

import math
from dataclasses import dataclass

from pitchline.money.stop_costs import StopCosts
from pitchline.money.tax import checked_tax
from pitchline.trade.asking import checked_currency
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.trade.writing import as_figure


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line of a price list: one job on one part, for one unit of it.

    Parameters
    ----------
    job : JobKind
        What is done.
    part : PartKind
        To what.
    price_low, price_usual, price_high : float
        Parts and materials for one unit [currency], zero or more, rising.
    labour_h : float
        Labour for one unit [h], zero or more.
    per : str
        The unit: "each" (one side's chain, one roller, one sprocket) or "piece" (one shoe, pad, bolt or joint).

    Raises
    ------
    NotAllowedError
        A figure outside its range, or an unknown unit.
    """

    job: JobKind
    part: PartKind
    price_low: float
    price_usual: float
    price_high: float
    labour_h: float
    per: str = "each"

    def __post_init__(self) -> None:
        prices = (self.price_low, self.price_usual, self.price_high)
        if not (all(math.isfinite(price) for price in prices) and 0 <= prices[0] <= prices[1] <= prices[2]):
            raise NotAllowedError(
                "price",
                f"{as_figure(prices[0], 'g')}, {as_figure(prices[1], 'g')}, {as_figure(prices[2], 'g')}",
                "0 or more, low before usual before high",
            )
        if not (math.isfinite(self.labour_h) and self.labour_h >= 0):
            raise NotAllowedError("labour hours", self.labour_h, "0 or more")
        if self.per not in ("each", "piece"):
            raise NotAllowedError("per", self.per, "each or piece")


@dataclass(frozen=True, slots=True)
class PriceList:
    """A yard's prices in one currency, without tax.

    Parameters
    ----------
    currency : str
        Three-letter code, such as "EUR".
    labour_per_h : float
        Labour rate [currency/h], zero or more.
    lines : tuple of PriceLine
        Each job and part once.
    source : str
        Where the list is from, as entered.
    tax_rate : float or None
        Tax as a share of a price [1], 0 to 1; None where it is not entered, and then no tax is shown.
    stop : StopCosts or None
        What a stop costs beside its jobs; None where nothing of it is entered.

    Raises
    ------
    NotAllowedError
        A currency that is not three capital letters, a rate outside its range, or a job listed twice.

    References
    ----------
    Definition; currency codes have the form of ISO 4217.
    """

    currency: str
    labour_per_h: float
    lines: tuple[PriceLine, ...]
    source: str = ""
    tax_rate: float | None = None
    stop: StopCosts | None = None

    def __post_init__(self) -> None:
        checked_currency(self.currency)
        if not (math.isfinite(self.labour_per_h) and self.labour_per_h >= 0):
            raise NotAllowedError("labour rate", self.labour_per_h, "0 or more")
        if self.tax_rate is not None:
            checked_tax(self.tax_rate)
        seen: set[tuple[JobKind, PartKind]] = set()
        for line in self.lines:
            if (line.job, line.part) in seen:
                raise NotAllowedError(
                    "price list", f"{line.job.value} {line.part.value} twice", "each job and part once"
                )
            seen.add((line.job, line.part))

    def line_for(self, job: JobKind, part: PartKind) -> PriceLine | None:
        """The line for a job on a part.

        Returns
        -------
        PriceLine or None
            None when the list has no such line. Measuring again costs what looking further does, unless the list says otherwise.
        """
        words = (job, JobKind.INVESTIGATE) if job is JobKind.MEASURE else (job,)
        found = (line for word in words for line in self.lines if line.job is word and line.part is part)
        return next(found, None)
