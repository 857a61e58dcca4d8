"""`pitchline fleet`: hours left for every part of a whole fleet, and the audit of its history."""

import argparse
import os
from pathlib import Path

from rich.console import Console
from rich.table import Table

from pitchline.cli.options import learned_in
from pitchline.exchange.learned_file import write_learned
from pitchline.exchange.places import place
from pitchline.exchange.safe_write import write_whole
from pitchline.fleet.audit_run import run_audit
from pitchline.fleet.progress import bar
from pitchline.fleet.run import run_outlook
from pitchline.fleet.summary import FleetSummary
from pitchline.outlook.learned import Learned
from pitchline.papers.audit_plot import audit_svg
from pitchline.papers.audit_words import audit_words
from pitchline.trade.units import show_hours
from pitchline.words import in_english, say, translated, worded

EXAMPLES = (
    (in_english("hours left for every part"), "pitchline fleet tables --out hours.csv"),
    (
        in_english("keep what was learned"),
        "pitchline fleet tables --out hours.parquet --save-constants constants.json",
    ),
    (
        in_english("how well earlier walk-rounds predicted later ones"),
        "pitchline fleet tables --audit --plot audit.svg",
    ),
)


def add(fleet: argparse.ArgumentParser) -> None:
    """Its options."""
    fleet.add_argument(
        "tables", type=place, metavar="FOLDER_OR_ZIP", help=translated("the fleet tables, CSV or Parquet")
    )
    fleet.add_argument(
        "--constants",
        type=Path,
        metavar="FILE",
        help=translated("start from saved constants instead of learning them"),
    )
    fleet.add_argument(
        "--save-constants",
        type=Path,
        metavar="FILE",
        help=translated("keep what was learned, for other runs and for judge"),
    )
    fleet.add_argument(
        "--out",
        type=place,
        metavar="FILE_OR_FOLDER",
        help=translated(
            "table to write, .csv or .parquet, or a folder of parts, where a run broken off is taken up again"
        ),
    )
    fleet.add_argument(
        "--ground",
        type=int,
        metavar="G",
        help=translated("ground class of the hours to come, 0 to 4; each machine's last if left out"),
    )
    fleet.add_argument(
        "--cores", type=int, default=os.cpu_count() or 1, metavar="N", help=translated("processes to compute with")
    )
    fleet.add_argument(
        "--scheduler",
        metavar="ADDRESS",
        help=translated("compute on the workers of this Dask scheduler instead"),
    )
    fleet.add_argument(
        "--chunk",
        type=int,
        default=256,
        metavar="N",
        help=translated("machines held in memory at a time in each process"),
    )
    fleet.add_argument(
        "--audit", action="store_true", help=translated("say how well earlier walk-rounds predicted later ones")
    )
    fleet.add_argument("--plot", type=Path, metavar="FILE.svg", help=translated("draw the audit too"))


def run(asked: argparse.Namespace) -> None:
    """Learn, forecast, write, show; or audit."""
    learned = learned_in(asked.constants)
    with bar() as report:
        if asked.audit:
            found = run_audit(asked.tables, learned, report)
            if asked.plot is not None:
                write_whole(asked.plot, audit_svg(found).encode())
        else:
            outlook = run_outlook(
                asked.tables, asked.out, learned, asked.ground, asked.cores, asked.chunk, report, asked.scheduler
            )
    if asked.audit:
        print("\n".join(audit_words(found)))
        return
    if asked.save_constants is not None:
        write_learned(outlook.learned, asked.save_constants, asked.tables.name)
    _show_fleet(outlook.summary)
    _show_limits(outlook.learned)


def _show_fleet(summary: FleetSummary) -> None:
    print(
        worded(
            "{machines} machines, {positions} parts now fitted, {readings} readings.",
            machines=f"{summary.machines:,}",
            positions=f"{summary.positions:,}",
            readings=f"{summary.readings:,}",
        )
    )
    print(
        worded(
            "Past the limit more likely than not: {past_limit}. Something suspected: {suspected}.",
            past_limit=f"{summary.past_limit:,}",
            suspected=f"{summary.suspected:,}",
        )
    )
    table = Table(
        translated("machine"),
        translated("position"),
        translated("kind"),
        translated("side"),
        translated("1 in 10 by"),
        translated("middle"),
        translated("9 in 10 by"),
        title=translated("Due first"),
    )
    for part in summary.due_first[:10]:
        hours = (part.hours_left_p10, part.hours_left_p50, part.hours_left_p90)
        table.add_row(part.machine, part.position, part.kind, part.side, *(show_hours(one) for one in hours))
    Console(highlight=False).print(table)


def _show_limits(learned: Learned) -> None:
    """What the yard really runs its parts down to, where it took enough of them off."""
    said = {kind: limit for kind, limit in learned.limits.items() if limit.typical is not None}
    if said:
        title = translated("What this yard runs parts down to, as a share of the entered allowance")
        heads = (
            translated("kind"),
            translated("typical"),
            translated("8 in 10 sure between"),
            translated("rests on"),
        )
        table = Table(*heads, title=title)
        for kind, limit in said.items():
            shares = [f"{100 * (share or 0):.0f} %" for share in (limit.typical, limit.low, limit.high)]
            table.add_row(
                kind,
                shares[0],
                worded("{shares} and {shares_2}", shares=shares[1], shares_2=shares[2]),
                say(limit.said),
            )
        Console(highlight=False).print(table)
        print(translated("This is what was done, not advice: the entered limits are what counts."))
    few = [kind for kind in learned.limits if kind not in said]
    if few:
        print(
            worded(
                "Too few worn parts taken off to say what the yard runs them down to: {few}.", few=", ".join(few)
            )
        )
