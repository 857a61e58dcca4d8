"""A machine's files judged, and the verdict on the screen."""

import datetime as dt
from pathlib import Path

from rich.console import Console

from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.prices_file import read_prices
from pitchline.exchange.sheet import read_sheet, with_walk_rounds
from pitchline.judge import judge
from pitchline.money.prices import PriceList, own_prices
from pitchline.outlook.learned import Learned
from pitchline.papers.bid_words import worth_lines
from pitchline.papers.plan_screen import plan_lines
from pitchline.papers.screen import verdict_screen
from pitchline.stops.settings import PlanSettings
from pitchline.trade.errors import InputError, Problem
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict


def verdict_of(
    machine: Path,
    sheets: list[Path],
    prices: Path | None,
    as_of: dt.date | None,
    units: UnitSystem,
    learned: Learned | None = None,
    asking: float | None = None,
    planning: PlanSettings | None = None,
    gear_entry: str | None = None,
) -> tuple[Verdict, PriceList | None]:
    """The verdict of a machine from its files, and its own prices; every problem of sheets and prices at once."""
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
    price_list = own_prices(price_list, dossier.machine, (gear_entry,) if gear_entry else ())
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
