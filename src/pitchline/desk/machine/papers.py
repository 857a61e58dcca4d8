"""A machine's papers, made from its stored verdict: an old one prints the same again."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from pitchline.desk.bridge.figures import verdict_seen, verdict_text
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.page_facts import told as told_of
from pitchline.desk.people.who import prices_seen
from pitchline.desk.prices import judged_prices, list_said
from pitchline.desk.spoken import later
from pitchline.money.prices import PriceList
from pitchline.papers.advert import advert_text
from pitchline.papers.buyer import buyer_pdf
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.paper import verdict_pdf
from pitchline.papers.photos import Photo
from pitchline.papers.quote import VALID_DAYS, quote_pdf
from pitchline.papers.stop import PlannedStop, next_stop
from pitchline.papers.work_order import work_order_pdf
from pitchline.papers.workbook import workbook_xlsx
from pitchline.trade.asking import AskingPrice
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import writing
from pitchline.verdict import Verdict
from pitchline.words import translated

PDF = "application/pdf"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@dataclass(frozen=True, slots=True)
class PaperTold:
    """What a paper is made from.

    Parameters
    ----------
    verdict : Verdict
        As it was given.
    prices : PriceList or None
        The list it was priced with.
    units : UnitSystem
        The yard's.
    text : str
        The verdict as JSON, as stored.
    by, customer : str
        The business's name on papers, and the machine's customer.
    nth : str
        Which verdict of the machine and the day it is, for the number of its quote.
    place, address : str
        Where the machine stands, and the address of its page.
    asking : AskingPrice or None
        What is asked for it.
    photos : callable
        Its photos, asked only where a paper shows them.
    price_list : str
        Which list it was priced with.
    """

    verdict: Verdict
    prices: PriceList | None
    units: UnitSystem
    text: str
    by: str = ""
    customer: str = ""
    nth: str = ""
    place: str = ""
    address: str = ""
    asking: AskingPrice | None = None
    photos: Callable[[], Sequence[Photo]] = tuple
    price_list: str = ""

    def stop(self) -> PlannedStop:
        """The next stop.

        Raises
        ------
        NotAllowedError
            Nothing falls due inside the booking window.
        """
        found = next_stop(self.verdict, self.prices)
        if found is None:
            allowed = translated("a machine with work due inside its booking window")
            raise NotAllowedError(
                "paper", translated("no job called stop or book"), allowed, "Come back when work is due."
            )
        return found


def _quote(told: PaperTold) -> bytes:
    until = told.verdict.as_of + dt.timedelta(days=VALID_DAYS)
    return quote_pdf(
        told.verdict,
        told.stop(),
        until,
        told.units,
        told.by,
        told.customer,
        told.nth,
        price_list=told.price_list,
    )


def _workbook(told: PaperTold) -> bytes:
    found = next_stop(told.verdict, told.prices)
    return workbook_xlsx(told.verdict, [found] if found else [])


def _calendar(told: PaperTold) -> bytes:
    return calendar_ics(told.verdict, place=told.place, address=told.address).ics


def _buyer(told: PaperTold) -> bytes:
    return buyer_pdf(told.verdict, told.units, told.by, told.asking, told.photos())


def _colleague(told: PaperTold) -> bytes:
    return verdict_pdf(told.verdict, told.units, told.by, told.photos())


def _workshop(told: PaperTold) -> bytes:
    return work_order_pdf(told.verdict, told.stop(), told.units, by=told.by)


PAPERS: dict[str, tuple[str, str, Callable[[PaperTold], bytes]]] = {
    "buyer.pdf": (later("For a buyer"), PDF, _buyer),
    "workshop.pdf": (later("For the workshop"), PDF, _workshop),
    "colleague.pdf": (later("For a colleague"), PDF, _colleague),
    "quote.pdf": (later("Quote"), PDF, _quote),
    "advert.txt": (
        later("Advert"),
        "text/plain; charset=utf-8",
        lambda told: advert_text(told.verdict, told.units, told.asking).encode(),
    ),
    "work.xlsx": (later("Workbook"), XLSX, _workbook),
    "jobs.ics": (later("Calendar"), "text/calendar; charset=utf-8", _calendar),
    "verdict.json": (later("All figures, for programs"), "application/json", lambda told: told.text.encode()),
}
"""Each paper by its file name: its name, its kind, how it is made."""
WITH_PRICES = frozenset(("quote.pdf", "work.xlsx", "verdict.json"))
"""Those that say what the price list says; whoever sees no prices does not get them."""
EARLIER_NAMES = {"verdict.pdf": "colleague.pdf", "work-order.pdf": "workshop.pdf"}
"""File names of before there were three papers for three readers; they still give the same."""


def nth_of(judgement: Judgement) -> str:
    """Which verdict of its machine and its day this is, from 1; judgements are only ever added, so it stays."""
    before = Judgement.objects.filter(
        machine=judgement.machine_id, as_of=judgement.as_of, made_at__lte=judgement.made_at
    )
    return str(before.count())


def paper_of(judgement: Judgement, name: str, address: str = "") -> bytes:
    """One paper of one judgement; `address` is that of its machine's page.

    Raises
    ------
    NotAllowedError
        It has nothing to tell: no work due, or no prices for a quote.
    """
    prices = judged_prices(judgement) if prices_seen() else None
    told = PaperTold(
        verdict_seen(judgement),
        prices,
        UnitSystem(judgement.units),
        verdict_text(judgement),
        judgement.business.paper_name,
        judgement.machine.customer,
        nth_of(judgement),
        judgement.machine.place,
        address,
        judgement.machine.asking_price if prices_seen() else None,
        partial(photos_of, judgement.machine),
        list_said(judgement.prices),
    )
    if name == "quote.pdf" and prices is None:
        raise NotAllowedError(
            "quote", translated("no price list"), "a yard with a price list", "Enter prices first."
        )
    with writing(told.verdict.writing):
        return PAPERS[EARLIER_NAMES.get(name, name)][2](told)


def kind_of(name: str) -> str:
    """What kind of content a paper has; empty where there is no such paper."""
    return PAPERS[found][1] if (found := EARLIER_NAMES.get(name, name)) in PAPERS else ""


def photos_of(machine: Machine) -> list[Photo]:
    """Photos of a machine for its papers, of the whole machine first: from the app that keeps them."""
    found = told_of("photos", machine)
    return found if isinstance(found, list) else []


def offered(verdict: Verdict, priced: bool) -> list[tuple[str, str]]:
    """File names and names of the papers this verdict can give: a quote only where a job of its stop has a price."""
    due = next_stop(verdict, None)
    lacking = set() if due else {"quote.pdf", "workshop.pdf"}
    lacking |= set() if priced and due and due.priced else {"quote.pdf"}
    lacking |= set() if prices_seen() else WITH_PRICES
    return [(name, words) for name, (words, _, _) in PAPERS.items() if name not in lacking]


def not_for(name: str) -> bool:
    """Whether whoever asks may not have this paper, because it says prices."""
    return name in WITH_PRICES and not prices_seen()
