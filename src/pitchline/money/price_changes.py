"""Price lists changed as a whole: prices times a percentage, those of one class copied to another, and what moved."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.prices import FIGURE_WORDS, PriceLine, PriceList
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind


@dataclass(frozen=True, slots=True)
class Times:
    """By what prices and hours are multiplied, and how the prices are rounded.

    Parameters
    ----------
    price, labour : float
        Factors [1], above 0 and at most 100.
    step : float
        Prices become whole steps of this [currency], above 0; what is less than a step is rounded to a hundredth.

    Raises
    ------
    NotAllowedError
        A figure outside its range.
    """

    price: float
    labour: float = 1.0
    step: float = 0.01

    def __post_init__(self) -> None:
        for field, factor in (("percent", self.price), ("labour percent", self.labour)):
            if not 0 < factor <= _MOST:
                raise NotAllowedError(field, factor * 100, phrase("above 0, up to {most}", most=_MOST * 100))
        if not 0 < self.step < math.inf:
            raise NotAllowedError("rounded to", self.step, "above 0")

    def of(self, price: float) -> float:
        """A price times the factor, rounded half up.

        Parameters
        ----------
        price : float
            Price [currency], 0 or more.

        Returns
        -------
        float
            Price [currency].

        Examples
        --------
        >>> Times(1.65, step=5.0).of(275.0), Times(1.65, step=5.0).of(2.0)
        (455.0, 3.3)
        """
        amount = round(price * self.price, 6)
        step = self.step if amount >= self.step else 0.01
        return round(math.floor(amount / step + 0.5 + 1e-9) * step, 2)


_MOST = 100
"""Our own wide bound."""


def multiplied(line: PriceLine, times: Times) -> PriceLine:
    """A line with its prices and hours multiplied.

    Parameters
    ----------
    line : PriceLine
        The line.
    times : Times
        By what.
    """
    low, usual, high = (times.of(price) for price in (line.price_low, line.price_usual, line.price_high))
    labour_h = round(line.labour_h * times.labour, 4)
    return replace(line, price_low=low, price_usual=usual, price_high=high, labour_h=labour_h)


def all_multiplied(prices: PriceList, times: Times) -> PriceList:
    """The list with every line's prices and hours multiplied; rates, tax and what a stop costs stay.

    Parameters
    ----------
    prices : PriceList
        The list.
    times : Times
        By what.
    """
    return replace(prices, lines=tuple(multiplied(line, times) for line in prices.lines))


def copied(prices: PriceList, source: MachineClass, target: MachineClass, times: Times) -> PriceList:
    """The list with the lines of one class put down for another as well, multiplied; those that stand there already stay.

    Parameters
    ----------
    prices : PriceList
        The list.
    source, target : MachineClass
        From which class, to which.
    times : Times
        By what.

    Raises
    ------
    NotAllowedError
        The target overlaps a class that has prices.
    """
    there = {(line.job, line.part) for line in prices.lines if line.which == target}
    new = [
        replace(multiplied(line, times), which=target)
        for line in prices.lines
        if line.which == source and (line.job, line.part) not in there
    ]
    return replace(prices, lines=(*prices.lines, *new))


@dataclass(frozen=True, slots=True)
class Moved:
    """One price or figure that is another than before.

    Parameters
    ----------
    which : MachineClass
        For which machines.
    job : JobKind or None
        The job of a line; None for a figure beside the lines.
    part : PartKind or None
        The part of a line.
    figure : str
        Name of a figure, as files name it; of a line "labour hours", "low price" and "high price" where the usual one stayed, and
        for its usual price nothing, or "a piece" where it is for that.
    before, after : float or None
        The usual price or the figure [currency, currency/h, h or 1]; None where there was none, or is none.
    """

    which: MachineClass
    job: JobKind | None
    part: PartKind | None
    figure: str
    before: float | None
    after: float | None


def moved(before: PriceList | None, after: PriceList) -> tuple[Moved, ...]:
    """What of a list is another than before, line by line.

    Parameters
    ----------
    before : PriceList or None
        As it was; None where there was none.
    after : PriceList
        As it is.
    """
    was, now = dict(_told(before)) if before is not None else {}, dict(_told(after))
    found = []
    for key in dict.fromkeys((*now, *was)):
        old, new = was.get(key), now.get(key)
        if old == new:
            continue
        which, job, part, figure = key
        if old is None or new is None or old[0] != new[0] or job is None:
            usual = [each[0] if each is not None else None for each in (old, new)]
            found.append(Moved(which, job, part, figure, *usual))
            continue
        pairs = zip(("low price", "high price"), old[1:], new[1:], strict=True)
        found += [
            Moved(which, job, part, words, was_it, is_it) for words, was_it, is_it in pairs if was_it != is_it
        ]
    return tuple(found)


_Key = tuple[MachineClass, JobKind | None, PartKind | None, str]


def _told(prices: PriceList) -> Iterator[tuple[_Key, tuple[float, ...]]]:
    """Every figure of a list under what it is; the usual price first."""
    for line in prices.lines:
        unit = "a piece" if line.per == "piece" else ""
        yield (line.which, line.job, line.part, unit), (line.price_usual, line.price_low, line.price_high)
        yield (line.which, line.job, line.part, "labour hours"), (line.labour_h,)
    yield (EVERY, None, None, "labour per hour"), (prices.labour_per_h,)
    if prices.tax_rate is not None:
        yield (EVERY, None, None, "tax percent"), (prices.tax_rate * 100,)
    if prices.stop is not None:
        for name, words in FIGURE_WORDS.items():
            amount = getattr(prices.stop, name, None)
            if amount is not None:
                yield (EVERY, None, None, words), (amount, *map(float, prices.stop.busy_months))
    for one in prices.figures:
        yield (one.which, None, None, FIGURE_WORDS[one.name]), (one.amount,)
    for reckoned in prices.owning:
        yield (reckoned.which, None, None, "standing per hour"), (reckoned.owning.standing_per_h,)
