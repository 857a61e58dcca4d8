"""`pitchline layups`: the cheapest set of stops for one stop instance."""

import argparse
import time
from pathlib import Path

from rich.console import Console

from pitchline.exchange.stop_instance import plan_json, read_instance
from pitchline.papers.stops_screen import plan_screen
from pitchline.stops.planner import METHODS, plan_stops
from pitchline.stops.thumb import compared
from pitchline.words import in_english, translated, worded

EXAMPLES = (
    (in_english("the cheapest set of lay-ups"), "pitchline layups instance.json"),
    (in_english("as JSON, after ten seconds at most"), "pitchline layups instance.json --seconds 10 --json"),
)


def add(stops: argparse.ArgumentParser) -> None:
    """Its options."""
    stops.add_argument("instance", type=Path, metavar="INSTANCE.json", help=translated("one stop instance"))
    stops.add_argument(
        "--method",
        choices=METHODS,
        default="auto",
        help=translated("auto, our own search; milp, the general solver"),
    )
    stops.add_argument(
        "--seconds", type=_seconds, default=60.0, metavar="S", help=translated("stop looking after so long")
    )
    stops.add_argument(
        "--json", action="store_true", help=translated("print the plan as JSON instead of the screen")
    )


def run(asked: argparse.Namespace) -> None:
    """Plan, compare, show."""
    instance = read_instance(asked.instance)
    end = time.monotonic() + asked.seconds
    plan = plan_stops(instance, asked.method, lambda: end - time.monotonic())
    if asked.json:
        print(plan_json(plan, instance.name), end="")
        return
    Console(highlight=False).print(plan_screen(instance, plan, compared(instance, plan)))


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 0 < seconds < float("inf"):
        raise argparse.ArgumentTypeError(
            worded("{text} is not a time; write seconds above 0, such as 60", text=repr(text))
        )
    return seconds
