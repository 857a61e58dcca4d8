"""`pitchline judge`: one machine from its file and sheets, with every paper asked for."""

import argparse
import datetime as dt
import sys
from collections.abc import Sequence
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
from pitchline.cli.several import check_names, gathered, machine_files, show_table
from pitchline.cli.streams import is_stream, write_out
from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge.age import age_said
from pitchline.judge.unjudged import unjudged
from pitchline.money.prices import PriceList
from pitchline.papers.quote import VALID_DAYS, quote_pdf
from pitchline.papers.stop import PlannedStop, next_stop, planned_stops
from pitchline.trade.errors import InputError, NotAllowedError, phrase
from pitchline.trade.writing import writing
from pitchline.verdict import Verdict
from pitchline.words import counted, in_english, say, translated, worded

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

EXAMPLES = (
    (
        in_english("judge for today, with the yard's prices"),
        "pitchline judge machine.json --prices prices.csv --as-of today",
    ),
    (
        in_english("a filled sheet, and papers for buyer and workshop"),
        "pitchline judge machine.json --sheet sheet.xlsx --buyer buyer.pdf --workshop order.pdf",
    ),
    (
        in_english("every machine of a folder as a table, a paper of each into another"),
        "pitchline judge yard --buyer papers",
    ),
    (
        in_english("from another program, and on to a printer"),
        "cat machine.json | pitchline judge - --buyer - | lp",
    ),
)


