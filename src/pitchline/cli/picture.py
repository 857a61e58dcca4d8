"""`pitchline picture`: one machine, a part of it, or several machines as drawings."""

import argparse
from pathlib import Path

from pitchline.cli.from_files import verdict_of
from pitchline.cli.options import PLAN_OPTIONS, add_plan, add_units, day, learned_in, planning_of, today
from pitchline.cli.several import gathered
from pitchline.cli.streams import add_as, ending_of, write_out
from pitchline.exchange.machine_file import read_machine
from pitchline.judge.unjudged import unjudged
from pitchline.outlook.learned import Learned
from pitchline.picture.ink import Tone
from pitchline.picture.png import png_bytes
from pitchline.picture.views import VIEWS, VIEWS_BEFORE, Wanted, drawn
from pitchline.trade.errors import InputError, NotAllowedError, phrase
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.verdict import Verdict
from pitchline.words import in_english, translated, worded

EXAMPLES = (
    (in_english("one side to scale"), "pitchline picture machine.json --out side.svg"),
    (
        in_english("the chain, worn and new"),
        "pitchline picture machine.json --view part --part chain --out chain.png",
    ),
    (
        in_english("several machines in a chart"),
        "pitchline picture one.json two.json --view chart --out chart.svg",
    ),
    (in_english("to standard output, as PNG"), "pitchline picture machine.json --out - --as png"),
)


def _view(word: str) -> str:
    return VIEWS_BEFORE.get(word, word)


def add(picture: argparse.ArgumentParser) -> None:
    """Its options."""
    picture.add_argument(
        "machine",
        type=Path,
        nargs="+",
        metavar="MACHINE.json",
        help=translated("machine file; several for a chart"),
    )
    picture.add_argument(
        "--view", type=_view, choices=VIEWS, default="side", help=translated("what to draw; by default one side")
    )
    picture.add_argument(
        "--out",
        type=Path,
        required=True,
        metavar="FILE",
        help=translated("where to: .svg or .png; - for standard output"),
    )
    add_as(picture, "svg", "png")
    picture.add_argument(
        "--sheet",
        type=Path,
        nargs="+",
        action="extend",
        default=[],
        metavar="SHEET",
        help=translated("filled sheets, .csv or .xlsx, of one machine"),
    )
    picture.add_argument(
        "--side", type=Side, choices=[Side.LEFT, Side.RIGHT], default=Side.LEFT, help=translated("side to draw")
    )
    picture.add_argument(
        "--part", type=PartKind, choices=list(PartKind), help=translated("part of a part drawing or wear record")
    )
    picture.add_argument(
        "--number",
        type=int,
        default=0,
        metavar="N",
        help=translated("roller or idler; the one due first if left out"),
    )
    picture.add_argument(
        "--quantity",
        type=Measurand,
        choices=list(Measurand),
        help=translated("of a wear record; the one due first if left out"),
    )
    picture.add_argument(
        "--width", type=int, default=1200, metavar="PIXELS", help=translated("width; by default 1200")
    )
    picture.add_argument(
        "--tone",
        type=Tone,
        choices=list(Tone),
        help=translated("light, dark, or what the reader's system prefers"),
    )
    picture.add_argument("--as-of", type=day, metavar="DATE", help=translated("day to judge for, YYYY-MM-DD"))
    picture.add_argument(
        "--constants", type=Path, metavar="FILE", help=translated("constants learned from the yard's fleet")
    )
    picture.add_argument(
        "--prices", type=Path, metavar="PRICES.csv", help=translated("the yard's price list, for an hours line")
    )
    add_plan(picture)
    add_units(picture)


def run(asked: argparse.Namespace) -> None:
    """Judge, draw, write."""
    ending = ending_of(asked.out, asked.kind, "svg")
    if ending not in (".svg", ".png"):
        raise NotAllowedError("--out", asked.out.name, "a file name ending in .svg or .png", "Change the ending.")
    if len(asked.machine) > 1 and (asked.view != "chart" or asked.sheet):
        raise NotAllowedError(
            "MACHINE.json",
            phrase("{n} files", n=len(asked.machine)),
            "several for a chart only, and without --sheet",
            "Name one.",
        )
    _check_hours_line(asked)
    verdicts = _verdicts(asked, learned_in(asked.constants))
    tone = asked.tone or (Tone.LIGHT if ending == ".png" else Tone.SYSTEM)
    if ending == ".png" and tone is Tone.SYSTEM:
        raise NotAllowedError("--tone", tone.value, "light or dark for a .png", "Choose one.")
    wanted = Wanted(
        asked.view, asked.side, asked.part, asked.number, asked.quantity, asked.width, asked.units, tone
    )
    svg = drawn(verdicts, wanted, read_machine(asked.machine[0]).ground_spans)
    if not write_out(asked.out, png_bytes(svg) if ending == ".png" else svg.encode(), ending):
        return
    print(worded("Picture: {out}", out=asked.out))
    if not verdicts[0].parts:
        print(translated("Not gone round yet: drawn from the machine file alone, without calls."))


def _check_hours_line(asked: argparse.Namespace) -> None:
    """An hours line shows a plan of lay-ups, and nothing else does."""
    wants = any(getattr(asked, name) is not None for name in PLAN_OPTIONS)
    if asked.view == "hours-line" and (asked.prices is None or not wants):
        step = translated("Add --prices with the yard's price list, and --horizon-hours.")
        raise NotAllowedError("--view", "hours-line", "together with a price list and a plan", step)
    if asked.view != "hours-line" and (wants or asked.prices is not None):
        raise NotAllowedError(
            "--view", asked.view, "hours-line, where a plan is asked for", "Add --view hours-line."
        )


def _verdicts(asked: argparse.Namespace, learned: Learned | None) -> list[Verdict]:
    """Every machine judged, or drawn from its file alone where nobody has gone round it; problems are said with their folder."""
    alone = asked.view in ("side", "above") and not asked.sheet
    if alone and not (dossier := read_machine(asked.machine[0])).walk_rounds:
        return [unjudged(dossier, asked.as_of or today())]
    verdicts: list[Verdict] = []
    wrong: list[tuple[Path, Exception]] = []
    for machine in asked.machine:
        try:
            verdict, _ = verdict_of(
                machine,
                asked.sheet,
                asked.prices,
                asked.as_of,
                asked.units,
                learned,
                planning=planning_of(asked),
            )
            verdicts.append(verdict)
        except (InputError, NotAllowedError) as error:
            wrong.append((machine, error))
    if wrong:
        raise gathered(wrong)
    return verdicts
