"""What several commands share: options, the reading of a machine's files, the screen."""

import argparse
import datetime as dt
import os
from pathlib import Path
from typing import TypeAlias

from rich.console import Console

from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.prices_file import read_prices
from pitchline.exchange.sheet import read_sheet, with_walk_rounds
from pitchline.judge import judge
from pitchline.money.prices import PriceList
from pitchline.outlook.learned import Learned
from pitchline.papers.bid_words import worth_lines
from pitchline.papers.plan_screen import plan_lines
from pitchline.papers.screen import verdict_screen
from pitchline.stops.settings import PlanSettings
from pitchline.trade.errors import InputError, Problem
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"


def add_units(command: argparse.ArgumentParser) -> None:
    """The option that every command showing sizes has."""
    command.add_argument(
        "--units", type=UnitSystem, choices=list(UnitSystem), default=UnitSystem.METRIC, help="metric or imperial"
    )


def day(text: str) -> dt.date:
    """A day as typed."""
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day; write it as 2026-11-25") from None


def today() -> dt.date:
    """The day it is, or the one it is held at."""
    held = os.environ.get("PITCHLINE_TODAY", "")
    return dt.date.fromisoformat(held) if held else dt.datetime.now().astimezone().date()


def day_or_today(text: str) -> dt.date:
    """A day as typed, or the word for the day it is."""
    return today() if text == "today" else day(text)


def verdict_of(
    machine: Path,
    sheets: list[Path],
    prices: Path | None,
    as_of: dt.date | None,
    units: UnitSystem,
    learned: Learned | None = None,
    asking: float | None = None,
    planning: PlanSettings | None = None,
) -> tuple[Verdict, PriceList | None]:
    """The verdict of a machine from its files, and the price list; every problem of sheets and prices at once."""
    problems: list[Problem] = []
    dossier = read_machine(machine)
    rounds = []
    for sheet in sheets:
        try:
            rounds.append(read_sheet(sheet, dossier))
        except InputError as error:
            problems += error.problems
    try:
        price_list = read_prices(prices) if prices is not None else None
    except InputError as error:
        problems += error.problems
    if problems:
        raise InputError(tuple(problems))
    whole = with_walk_rounds(dossier, tuple(rounds))
    verdict = judge(
        whole,
        price_list,
        as_of,
        units,
        learned=learned,
        asking=asking,
        planning=planning,
    )
    return verdict, price_list


def show(verdict: Verdict, units: UnitSystem) -> None:
    """A verdict on the screen."""
    console = Console(highlight=False)
    console.print(verdict_screen(verdict, units, console.width))
    for line in worth_lines(verdict, console.width):
        print(line)
    plan = plan_lines(verdict)
    if plan is not None:
        console.print()
        console.print(plan)
