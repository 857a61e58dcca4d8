"""The papers of a plan's first stop, made from the stored verdict: the same again whenever they are asked for on one day."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pitchline.desk.machine.papers import PDF, XLSX
from pitchline.desk.machine.papers import nth_of as judged_nth_of
from pitchline.desk.spoken import later
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.money.prices import PriceList
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.quote import VALID_DAYS, quote_pdf
from pitchline.papers.stop import PlannedStop, planned_stops
from pitchline.papers.work_order import work_order_pdf
from pitchline.papers.workbook import workbook_xlsx
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict
from pitchline.words import translated


@dataclass(frozen=True, slots=True)
class PaperTold:
    """What a paper of a plan is made from.

    Parameters
    ----------
    verdict : Verdict
        With its plan.
    prices : PriceList or None
        The list it was priced with.
    units : UnitSystem
        The judgement's.
    by, customer : str
        The business's name on papers, and the machine's customer.
    on : datetime.date
        The day they bear.
    nth : str
        Which plan of which verdict of the day it is, for the number of its quote.
    place, address : str
        Where the machine stands, and the address of its page.
    price_list : str
        Which list it was priced with.
    shelf : callable
        Stops with what lies on the yard's shelf for each; as they are where nobody looks there.
    """

    verdict: Verdict
    prices: PriceList | None
    units: UnitSystem
    on: dt.date
    by: str = ""
    customer: str = ""
    nth: str = ""
    place: str = ""
    address: str = ""
    price_list: str = ""
    shelf: Callable[[Sequence[PlannedStop]], Sequence[PlannedStop]] = tuple

    @property
    def stops(self) -> tuple[PlannedStop, ...]:
        """Every stop, what falls due beside the plan included."""
        return tuple(self.shelf(planned_stops(self.verdict, self.prices, self.on)))

    def first(self) -> PlannedStop:
        """The first stop.

        Raises
        ------
        NotAllowedError
            The plan has none.
        """
        if not self.stops:
            raise NotAllowedError(
                "paper", translated("no lay-up"), "a plan with at least one lay-up", "Plan further ahead."
            )
        return self.stops[0]


def nth_of(source: Plan | DecidedPlan, on: dt.date) -> str:
    """Such as "2-P1" for the first plan of the day's second verdict, "2-P1-K1" where somebody kept it their way; it stays.

    On a later day the verdict's own stands before it.
    """
    plan = source.plan if isinstance(source, DecidedPlan) else source
    plans = Plan.objects.filter(judgement=plan.judgement_id, asked_at__lte=plan.asked_at).count()
    said = f"{judged_nth_of(plan.judgement)}-P{plans}"
    if plan.judgement.as_of != on:
        said = f"{plan.judgement.as_of:%Y%m%d}-{said}"
    if isinstance(source, DecidedPlan):
        said += f"-K{DecidedPlan.objects.filter(plan=plan, at__lte=source.at).count()}"
    return said


def _quote(told: PaperTold) -> bytes:
    until = told.on + dt.timedelta(days=VALID_DAYS)
    return quote_pdf(
        told.verdict, told.first(), until, told.units, told.by, told.customer, told.nth, told.on, told.price_list
    )


PLAN_PAPERS: dict[str, tuple[str, str, Callable[[PaperTold], bytes]]] = {
    "quote.pdf": (later("Quote"), PDF, _quote),
    "workshop.pdf": (
        later("For the workshop"),
        PDF,
        lambda told: work_order_pdf(told.verdict, told.first(), told.units, told.on, told.by),
    ),
    "work.xlsx": (later("Workbook"), XLSX, lambda told: workbook_xlsx(told.verdict, list(told.stops))),
    "jobs.ics": (
        later("Calendar"),
        "text/calendar; charset=utf-8",
        lambda told: calendar_ics(told.verdict, told.stops, told.on, told.place, told.address).ics,
    ),
}
"""Each paper by its file name: its name, its kind, how it is made."""


def offered(stops: Sequence[PlannedStop]) -> tuple[tuple[str, str], ...]:
    """File names and names of the papers these stops can give: a quote only where the first of them is priced."""
    names = [name for name in PLAN_PAPERS if name != "quote.pdf" or stops[0].priced] if stops else []
    return tuple((name, PLAN_PAPERS[name][0]) for name in names)