def add(judging: argparse.ArgumentParser) -> None:
    """Its options."""
    judging.add_argument(
        "machine",
        type=Path,
        nargs="+",
        metavar="MACHINE.json",
        help=translated("machine file, or - for standard input; several files or folders give a table"),
    )
    judging.add_argument(
        "--sheet",
        type=Path,
        nargs="+",
        action="extend",
        default=[],
        metavar="SHEET",
        help=translated("filled sheets of one machine, .csv or .xlsx"),
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
        "--json",
        action="store_true",
        help=translated("print the verdict as JSON instead of the screen; of several machines one a line"),
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
    files = machine_files(asked.machine)
    is_one = len(files) == 1 and not asked.machine[0].is_dir()
    _check_judge(asked, is_one)
    if not is_one:
        _run_several(asked, files)
        return
    verdict, prices = verdict_of(
        files[0],
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
    made = _papers(asked, files[0], verdict, prices)
    on_file = [write_out(path, content, _ENDINGS[name]) for name, path, content, _ in made]
    if asked.as_of is None and verdict.as_of < today():
        age = say(age_said(verdict.as_of, today(), None)).partition(";")[0]
        told = worded("Judged for the day of the last walk-round, {age}. For today: --as-of today", age=age)
        if verdict.as_of != verdict.read_on:
            told = translated("Judged for the day of the last work written down. For today: --as-of today")
        print(told, file=sys.stderr)
    if asked.json:
        print(verdict_json(verdict))
        return
    if not all(on_file):
        return  # standard output holds the paper alone
    with writing(verdict.writing):
        show(verdict, asked.units)
    for _, path, _, said in made:
        print(said.format(path))


def _run_several(asked: argparse.Namespace, files: Sequence[Path]) -> None:
    """Judge each, write its papers into the folders named, show a table; nothing is written where one cannot be used."""
    judged: list[tuple[Path, Verdict, PriceList | None]] = []
    wrong: list[tuple[Path, Exception]] = []
    learned = learned_in(asked.constants)
    for path in files:
        try:
            if not (dossier := read_machine(path)).walk_rounds:
                judged.append((path, unjudged(dossier, asked.as_of or today()), None))
                continue
            verdict, prices = verdict_of(
                path,
                [],
                asked.prices,
                asked.as_of,
                asked.units,
                learned,
                planning=planning_of(asked),
                gear_entry=asked.gear_list,
            )
            judged.append((path, verdict, prices))
        except (InputError, NotAllowedError) as error:
            wrong.append((path, error))
    if wrong:
        raise gathered(wrong)
    verdicts = [verdict for _, verdict, _ in judged]
    folders = {name: folder for name in _ENDINGS if (folder := getattr(asked, name)) is not None}
    if folders:
        check_names(verdicts)
    papers = []
    for path, verdict, prices in judged:
        if not verdict.parts:
            continue  # nobody went round it yet
        short = verdict.machine.machine_id
        own = {name: folder / f"{short}-{name}{_ENDINGS[name]}" for name, folder in folders.items()}
        papers += _papers(argparse.Namespace(**vars(asked) | own), path, verdict, prices, is_one=False)
    for folder in folders.values():
        folder.mkdir(parents=True, exist_ok=True)
    for _, path, content, _ in papers:
        write_whole(path, content)
    if asked.as_of is None and any(one.as_of < today() for one in verdicts):
        print(
            translated("Each is judged for the day of its last walk-round. For today: --as-of today"),
            file=sys.stderr,
        )
    if asked.json:
        for verdict in verdicts:
            print(verdict_json(verdict, is_compact=True))
        return
    show_table(verdicts)
    for name, folder in folders.items():
        many = sum(one[0] == name for one in papers)
        print(counted("{n} paper in {folder}", "{n} papers in {folder}", many).format(n=many, folder=folder))


def _check_judge(asked: argparse.Namespace, is_one: bool) -> None:
    """Refuse what cannot be, before anything is read."""
    paths: list[Path] = []
    for name, ending in _ENDINGS.items():
        path: Path | None = getattr(asked, name)
        option = f"--{name.replace('_', '-')}"
        if path is None:
            continue
        if not is_one:
            if path.suffix.lower() == ending or is_stream(path) or path.is_file():
                step = translated("Name a folder; each machine's paper is called by its short name.")
                raise NotAllowedError(option, str(path), "a folder, for several machines", step)
            continue
        if path.suffix.lower() != ending and str(path) != "-":
            raise NotAllowedError(
                option, path.name, phrase("a file name ending in {ending}", ending=ending), "Change the ending."
            )
        if path in paths:
            raise NotAllowedError(option, str(path), "a file of its own", "Give each file another name.")
        paths.append(path)
    if asked.json and Path("-") in paths:
        raise NotAllowedError("--json", "-", "one thing on standard output", "Name a file for the paper.")
    for option, given in (("--sheet", asked.sheet), ("--asking-price", asked.asking_price)):
        if given and not is_one:
            raise NotAllowedError(
                option, phrase("several machines"), "one machine", "Judge that machine by itself."
            )
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
    asked: argparse.Namespace, machine: Path, verdict: Verdict, prices: PriceList | None, *, is_one: bool = True
) -> list[tuple[str, Path, bytes, str]]:
    """Every file asked for, made before the first one is written: its option, path, content, and what to say of it.

    Of several machines those without work due get no order and no quote.
    """
    made: list[tuple[str, Path, bytes, str]] = []
    planned = planned_stops(verdict, prices)
    stop = planned[0] if planned else next_stop(verdict, prices)
    stops = planned or ((stop,) if stop is not None else ())
    asking = read_machine(machine).asking if verdict.bid is None and (asked.buyer or asked.advert) else None
    if asked.buyer is not None:
        from pitchline.papers.buyer import buyer_pdf

        paper = buyer_pdf(verdict, asked.units, asked.business, asking)
        made.append(("buyer", asked.buyer, paper, translated("For a buyer: {}")))
    if asked.workshop is not None and (is_one or stop is not None):
        from pitchline.papers.work_order import work_order_pdf

        order = work_order_pdf(verdict, _due("--workshop", stop), asked.units, by=asked.business)
        made.append(("workshop", asked.workshop, order, translated("For the workshop: {}")))
    if asked.colleague is not None:
        from pitchline.papers.paper import verdict_pdf

        paper = verdict_pdf(verdict, asked.units, asked.business)
        made.append(("colleague", asked.colleague, paper, translated("For a colleague: {}")))
    if asked.advert is not None:
        from pitchline.papers.advert import advert_text

        text = advert_text(verdict, asked.units, asking)
        made.append(("advert", asked.advert, text.encode(), translated("Advert: {}")))
    if asked.quote is not None and (is_one or stop is not None):
        until = asked.valid_until or verdict.as_of + dt.timedelta(days=VALID_DAYS)
        priced = next((one for one in planned if one.price is not None), stop)
        made_by = worded("price list {name}", name=asked.prices.name)
        quote = quote_pdf(verdict, _due("--quote", priced), until, asked.units, asked.business, price_list=made_by)
        made.append(("quote", asked.quote, quote, translated("Quote: {}")))
    if asked.workbook is not None:
        from pitchline.papers.workbook import workbook_xlsx

        made.append(("workbook", asked.workbook, workbook_xlsx(verdict, stops), translated("Workbook: {}")))
    if asked.calendar is not None:
        from pitchline.papers.calendar import calendar_ics

        entries = calendar_ics(verdict, planned)
        left = (
            worded(" (without a day: {left_out})", left_out="; ".join(entries.left_out))
            if entries.left_out
            else ""
        )
        made.append(
            (
                "calendar",
                asked.calendar,
                entries.ics,
                translated("Calendar: {}") + left.replace("{", "{{").replace("}", "}}"),
            )
        )
    return made


def _due(option: str, stop: PlannedStop | None) -> PlannedStop:
    if stop is None:
        allowed = translated("a machine with work due inside its booking window")
        raise NotAllowedError(option, phrase("no job called stop or book"), allowed, "Leave the option out.")
    return stop
