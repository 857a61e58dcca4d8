"""A quote for one stop: one page for a customer, its tax apart, nothing of the yard's own reckoning on it."""

import datetime as dt

from pitchline.money.amount import Money
from pitchline.money.tax import Taxed, with_tax
from pitchline.papers import names, words
from pitchline.papers.press import press
from pitchline.papers.stop import PlannedStop
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.saying import says
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.verdict import Job, Verdict
from pitchline.words import in_english, say, translated, worded
from pitchline.words.called import job_called
from pitchline.words.labels import singular

VALID_DAYS = 30
"""How long a quote holds where no day is given: our own round figure."""
NOT_SEEN = in_english(
    "Prices are for what was seen and measured from outside. What is found once it is opened may change them; nothing further is "
    "done without being asked."
)


def quote_pdf(
    verdict: Verdict,
    stop: PlannedStop,
    valid_until: dt.date,
    units: UnitSystem = UnitSystem.METRIC,
    quoted_by: str = "",
    quoted_for: str = "",
    nth: str = "",
    on: dt.date | None = None,
    price_list: str = "",
) -> bytes:
    """A quote on one A4 page, the same bytes for the same input.

    Parameters
    ----------
    verdict : Verdict
        The machine.
    stop : PlannedStop
        What is quoted.
    valid_until : datetime.date
        Last day it holds.
    units : UnitSystem
        Metric or imperial.
    quoted_by, quoted_for : str
        The business and its customer; empty leaves room to write.
    nth : str
        Which of the machine's quotes of that day it is, such as "2".
    on : datetime.date or None
        The day of the quote; None takes that of the verdict.
    price_list : str
        Which price list it is made by, such as "price list 4 of 3 Aug 2026"; empty says nothing of it.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1 and PDF/A-2a.

    Raises
    ------
    NotAllowedError
        A last day before the day of the quote, or no job that is priced.

    References
    ----------
    ISO 14289-1 (PDF/UA-1) for the tags; the layout is our own.
    """
    on = on or verdict.as_of
    told = quote_story(verdict, stop, valid_until, units, on) | {
        "by": names.shortened(quoted_by),
        "for": names.shortened(quoted_for),
        "number": names.shortened(quote_number(verdict, nth, on)),
        "price_list": price_list,
    }
    pdf, _ = press("quote.typ", told, on, quoted_by)
    return pdf


def quote_number(verdict: Verdict, nth: str = "", on: dt.date | None = None) -> str:
    """The number a quote goes by.

    Parameters
    ----------
    verdict : Verdict
        The machine.
    nth : str
        Which of the machine's quotes of that day it is; for whoever keeps them to say.
    on : datetime.date or None
        The day of the quote; None takes that of the verdict.

    Returns
    -------
    str
        The machine's short name, the day, and which one, such as "EX-07-20261116-2": the same for the same verdict.
    """
    return "-".join(bit for bit in (verdict.machine.machine_id, f"{on or verdict.as_of:%Y%m%d}", nth) if bit)


def quote_story(
    verdict: Verdict, stop: PlannedStop, valid_until: dt.date, units: UnitSystem, on: dt.date | None = None
) -> dict[str, object]:
    """Everything the quote says.

    Parameters
    ----------
    verdict : Verdict
        The machine.
    stop : PlannedStop
        What is quoted.
    valid_until : datetime.date
        Last day it holds.
    units : UnitSystem
        Metric or imperial.
    on : datetime.date or None
        The day of the quote; None takes that of the verdict.

    Returns
    -------
    dict
        Text, lists and dicts, as the template expects them.

    Raises
    ------
    NotAllowedError
        A last day before the day of the quote, or no job that is priced.
    """
    priced = [(job, job.price) for job in stop.jobs if job.price is not None]
    if not priced:
        raise NotAllowedError(
            "quote", "no job with a price", "at least one job on the price list", "Add the jobs to the price list."
        )
    on = on or verdict.as_of
    check_until(valid_until, on)
    billed = [charge for charge in stop.charges if charge.billed]
    net = _net([price for _, price in priced], sum(_cents(charge.amount) for charge in billed), stop.currency)
    return {
        "title": worded("Quote for {machine}, {on}", machine=verdict.machine.name, on=words.day(on)).replace(
            words.GAP, " "
        ),
        "author": f"pitchline {verdict.version}",
        "name": verdict.machine.name,
        "name_short": names.shortened(verdict.machine.name),
        "machine_id": verdict.machine.machine_id,
        "kind": names.machine_known(verdict.machine, units),
        "hours": words.service_hours(verdict.from_service_h),
        "note": verdict.machine.note,
        "day": words.day(on),
        "valid_until": words.day(valid_until),
        "currency": stop.currency,
        "jobs": [_line(job, price, verdict, stop.currency) for job, price in priced],
        "charges": [
            {"what": words.first_up(say(charge.words)), "price": exact_amount(charge.amount)} for charge in billed
        ],
        **quote_sums(net, stop.tax_rate),
        "not_priced": [_title(job, verdict) for job in stop.jobs if job.price is None],
        "not_seen": _not_seen(verdict, on),
        "aid": words.working_aid(),
        "made": f"pitchline {verdict.version}",
    }


