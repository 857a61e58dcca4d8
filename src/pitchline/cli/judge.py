"""`pitchline judge`: one machine from its file and sheets, with every paper asked for."""

import argparse
import datetime as dt
import sys
from pathlib import Path

from pitchline.cli.from_files import show, verdict_of
from pitchline.cli.options import (
    PLAN_OPTIONS,
    add_business,
    add_plan,
    add_units,
    day,
    day_or_today,
    learned_in,
    planning_of,
    today,
)
from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge.age import age_said
from pitchline.money.prices import PriceList
from pitchline.papers.quote import VALID_DAYS, quote_pdf
from pitchline.papers.stop import PlannedStop, next_stop, planned_stops
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import writing
from pitchline.verdict import Verdict
from pitchline.words import say, translated, worded

_ENDINGS = {
    "buyer": ".pdf",
    "quote": ".pdf",
    "workshop": ".pdf",
    "colleague": ".pdf",
    "advert": ".txt",
    "workbook": ".xlsx",
    "calendar": ".ics",
}
"""Options of `judge` that name a file to write, and its ending."""


def add(judging: argparse.ArgumentParser) -> None:
    """Its options."""
    judging.add_argument("machine", type=Path, metavar="MACHINE.json", help=translated("machine file"))
    judging.add_argument(
        "--sheet",
        type=Path,
        nargs="+",
        action="extend",
        default=[],
        metavar="SHEET",
        help=translated("filled sheets, .csv or .xlsx"),
    )
    judging.add_argument(
        "--prices", type=Path, metavar="PRICES.csv", help=translated("the yard's price list, .csv or .xlsx")
    )
    judging.add_argument(
        "--gear-list",
        metavar="NAME",
        help=translated("the gear list entry it is fitted with, where the price list has prices for that"),
    )
    judging.add_argument(
        "--as-of",
        type=day_or_today,
        metavar="DATE",
        help=translated("day to judge for, YYYY-MM-DD or the word today; the last walk-round's if left out"),
    )
    judging.add_argument(
        "--constants", type=Path, metavar="FILE", help=translated("constants learned from the yard's fleet")
    )
    judging.add_argument(
        "--json", action="store_true", help=translated("print the verdict as JSON instead of the screen")
    )
    add_plan(judging)
    _add_papers(judging)
    add_business(judging)
    add_units(judging)


def _add_papers(judging: argparse.ArgumentParser) -> None:
    judging.add_argument(
        "--buyer",
        type=Path,
        metavar="OUT.pdf",
        help=translated("for a buyer: what it is, how worn, what falls due and costs"),
    )
    judging.add_argument(
        "--workshop",
        "--work-order",
        type=Path,
        metavar="OUT.pdf",
        help=translated("for the workshop: the order for what falls due, in the order of work"),
    )
    judging.add_argument(
        "--colleague",
        "--pdf",
        type=Path,
        metavar="OUT.pdf",
        help=translated("for a colleague: how each figure came about"),
    )
    judging.add_argument(
        "--advert", type=Path, metavar="OUT.txt", help=translated("write a text to paste into an advert")
    )
    judging.add_argument(
        "--quote", type=Path, metavar="OUT.pdf", help=translated("write a quote for what falls due")
    )
    judging.add_argument(
        "--valid-until",
        type=day,
        metavar="DATE",
        help=worded("last day of the quote; {valid_days} days on if left out", valid_days=VALID_DAYS),
    )
    judging.add_argument(
        "--workbook", type=Path, metavar="OUT.xlsx", help=translated("write jobs, order list and worth")
    )
    judging.add_argument(
        "--calendar", type=Path, metavar="OUT.ics", help=translated("write the jobs as calendar entries")
    )
    judging.add_argument(
        "--asking-price",
        type=float,
        metavar="N",
        help=translated(
            "what is asked for the machine, without tax: gives an offer; the machine file's if left out"
        ),
    )


def run(asked: argparse.Namespace) -> None:
    """Judge, write what was asked for, show."""
    _check_judge(asked)
    verdict, prices = verdict_of(
        asked.machine,
        asked.sheet,
        asked.prices,
        asked.as_of,
        asked.units,
        learned_in(asked.constants),
        asked.asking_price,
        planning_of(asked),
        asked.gear_list,
    )
    if asked.asking_price is not None and verdict.bid is None:
        allowed = translated("a machine with parts that were read and are on the price list")
        raise NotAllowedError("--asking-price", asked.asking_price, allowed, "Leave it out, or add prices.")
    made = _papers(asked, verdict, prices)
    for path, content, _ in made:
        write_whole(path, content)
    if asked.as_of is None and verdict.as_of < today():
        age = say(age_said(verdict.as_of, today(), None)).partition(";")[0]
        told = worded("Judged for the day of the last walk-round, {age}. For today: --as-of today", age=age)
        if verdict.as_of != verdict.read_on:
            told = translated("Judged for the day of the last work written down. For today: --as-of today")
        print(told, file=sys.stderr)
    if asked.json:
        print(verdict_json(verdict))
        return
    with writing(verdict.writing):
        show(verdict, asked.units)
    for path, _, said in made:
        print(said.format(path))


