"""A free quote on the page that every quote has: what was asked for, nothing of a verdict."""

import datetime as dt
from dataclasses import dataclass

from pitchline import __version__
from pitchline.money.free_quote import FreeQuote, QuoteLine
from pitchline.papers import names, words
from pitchline.papers.press import press
from pitchline.papers.quote import check_until, exact_amount, quote_sums
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import RENEWS
from pitchline.trade.machine import Machine
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure
from pitchline.words import counted, in_english, say, translated, worded
from pitchline.words.labels import plural, singular

AS_ASKED = in_english(
    "Prices are for what was asked for; nothing was looked at or measured for this quote. What is found once it is opened may "
    "change them; nothing further is done without being asked."
)
PARTS_ALONE = in_english(
    "Prices are for the parts asked for, without labour; whether they fit is checked before they are ordered."
)


@dataclass(frozen=True, slots=True)
class QuoteHead:
    """What stands on a free quote beside its lines.

    Parameters
    ----------
    machine : Machine
        The machine it is for.
    on, valid_until : datetime.date
        Its day, and the last day it holds.
    number : str
        Its number.
    hours_h : float or None
        Hours of the machine [h]; None where they are not known.
    by, customer : str
        The business and its customer; empty leaves room to write.
    notes : str
        Whatever else is to be said on it.
    price_list : str
        Which price list it is made by.
    units : UnitSystem
        Metric or imperial.
    """

    machine: Machine
    on: dt.date
    valid_until: dt.date
    number: str
    hours_h: float | None = None
    by: str = ""
    customer: str = ""
    notes: str = ""
    price_list: str = ""
    units: UnitSystem = UnitSystem.METRIC


def free_quote_pdf(quote: FreeQuote, head: QuoteHead) -> bytes:
    """The quote on one A4 page, the same bytes for the same input.

    Parameters
    ----------
    quote : FreeQuote
        What is quoted.
    head : QuoteHead
        For whom and when.

    Returns
    -------
    bytes
        A PDF after PDF/UA-1.

    Raises
    ------
    NotAllowedError
        A last day before the day of the quote, or no line that is priced.
    """
    pdf, _ = press("quote.typ", free_quote_story(quote, head), head.on, head.by)
    return pdf


def free_quote_story(quote: FreeQuote, head: QuoteHead) -> dict[str, object]:
    """Everything the quote says, as its template expects it.

    Raises
    ------
    NotAllowedError
        A last day before the day of the quote, or no line that is priced.
    """
    net = quote.net
    if net is None:
        raise NotAllowedError("quote", "no line with a price", "at least one line with a price", "Type a price.")
    check_until(head.valid_until, head.on)
    priced = [line for line in quote.lines if line.price is not None]
    return {
        "title": worded("Quote for {machine}, {on}", machine=head.machine.name, on=words.day(head.on)).replace(
            words.GAP, " "
        ),
        "author": f"pitchline {__version__}",
        "name": head.machine.name,
        "name_short": names.shortened(head.machine.name),
        "machine_id": head.machine.machine_id,
        "kind": names.machine_known(head.machine, head.units),
        "hours": words.service_hours(head.hours_h) if head.hours_h is not None else translated("hours not read"),
        "note": head.machine.note,
        "day": words.day(head.on),
        "valid_until": words.day(head.valid_until),
        "by": names.shortened(head.by),
        "for": names.shortened(head.customer),
        "number": names.shortened(head.number),
        "currency": quote.currency,
        "lines_said": translated("work, parts and labour")
        if quote.with_labour
        else translated("parts, without labour"),
        "jobs": [_line(line, quote.with_labour) for line in priced],
        "charges": [
            {"what": words.first_up(say(charge.words)), "price": exact_amount(charge.amount)}
            for charge in quote.charges
        ],
        **quote_sums(net, quote.tax_rate),
        "not_priced": [line_said(line, quote.with_labour) for line in quote.lines if line.price is None],
        "not_seen": translated(AS_ASKED if quote.with_labour else PARTS_ALONE),
        "notes": head.notes,
        "price_list": head.price_list,
        "aid": words.working_aid(),
        "made": f"pitchline {__version__}",
    }


def line_said(line: QuoteLine, with_labour: bool = True) -> str:
    """A line in a few words, such as "Replace 2 bottom rollers", or "2 × bottom roller" where it is the part alone."""
    asked = line.asked
    if asked.job is None or asked.part is None:
        return words.first_up(asked.words)
    what = plural(asked.part) if asked.count > 1 else singular(asked.part)
    if asked.part is PartKind.BUSH and line.per != "piece":
        # the price is that of a whole side: "turn 2 bushes" would be two of a hundred
        alone = not with_labour and asked.job in RENEWS
        job = plural(asked.part) if alone else names.job_said(asked.job, plural(asked.part))
        said = counted("{job}, {n} side", "{job}, {n} sides", asked.count).format(
            job=words.first_up(job), n=as_figure(asked.count, ",")
        )
    elif not with_labour and asked.job in RENEWS:
        said = f"{as_figure(asked.count, ',')}{words.GAP}× {singular(asked.part)}"
    elif line.per == "piece":
        said = worded(
            "{plural}, {count}{gap}pieces",
            plural=words.first_up(names.job_said(asked.job, plural(asked.part))),
            count=as_figure(asked.count, ","),
            gap=words.GAP,
        )
    else:
        said = words.first_up(names.job_said(asked.job, f"{as_figure(asked.count, ',')}{words.GAP}{what}"))
    return f"{said}: {asked.words}" if asked.words else said


def _line(line: QuoteLine, with_labour: bool) -> dict[str, str]:
    hours = worded("labour {labour}", labour=words.labour(line.labour_h)) if with_labour and line.labour_h else ""
    price = line.price
    return {
        "what": line_said(line, with_labour),
        "why": "",
        "parts": hours,
        "price": exact_amount(price.usual) if price is not None else "",
    }
