"""The yard's own price list, and what a job costs by it."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Protocol, TypeVar

from pitchline.money.machine_class import EVERY, MachineClass, PricedMachine
from pitchline.money.owning import OWNING_WORDS, Owning
from pitchline.money.stop_costs import StopCosts
from pitchline.money.tax import checked_tax
from pitchline.trade.asking import checked_currency
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import Machine
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
    which : MachineClass
        For which machines.

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
    which: MachineClass = EVERY

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
class ClassFigure:
    """A figure of the list beside its lines, for one class of machine.

    Parameters
    ----------
    name : str
        Which figure: "labour_per_h", or one of `StopCosts` but the months [currency or currency/h].
    amount : float
        How much [currency or currency/h], 0 or more.
    which : MachineClass
        For which machines; never all of them.

    Raises
    ------
    NotAllowedError
        Another figure, one below 0, or all machines.
    """

    name: str
    amount: float
    which: MachineClass

    def __post_init__(self) -> None:
        if self.name not in FIGURE_WORDS:
            raise NotAllowedError("figure", self.name, ", ".join(FIGURE_WORDS))
        if not (math.isfinite(self.amount) and self.amount >= 0):
            raise NotAllowedError(FIGURE_WORDS[self.name], self.amount, "0 or more")
        _checked_class(FIGURE_WORDS[self.name], self.which)


@dataclass(frozen=True, slots=True)
class ClassOwning:
    """What the standing hour of one class of machine is reckoned from.

    Parameters
    ----------
    owning : Owning
        The figures.
    which : MachineClass
        For which machines; all of them where they have none of their own.
    """

    owning: Owning
    which: MachineClass = EVERY


def _checked_class(words: str, which: MachineClass) -> None:
    if which == EVERY:
        raise NotAllowedError(
            words, "all machines", "a class of machine", "For all machines it stands in the head."
        )


FIGURE_WORDS = {
    "labour_per_h": "labour per hour",
    "lorry": "lorry",
    "call_out": "call-out",
    "fitter_day": "fitter's day",
    "standing_per_h": "standing per hour",
    "busy_standing_per_h": "standing per hour busy",
    "opening_per_side": "opening a track per side",
}
"""Figures of a price list that a class of machine may have of its own, as files name them."""
STANDING = ("standing_per_h", "busy_standing_per_h")
"""Taken together: a class that has one of them takes nothing of the other from all machines."""


class _OfClass(Protocol):
    @property
    def which(self) -> MachineClass: ...


_Of = TypeVar("_Of", bound=_OfClass)


def _closest(found: Iterable[_Of], machine: PricedMachine) -> _Of | None:
    """The one that comes closest to a machine; None where none is for it."""
    own = (one for one in found if one.which.holds(machine))
    return max(own, key=lambda one: one.which.nearness(machine), default=None)


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
        Each job and part once for each class of machine.
    source : str
        Where the list is from, as entered.
    tax_rate : float or None
        Tax as a share of a price [1], 0 to 1; None where it is not entered, and then no tax is shown.
    stop : StopCosts or None
        What a stop costs beside its jobs; None where nothing of it is entered.
    figures : tuple of ClassFigure
        Labour rate and cost of a stop for classes of machine of their own.
    owning : tuple of ClassOwning
        What a standing hour is reckoned from, where it is not entered itself.

    Raises
    ------
    NotAllowedError
        A currency that is not three capital letters, a rate outside its range, a job listed twice, classes of machine that
        overlap, or a standing hour both entered and reckoned.

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
    figures: tuple[ClassFigure, ...] = ()
    owning: tuple[ClassOwning, ...] = ()

    def __post_init__(self) -> None:
        checked_currency(self.currency)
        if not (math.isfinite(self.labour_per_h) and self.labour_per_h >= 0):
            raise NotAllowedError("labour rate", self.labour_per_h, "0 or more")
        if self.tax_rate is not None:
            checked_tax(self.tax_rate)
        lines: dict[str, list[MachineClass]] = {}
        for line in self.lines:
            _take_once(lines, f"{line.job.value} {line.part.value}", line.which, "each job and part once")
        for figure in self.figures:
            _take_once(lines, FIGURE_WORDS[figure.name], figure.which, "each figure once")
        for one in self.owning:
            _take_once(lines, OWNING_WORDS["price_new"], one.which, "each figure once")
            typed = [figure.which for figure in self.figures if figure.name == "standing_per_h"]
            if self.stop is not None and self.stop.standing_per_h is not None:
                typed.append(EVERY)
            if one.which in typed:
                allowed = "entered, or reckoned from owning and operating"
                raise NotAllowedError("standing per hour", "both", allowed, "Leave one of them out.")
        busy = [figure for figure in self.figures if figure.name == "busy_standing_per_h"]
        if busy and not (self.stop and self.stop.busy_months):
            step = "Enter them and the rate for all machines, or no busy rate."
            raise NotAllowedError("busy months", "nothing", "months from 1 to 12, such as 4-10", step)

    def line_for(self, job: JobKind, part: PartKind) -> PriceLine | None:
        """The line for a job on a part that is for all machines: of a list that `for_machine` gave, the machine's own.

        Returns
        -------
        PriceLine or None
            None when the list has no such line. Measuring again costs what looking further does, unless the list says otherwise.
        """
        words = (job, JobKind.INVESTIGATE) if job is JobKind.MEASURE else (job,)
        every = [line for line in self.lines if line.part is part and line.which == EVERY]
        return next((line for word in words for line in every if line.job is word), None)

    def own_line(self, job: JobKind, part: PartKind, machine: PricedMachine) -> PriceLine | None:
        """The line that comes closest to a machine: its gear list entry's before its class's, that before all machines'.

        Parameters
        ----------
        job : JobKind
            What is done.
        part : PartKind
            To what.
        machine : PricedMachine
            The machine.

        Returns
        -------
        PriceLine or None
            As it stands on the list, so that it says for which machines; None where the list has none for this one.
        """
        return _closest((line for line in self.lines if line.job is job and line.part is part), machine)

    def for_machine(self, machine: PricedMachine) -> "PriceList":
        """The prices of one machine, each said once and for all.

        Parameters
        ----------
        machine : PricedMachine
            The machine.

        Returns
        -------
        PriceList
            Of each job and part the line that comes closest, of each figure likewise; a standing hour that is reckoned is
            entered.
        """
        if all(line.which == EVERY for line in self.lines) and not self.figures and not self.owning:
            return self
        own: dict[tuple[JobKind, PartKind], list[PriceLine]] = {}
        for one in self.lines:
            own.setdefault((one.job, one.part), []).append(one)
        lines = [line for found in own.values() if (line := _closest(found, machine)) is not None]
        rate = self.own_figure("labour_per_h", machine)
        return replace(
            self,
            labour_per_h=self.labour_per_h if rate is None else rate.amount,
            lines=tuple(replace(line, which=EVERY) for line in lines),
            stop=self._stop_of(machine),
            figures=(),
            owning=(),
        )

    def own_figure(self, name: str, machine: PricedMachine) -> ClassFigure | None:
        """The figure that comes closest to a machine; None where it has that of all machines.

        Parameters
        ----------
        name : str
            Which figure, as in `ClassFigure`.
        machine : PricedMachine
            The machine.
        """
        return _closest((one for one in self.figures if one.name == name), machine)

    def _stop_of(self, machine: PricedMachine) -> StopCosts | None:
        once: dict[str, Any] = {
            name: found.amount
            for name in FIGURE_WORDS
            if name not in ("labour_per_h", *STANDING) and (found := self.own_figure(name, machine)) is not None
        }
        standing = self._standing_of(machine)
        if not once and standing is None:
            return self.stop
        return replace(self.stop or StopCosts(), **once, **(standing or {}))

    def _standing_of(self, machine: PricedMachine) -> dict[str, Any] | None:
        """What of `StopCosts` a class of this machine, or the reckoning, says of a standing hour; None where neither does."""
        typed = {name: one for name in STANDING if (one := self.own_figure(name, machine)) is not None}
        reckoned = _closest(self.owning, machine)
        found = (*typed.values(), *([reckoned] if reckoned else ()))
        if not found:
            return None
        closest = max(one.which.rank for one in found)
        here: dict[str, float | None] = {
            name: one.amount for name, one in typed.items() if one.which.rank == closest
        }
        if reckoned is not None and reckoned.which.rank == closest:
            here.setdefault("standing_per_h", reckoned.owning.standing_per_h)
        if closest == EVERY.rank and self.stop is not None:
            here["busy_standing_per_h"] = self.stop.busy_standing_per_h
        busy = here.get("busy_standing_per_h")
        months = self.stop.busy_months if self.stop is not None and busy is not None else ()
        return {"standing_per_h": here.get("standing_per_h"), "busy_standing_per_h": busy, "busy_months": months}


def own_prices(prices: PriceList | None, machine: Machine, gear: tuple[str, ...] = ()) -> PriceList | None:
    """The prices of one machine, by its family, its mass and its gear list entry.

    Parameters
    ----------
    prices : PriceList or None
        The yard's list.
    machine : Machine
        The machine.
    gear : tuple of str
        Names of the gear list's entry it is fitted with.

    Returns
    -------
    PriceList or None
        None without a list.
    """
    return prices and prices.for_machine(PricedMachine(machine.kind, machine.mass_kg, gear))


def _take_once(taken: dict[str, list[MachineClass]], what: str, which: MachineClass, allowed: str) -> None:
    known = taken.setdefault(what, [])
    if which in known:
        raise NotAllowedError("price list", phrase("{what} twice", what=what), allowed)
    if any(which.overlaps(other) for other in known):
        step = "Let one class begin where the other ends."
        raise NotAllowedError("price list", what, "classes of machine that do not overlap", step)
    known.append(which)