def _check_judge(asked: argparse.Namespace) -> None:
    """Refuse what cannot be, before anything is read."""
    paths: list[Path] = []
    for name, ending in _ENDINGS.items():
        path: Path | None = getattr(asked, name)
        option = f"--{name.replace('_', '-')}"
        if path is None:
            continue
        if path.suffix.lower() != ending:
            raise NotAllowedError(
                option, path.name, phrase("a file name ending in {ending}", ending=ending), "Change the ending."
            )
        if path in paths:
            raise NotAllowedError(option, str(path), "a file of its own", "Give each file another name.")
        paths.append(path)
    needing = (
        ("--quote", asked.quote),
        ("--gear-list", asked.gear_list),
        ("--asking-price", asked.asking_price),
        *((f"--{name.replace('_', '-')}", getattr(asked, name)) for name in PLAN_OPTIONS),
    )
    for option, given in needing:
        if given is not None and asked.prices is None:
            step = translated("Add --prices with the yard's price list.")
            raise NotAllowedError(option, str(given), "together with a price list", step)
    if asked.valid_until is not None and asked.quote is None:
        raise NotAllowedError("--valid-until", str(asked.valid_until), "together with --quote", "Add --quote.")


def _papers(
    asked: argparse.Namespace, verdict: Verdict, prices: PriceList | None
) -> list[tuple[Path, bytes, str]]:
    """Every file asked for, made before the first one is written, with what to say of it."""
    made: list[tuple[Path, bytes, str]] = []
    planned = planned_stops(verdict, prices)
    stop = planned[0] if planned else next_stop(verdict, prices)
    stops = planned or ((stop,) if stop is not None else ())
    asking = read_machine(asked.machine).asking if verdict.bid is None and (asked.buyer or asked.advert) else None
    if asked.buyer is not None:
        from pitchline.papers.buyer import buyer_pdf

        made.append(
            (asked.buyer, buyer_pdf(verdict, asked.units, asked.business, asking), translated("For a buyer: {}"))
        )
    if asked.workshop is not None:
        from pitchline.papers.work_order import work_order_pdf

        order = work_order_pdf(verdict, _due("--workshop", stop), asked.units, by=asked.business)
        made.append((asked.workshop, order, translated("For the workshop: {}")))
    if asked.colleague is not None:
        from pitchline.papers.paper import verdict_pdf

        paper = verdict_pdf(verdict, asked.units, asked.business)
        made.append((asked.colleague, paper, translated("For a colleague: {}")))
    if asked.advert is not None:
        from pitchline.papers.advert import advert_text

        text = advert_text(verdict, asked.units, asking)
        made.append((asked.advert, text.encode(), translated("Advert: {}")))
    if asked.quote is not None:
        until = asked.valid_until or verdict.as_of + dt.timedelta(days=VALID_DAYS)
        priced = next((one for one in planned if one.price is not None), stop)
        made_by = worded("price list {name}", name=asked.prices.name)
        quote = quote_pdf(verdict, _due("--quote", priced), until, asked.units, asked.business, price_list=made_by)
        made.append((asked.quote, quote, translated("Quote: {}")))
    if asked.workbook is not None:
        from pitchline.papers.workbook import workbook_xlsx

        made.append((asked.workbook, workbook_xlsx(verdict, stops), translated("Workbook: {}")))
    if asked.calendar is not None:
        from pitchline.papers.calendar import calendar_ics

        entries = calendar_ics(verdict, planned)
        left = (
            worded(" (without a day: {left_out})", left_out="; ".join(entries.left_out))
            if entries.left_out
            else ""
        )
        made.append(
            (asked.calendar, entries.ics, translated("Calendar: {}") + left.replace("{", "{{").replace("}", "}}"))
        )
    return made


def _due(option: str, stop: PlannedStop | None) -> PlannedStop:
    if stop is None:
        allowed = translated("a machine with work due inside its booking window")
        raise NotAllowedError(option, "no job called stop or book", allowed, "Leave the option out.")
    return stop
