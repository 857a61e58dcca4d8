"""Options that several commands have, and how a day is typed."""

import argparse
import datetime as dt
import os
from pathlib import Path
from typing import TYPE_CHECKING

from pitchline.trade.units import UnitSystem
from pitchline.words import translated, worded

if TYPE_CHECKING:
    from pitchline.outlook.learned import Learned
    from pitchline.stops.settings import PlanSettings

USUAL_HORIZON_H = 6_000.0
"""How far ahead stops are planned where nothing else is said [h]: our own choice."""
PLAN_OPTIONS = ("horizon_hours", "sell_at", "stop_cost", "interest")
"""Options that ask for a plan of stops."""


def add_units(command: argparse.ArgumentParser) -> None:
    """The option that every command showing sizes has."""
    command.add_argument(
        "--units",
        type=UnitSystem,
        choices=list(UnitSystem),
        default=UnitSystem.METRIC,
        help=translated("metric or imperial"),
    )


def add_data(command: argparse.ArgumentParser) -> None:
    """The option of every command that opens the desk's data."""
    command.add_argument(
        "--data",
        type=Path,
        metavar="FOLDER",
        help=translated("the desk's data folder; by default in the user's own"),
    )


def add_business(command: argparse.ArgumentParser) -> None:
    """The option of every command that writes a paper."""
    command.add_argument(
        "--business", default="", metavar="NAME", help=translated("who the papers come from: their author")
    )


def day(text: str) -> dt.date:
    """A day as typed."""
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            worded("{text} is not a day; write it as 2026-11-25", text=repr(text))
        ) from None


def today() -> dt.date:
    """The day it is, or the one it is held at."""
    held = os.environ.get("PITCHLINE_TODAY", "")
    return dt.date.fromisoformat(held) if held else dt.datetime.now().astimezone().date()


def day_or_today(text: str) -> dt.date:
    """A day as typed, or the word for the day it is."""
    return today() if text == "today" else day(text)


def add_plan(command: argparse.ArgumentParser) -> None:
    """The options of a plan of stops."""
    command.add_argument(
        "--horizon-hours",
        type=float,
        metavar="H",
        help=worded(
            "plan lay-ups so many hours ahead; {usual_horizon} if only another option of the plan is given",
            usual_horizon=f"{USUAL_HORIZON_H:,.0f}",
        ),
    )
    command.add_argument(
        "--sell-at",
        type=float,
        metavar="H",
        help=translated("plan up to a sale in so many hours, life left paid for in part"),
    )
    command.add_argument(
        "--stop-cost",
        type=float,
        metavar="N",
        help=translated("what a lay-up costs before any job, in place of the price list's"),
    )
    command.add_argument(
        "--interest",
        type=float,
        metavar="PERCENT",
        help=translated("yearly interest on the plan's money; none if left out"),
    )


def learned_in(constants: Path | None) -> "Learned | None":
    """What a yard has learned, where a file of it was named."""
    if constants is None:
        return None
    from pitchline.exchange.learned_file import read_learned  # its model is built only where it is read

    return read_learned(constants)


def planning_of(asked: argparse.Namespace) -> "PlanSettings | None":
    """What a plan is asked for, where any of its options was given."""
    if all(getattr(asked, name) is None for name in PLAN_OPTIONS):
        return None
    from pitchline.stops.settings import PlanSettings

    horizon_h = asked.horizon_hours if asked.horizon_hours is not None else asked.sell_at or USUAL_HORIZON_H
    return PlanSettings(horizon_h, asked.sell_at, asked.stop_cost, (asked.interest or 0.0) / 100)