def check_until(valid_until: dt.date, on: dt.date) -> None:
    """Refuse a last day before the day of the quote.

    Raises
    ------
    NotAllowedError
        It is.
    """
    if valid_until < on:
        raise NotAllowedError(
            "valid until", valid_until, phrase("{day} or later", day=on), "Give a day after that of the quote."
        )


def _not_seen(verdict: Verdict, on: dt.date) -> str:
    """What the prices do not know, and how long ago it was looked at where that is not the same day."""
    if verdict.read_on is None or verdict.read_on == on:
        return translated(NOT_SEEN)
    return worded(
        "{not_seen} It was measured on {read_on}.",
        not_seen=translated(NOT_SEEN),
        read_on=words.day(verdict.read_on),
    )


def _title(job: Job, verdict: Verdict) -> str:
    said = words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear)))
    return worded("{said} (taken along)", said=said) if job.along else said


def _line(job: Job, price: Money, verdict: Verdict, currency: str) -> dict[str, str]:
    parts = [
        f"{as_figure(count, ',')}{words.GAP}× {say(piece)}"
        for piece, count in job.parts_needed
        if not says(piece, "piece.to_turn", "turn")
    ]
    return {
        "what": _title(job, verdict),
        "why": _why(job, currency),
        "parts": words.listed(parts) if parts else "",
        "price": exact_amount(price.usual),
    }


def _why(job: Job, currency: str) -> str:
    """Why the job is done now, in a few words a customer can check."""
    if job.call.asks:
        return job_called(job)
    joins = job.joins
    if joins is None or joins.own_h is None or joins.early_h < 0:
        return ""
    if joins.with_part is not None:
        return worded("goes with the new {with_part}", with_part=singular(joins.with_part))
    saves = joins.saves or 0.0
    more = (
        worded(
            "; apart it would cost about {currency}{gap}{saves} more",
            currency=currency,
            gap=words.GAP,
            saves=as_figure(saves),
        )
        if saves > 0
        else ""
    )
    return worded(
        "done with the rest; due by itself in about {own}{more}", own=words.hours(joins.own_h), more=more
    )


def _cents(amount: float) -> float:
    return round(amount * 100) / 100


def exact_amount(amount: float) -> str:
    """An amount to the cent without its currency, such as "1,234.50"."""
    return as_figure(amount, ",.2f")


def _net(prices: list[Money], beside: float, currency: str) -> Money:
    """The sum of what stands on the lines, each to the cent."""
    low, usual, high = (
        sum(_cents(getattr(price, figure)) for price in prices) + beside for figure in ("low", "usual", "high")
    )
    return Money(low, usual, high, currency)


def quote_sums(net: Money, rate: float | None) -> dict[str, str]:
    """The sum without tax, the tax, the sum with it, and how far it may move with what is found."""
    moves = {"range": _range(net)}
    if rate is None:
        return moves | {"net": exact_amount(net.usual), "tax_said": "", "tax": "", "gross": ""}
    taxed: Taxed = with_tax(net, rate)
    return moves | {
        "net": exact_amount(taxed.net.usual),
        "tax_said": f"{as_figure(rate * 100, '.4g')}{words.GAP}%",
        "tax": exact_amount(taxed.tax.usual),
        "gross": exact_amount(taxed.gross.usual),
    }


def _range(net: Money) -> str:
    """How far the sum may move with what is found; empty where the list has one price only."""
    told = words.amount_range(net)
    return (
        worded("{currency}{gap}{told} without tax", currency=net.currency, gap=words.GAP, told=told)
        if told
        else ""
    )
