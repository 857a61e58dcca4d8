"""A free quote of one machine: its own prices, what is asked for, the paper."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from pitchline.desk.bridge.machines import WHICH_ONE
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.clock import today
from pitchline.desk.freequote.forms import FreeQuoteForm, Row, rows_of
from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.freequote.stored import unpacked
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.prices import list_said, newest_prices, priced_machine, prices_of
from pitchline.money.prices import PriceList
from pitchline.papers.free_quote import QuoteHead, free_quote_pdf
from pitchline.papers.quote import VALID_DAYS
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.machine import Machine as TradeMachine
from pitchline.trade.machine import MachineKind, RunningGear
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import writing


@dataclass(frozen=True, slots=True)
class Ground:
    """What a free quote of a machine is made on.

    Parameters
    ----------
    machine : Machine
        Its row.
    known : TradeMachine
        The machine as papers say it.
    gear : RunningGear or None
        None where it is not entered.
    file : PriceFile
        The list in force.
    own : PriceList
        The machine's own prices of it.
    rows : list of Row
        What can be quoted.
    """

    machine: Machine
    known: TradeMachine
    gear: RunningGear | None
    file: PriceFile
    own: PriceList
    rows: list[Row]

    @property
    def by_mass(self) -> bool:
        """Whether the list has prices for classes by mass."""
        listed = prices_of(self.file)
        return any(
            one.by_mass for one in {line.which for line in listed.lines} | {one.which for one in listed.figures}
        )

    def form(self, data: dict[str, Any] | None = None, **more: Any) -> FreeQuoteForm:
        """The form, empty or as it was sent."""
        numbers = self.machine.business.numbers
        return FreeQuoteForm(
            data, numbers=numbers, on=today(), prices=self.own, rows=self.rows, gear=self.gear, **more
        )

    def head(self, customer: str, valid_until: dt.date, notes: str) -> QuoteHead:
        """What stands beside the lines; its number is found when it is kept."""
        business = self.machine.business
        return QuoteHead(
            machine=self.known,
            on=today(),
            valid_until=valid_until,
            number="",
            hours_h=self.machine.hours_h,
            by=business.paper_name,
            customer=customer,
            notes=notes,
            price_list=list_said(self.file),
            units=UnitSystem(business.units),
        )


def ground_of(machine: Machine) -> Ground | None:
    """What a free quote is made on; None without a price list."""
    file = newest_prices(machine.business)
    if file is None:
        return None
    try:
        dossier = dossier_of(machine)
    except (InputError, NotAllowedError):  # its page says what is wrong with the file; a quote needs none of it
        dossier = None
    known = dossier.machine if dossier is not None else None
    listed, priced = prices_of(file), priced_machine(machine, known)
    gear = dossier.gear if dossier is not None else None
    rows = rows_of(listed, priced, gear, UnitSystem(machine.business.units))
    which = {each: getattr(machine, each) for each in WHICH_ONE}
    bare = TradeMachine(machine.short_name, machine.name, MachineKind(machine.kind), **which)
    return Ground(machine, known or bare, gear, file, listed.for_machine(priced), rows)


def first_until() -> dt.date:
    """How long a quote holds where nobody says."""
    return today() + dt.timedelta(days=VALID_DAYS)


def paper_of(row: FreeQuoteRow) -> bytes:
    """The paper of a quote that was kept, the same again whenever it is asked for."""
    quote, head, way = unpacked(row.told)
    with writing(way):
        return free_quote_pdf(quote, head)
