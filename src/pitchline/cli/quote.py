"""`pitchline quote`: a quote for parts and jobs somebody asked for, without a walk-round or a plan."""

import argparse
import datetime as dt
import re
from pathlib import Path

from pitchline.cli.options import add_units, day, today
from pitchline.exchange.figures import number_of
from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.prices_file import read_prices
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.words import job_of, part_of
from pitchline.money.free_quote import ONCE, Asked, free_quote
from pitchline.money.prices import own_prices
from pitchline.papers.free_quote import QuoteHead, free_quote_pdf, line_said
from pitchline.papers.quote import VALID_DAYS, exact_amount
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.words import in_english, say, translated, worded

_LINE = re.compile(r"(?P<count>[0-9]{1,4}) +(?P<what>.+?)(?: +at +(?P<price>\S+?))?(?: +because +(?P<why>.+))?")
_OWN = re.compile(r"(?P<words>.+?) +at +(?P<price>\S+)")
_SAID = in_english(
    "how many, a job and a part, such as '2 replace bottom roller' or '1 replace sprocket at 600 because agreed'"
)


def add(quoting: argparse.ArgumentParser) -> None:
    """Its options."""
    quoting.add_argument("machine", type=Path, metavar="MACHINE.json", help=translated("machine file"))
    quoting.add_argument(
        "--prices",
        type=Path,
        required=True,
        metavar="PRICES.csv",
        help=translated("the yard's price list, .csv or .xlsx"),
    )
    quoting.add_argument(
        "--line",
        action="append",
        default=[],
        metavar="TEXT",
        help=worded("{said}; once for each line", said=translated(_SAID)),
    )
    quoting.add_argument(
        "--own",
        action="append",
        default=[],
        metavar="TEXT",
        help=translated("a line in your own words: 'carriage at 35'"),
    )
    quoting.add_argument(
        "--charge",
        action="append",
        default=[],
        choices=[name.replace("_", "-") for name in ONCE],
        help=translated("what of the price list is charged once; once for each"),
    )
    quoting.add_argument(
        "--sides-opened", type=int, default=0, metavar="N", help=translated("tracks whose opening is charged")
    )
    quoting.add_argument("--parts-alone", action="store_true", help=translated("without labour"))
    quoting.add_argument(
        "--gear-list",
        metavar="NAME",
        help=translated("the gear list entry it is fitted with, for prices of its own"),
    )
    quoting.add_argument("--by", default="", metavar="NAME", help=translated("the business, on the quote"))
    quoting.add_argument(
        "--for", dest="customer", default="", metavar="NAME", help=translated("the customer, on the quote")
    )
    quoting.add_argument("--note", default="", metavar="TEXT", help=translated("a note on the quote"))
    quoting.add_argument(
        "--valid-until",
        type=day,
        metavar="DATE",
        help=worded("its last day; {valid_days} days on if left out", valid_days=VALID_DAYS),
    )
    quoting.add_argument("--out", type=Path, required=True, metavar="OUT.pdf", help=translated("where to"))
    add_units(quoting)


def run(asked: argparse.Namespace) -> None:
    """Price the lines, write the paper, say what it comes to."""
    if asked.out.suffix.lower() != ".pdf":
        raise NotAllowedError("--out", asked.out.name, "a file name ending in .pdf", "Change the ending.")
    dossier, problems = read_machine(asked.machine), list[Problem]()
    lines = []
    for option, texts, reads in (("--line", asked.line, _line), ("--own", asked.own, _own)):
        for text in texts:
            try:
                lines.append(reads(text))
            except NotAllowedError as error:
                problems.append(error.problem.at(option))
    if problems:
        raise InputError(tuple(problems))
    gear = (asked.gear_list,) if asked.gear_list else ()
    own = own_prices(read_prices(asked.prices), dossier.machine, gear)
    if own is None:
        raise AssertionError("prices that were read are there")
    charges = [name.replace("-", "_") for name in asked.charge]
    quote = free_quote(own, lines, charges, asked.sides_opened, not asked.parts_alone)
    on, last = today(), dossier.last_walk_round
    head = QuoteHead(
        dossier.machine,
        on,
        asked.valid_until or on + dt.timedelta(days=VALID_DAYS),
        f"{dossier.machine.machine_id}-{on:%Y%m%d}",
        last.service_h if last is not None else None,
        asked.by,
        asked.customer,
        asked.note,
        worded("price list {prices}", prices=asked.prices.name),
        asked.units,
    )
    write_whole(asked.out, free_quote_pdf(quote, head))
    for line in quote.lines:
        price = (
            exact_amount(line.price.usual)
            if line.price is not None
            else translated("no price: to be quoted apart")
        )
        print(f"{line_said(line, quote.with_labour)}: {price}")
    for charge in quote.charges:
        print(f"{say(charge.words)}: {exact_amount(charge.amount)}")
    if quote.net is not None:
        print(
            worded(
                "Quote: {out}, {currency} {usual} without tax",
                out=asked.out,
                currency=quote.currency,
                usual=exact_amount(quote.net.usual),
            )
        )


def _line(text: str) -> Asked:
    found = _LINE.fullmatch(text.strip())
    if found is None:
        raise NotAllowedError("line", text, _SAID, "Type it so.")
    price = number_of(found["price"], "price") if found["price"] else None
    return Asked(*_job_and_part(found["what"]), int(found["count"]), "", price, found["why"] or "")


def _job_and_part(text: str) -> tuple[JobKind, PartKind]:
    """The job and the part that words name, wherever one ends and the other begins."""
    words = text.split()
    for n in range(len(words) - 1, 0, -1):
        try:
            return job_of(" ".join(words[:n])), part_of(" ".join(words[n:]))
        except NotAllowedError:
            continue
    raise NotAllowedError("line", text, "a job and a part of the price list", "Use the words of the price list.")


def _own(text: str) -> Asked:
    found = _OWN.fullmatch(text.strip())
    if found is None:
        raise NotAllowedError("line", text, "words and a price, such as 'carriage at 35'", "Type it so.")
    return Asked(None, None, 1, found["words"], number_of(found["price"], "price"))
