"""The command `pitchline`: the same verbs as everywhere, from a shell."""

import argparse
import datetime as dt
import json
import os
import shutil
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table

from pitchline import __version__, cli_ground
from pitchline.demo.files import write_yard
from pitchline.demo.yard import build_yard
from pitchline.exchange.learned_file import read_learned, write_learned
from pitchline.exchange.machine_file import machine_schema, read_machine
from pitchline.exchange.prices_file import read_prices
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.sheet import read_sheet, sheet_rows, with_walk_rounds, write_sheet
from pitchline.exchange.stop_instance import plan_json, read_instance
from pitchline.exchange.verdict_json import verdict_json
from pitchline.fleet.audit_run import run_audit
from pitchline.fleet.progress import bar
from pitchline.fleet.run import run_outlook
from pitchline.fleet.summary import FleetSummary
from pitchline.judge import judge
from pitchline.money.prices import PriceList
from pitchline.outlook.learned import Learned
from pitchline.papers.audit_plot import audit_svg
from pitchline.papers.audit_words import audit_words
from pitchline.papers.bid_words import worth_lines
from pitchline.papers.calendar import calendar_ics
from pitchline.papers.paper import verdict_pdf
from pitchline.papers.quote import VALID_DAYS, quote_pdf
from pitchline.papers.screen import verdict_screen
from pitchline.papers.sheet_paper import sheet_pdf
from pitchline.papers.stop import PlannedStop, next_stop
from pitchline.papers.stops_screen import plan_screen
from pitchline.papers.work_order import work_order_pdf
from pitchline.papers.workbook import workbook_xlsx
from pitchline.picture.ink import Tone
from pitchline.picture.png import png_bytes
from pitchline.picture.views import VIEWS, Wanted, drawn
from pitchline.stops.planner import METHODS, plan_stops
from pitchline.stops.thumb import compared
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem, show_hours
from pitchline.verdict import Verdict

_MADE = ".made-by-demo"
"""Lists what the demo wrote, so that what somebody changed or added is never lost."""
MOST_TOLD = 40
"""Problems shown one by one; the others are counted."""
NOT_USABLE = 2
"""Exit status when something entered cannot be used."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    arguments : sequence of str or None
        Without the program's name; None takes them from the shell.

    Returns
    -------
    int
        Exit status: 0 done, 2 when something entered cannot be used.

    References
    ----------
    Definition.
    """
    asked = _parser().parse_args(arguments)
    complain = Console(stderr=True, highlight=False, soft_wrap=True)
    try:
        asked.run(asked)
    except (InputError, NotAllowedError) as error:
        problems = error.problems if isinstance(error, InputError) else (error.problem,)
        complain.print(
            f"Nothing was written: {len(problems)} {'thing' if len(problems) == 1 else 'things'} to put right."
        )
        for problem in problems[:MOST_TOLD]:
            complain.print(f"  {problem}", markup=False)
        if len(problems) > MOST_TOLD:
            complain.print(f"  And {len(problems) - MOST_TOLD:,} more.")
        return NOT_USABLE
    except OSError as error:
        complain.print(f"Nothing was written: {error.filename}: {error.strerror}.", markup=False)
        return NOT_USABLE
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="pitchline", description="What a tracked machine's running gear has left."
    )
    parser.add_argument("--version", action="version", version=f"pitchline {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")

    judging = commands.add_parser("judge", help="judge one machine from its file and sheets")
    judging.add_argument("machine", type=Path, metavar="MACHINE.json", help="machine file")
    judging.add_argument(
        "--sheet",
        type=Path,
        nargs="+",
        action="extend",
        default=[],
        metavar="SHEET",
        help="filled sheets, .csv or .xlsx",
    )
    judging.add_argument("--prices", type=Path, metavar="PRICES.csv", help="the yard's price list, .csv or .xlsx")
    judging.add_argument(
        "--as-of",
        type=_date,
        metavar="DATE",
        help="day to judge for, YYYY-MM-DD; the last walk-round's if left out",
    )
    judging.add_argument("--constants", type=Path, metavar="FILE", help="constants learned from the yard's fleet")
    judging.add_argument("--json", action="store_true", help="print the verdict as JSON instead of the screen")
    judging.add_argument("--pdf", type=Path, metavar="OUT.pdf", help="write the paper too")
    _add_stop_papers(judging)
    _add_units(judging)
    judging.set_defaults(run=_judge)

    sheet = commands.add_parser("sheet", help="make the blank walk-round sheet of one machine")
    sheet.add_argument("machine", type=Path, metavar="MACHINE.json", help="machine file")
    sheet.add_argument(
        "--out",
        type=Path,
        metavar="SHEET",
        help="where to: .csv, .xlsx, or .pdf to print; by default sheet.csv beside the machine file",
    )
    _add_units(sheet)
    sheet.set_defaults(run=_sheet)

    _add_picture(commands)
    cli_ground.add(commands)

    demo = commands.add_parser("demo", help="build the invented demo yard and judge one of its machines")
    demo.add_argument(
        "--out", type=Path, default=Path("demo"), metavar="FOLDER", help="where to; by default ./demo"
    )
    demo.add_argument("--seed", type=int, default=1, help="seed of the invented scenario")
    _add_units(demo)
    demo.set_defaults(run=_demo)

    fleet = commands.add_parser("outlook", help="hours left for every part of a whole fleet, from its tables")
    fleet.add_argument("tables", type=Path, metavar="FOLDER_OR_ZIP", help="the fleet tables, CSV or Parquet")
    fleet.add_argument(
        "--constants", type=Path, metavar="FILE", help="start from saved constants instead of learning them"
    )
    fleet.add_argument(
        "--save-constants", type=Path, metavar="FILE", help="keep what was learned, for other runs and for judge"
    )
    fleet.add_argument("--out", type=Path, metavar="FILE", help="table to write, .csv or .parquet")
    fleet.add_argument(
        "--ground",
        type=int,
        metavar="G",
        help="ground class of the hours to come, 0 to 4; each machine's last if left out",
    )
    fleet.add_argument(
        "--cores", type=int, default=os.cpu_count() or 1, metavar="N", help="processes to compute with"
    )
    fleet.add_argument(
        "--chunk", type=int, default=256, metavar="N", help="machines held in memory at a time in each process"
    )
    fleet.add_argument(
        "--audit", action="store_true", help="say how well earlier walk-rounds predicted later ones"
    )
    fleet.add_argument("--plot", type=Path, metavar="FILE.svg", help="draw the audit too")
    fleet.set_defaults(run=_outlook)

    stops = commands.add_parser("stops", help="the cheapest set of stops for a stop instance, proven")
    stops.add_argument("instance", type=Path, metavar="INSTANCE.json", help="one stop instance")
    stops.add_argument(
        "--method", choices=METHODS, default="auto", help="auto, our own search; milp, the general solver"
    )
    stops.add_argument("--seconds", type=_seconds, default=60.0, metavar="S", help="stop looking after so long")
    stops.add_argument("--json", action="store_true", help="print the plan as JSON instead of the screen")
    stops.set_defaults(run=_stops)

    schema = commands.add_parser("schema", help="print the JSON Schema of the machine file")
    schema.set_defaults(run=_schema)
    return parser


def _add_stop_papers(judging: argparse.ArgumentParser) -> None:
    judging.add_argument("--quote", type=Path, metavar="OUT.pdf", help="write a quote for what falls due")
    judging.add_argument(
        "--valid-until",
        type=_date,
        metavar="DATE",
        help=f"last day of the quote; {VALID_DAYS} days on if left out",
    )
    judging.add_argument(
        "--work-order", type=Path, metavar="OUT.pdf", help="write a work order for what falls due"
    )
    judging.add_argument("--workbook", type=Path, metavar="OUT.xlsx", help="write jobs, order list and worth")
    judging.add_argument("--calendar", type=Path, metavar="OUT.ics", help="write the jobs as calendar entries")
    judging.add_argument(
        "--asking-price",
        type=float,
        metavar="N",
        help="what is asked for the machine, without tax: gives an offer",
    )


def _add_picture(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    picture = commands.add_parser("picture", help="draw one machine, a part of it, or several machines")
    picture.add_argument(
        "machine", type=Path, nargs="+", metavar="MACHINE.json", help="machine file; several for a yard"
    )
    picture.add_argument("--view", choices=VIEWS, default="side", help="what to draw; by default one side")
    picture.add_argument("--out", type=Path, required=True, metavar="FILE", help="where to: .svg or .png")
    picture.add_argument(
        "--sheet",
        type=Path,
        nargs="+",
        action="extend",
        default=[],
        metavar="SHEET",
        help="filled sheets, .csv or .xlsx, of one machine",
    )
    picture.add_argument(
        "--side", type=Side, choices=[Side.LEFT, Side.RIGHT], default=Side.LEFT, help="side to draw"
    )
    picture.add_argument(
        "--part", type=PartKind, choices=list(PartKind), help="part of a part sheet or wear record"
    )
    picture.add_argument(
        "--number", type=int, default=0, metavar="N", help="roller or idler; the one due first if left out"
    )
    picture.add_argument(
        "--quantity",
        type=Measurand,
        choices=list(Measurand),
        help="of a wear record; the one due first if left out",
    )
    picture.add_argument("--width", type=int, default=1200, metavar="PIXELS", help="width; by default 1200")
    picture.add_argument(
        "--tone", type=Tone, choices=list(Tone), help="light, dark, or what the reader's system prefers"
    )
    picture.add_argument("--as-of", type=_date, metavar="DATE", help="day to judge for, YYYY-MM-DD")
    picture.add_argument("--constants", type=Path, metavar="FILE", help="constants learned from the yard's fleet")
    _add_units(picture)
    picture.set_defaults(run=_picture)


def _add_units(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--units", type=UnitSystem, choices=list(UnitSystem), default=UnitSystem.METRIC, help="metric or imperial"
    )


def _date(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day; write it as 2026-11-25") from None


_ENDINGS = {"pdf": ".pdf", "quote": ".pdf", "work_order": ".pdf", "workbook": ".xlsx", "calendar": ".ics"}
"""Options of `judge` that name a file to write, and its ending."""


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 0 < seconds < float("inf"):
        raise argparse.ArgumentTypeError(f"{text!r} is not a time; write seconds above 0, such as 60")
    return seconds


def _judge(asked: argparse.Namespace) -> None:
    _check_judge(asked)
    learned = read_learned(asked.constants) if asked.constants is not None else None
    verdict, prices = _verdict(
        asked.machine, asked.sheet, asked.prices, asked.as_of, asked.units, learned, asked.asking_price
    )
    if asked.asking_price is not None and verdict.bid is None:
        allowed = "a machine with parts that were read and are on the price list"
        raise NotAllowedError("--asking-price", asked.asking_price, allowed, "Leave it out, or add prices.")
    made = _papers(asked, verdict, prices)
    for path, content, _ in made:
        write_whole(path, content)
    if asked.json:
        print(verdict_json(verdict))
        return
    _show(verdict, asked.units)
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
            raise NotAllowedError(option, path.name, f"a file name ending in {ending}", "Change the ending.")
        if path in paths:
            raise NotAllowedError(option, str(path), "a file of its own", "Give each file another name.")
        paths.append(path)
    for option, given in (("--quote", asked.quote), ("--asking-price", asked.asking_price)):
        if given is not None and asked.prices is None:
            step = "Add --prices with the yard's price list."
            raise NotAllowedError(option, str(given), "together with a price list", step)
    if asked.valid_until is not None and asked.quote is None:
        raise NotAllowedError("--valid-until", str(asked.valid_until), "together with --quote", "Add --quote.")


def _papers(
    asked: argparse.Namespace, verdict: Verdict, prices: PriceList | None
) -> list[tuple[Path, bytes, str]]:
    """Every file asked for, made before the first one is written, with what to say of it."""
    made: list[tuple[Path, bytes, str]] = []
    stop = next_stop(verdict, prices)
    if asked.pdf is not None:
        made.append((asked.pdf, verdict_pdf(verdict, asked.units), "Paper: {}"))
    if asked.quote is not None:
        until = asked.valid_until or verdict.as_of + dt.timedelta(days=VALID_DAYS)
        quote = quote_pdf(verdict, _due("--quote", stop), until, asked.units)
        made.append((asked.quote, quote, "Quote: {}"))
    if asked.work_order is not None:
        order = work_order_pdf(verdict, _due("--work-order", stop), asked.units)
        made.append((asked.work_order, order, "Work order: {}"))
    if asked.workbook is not None:
        made.append((asked.workbook, workbook_xlsx(verdict, [stop] if stop else []), "Workbook: {}"))
    if asked.calendar is not None:
        entries = calendar_ics(verdict)
        left = f" (without a day: {'; '.join(entries.left_out)})" if entries.left_out else ""
        made.append((asked.calendar, entries.ics, "Calendar: {}" + left.replace("{", "{{").replace("}", "}}")))
    return made


def _due(option: str, stop: PlannedStop | None) -> PlannedStop:
    if stop is None:
        allowed = "a machine with work due inside its booking window"
        raise NotAllowedError(option, "no job called stop or book", allowed, "Leave the option out.")
    return stop


def _verdict(
    machine: Path,
    sheets: list[Path],
    prices: Path | None,
    as_of: dt.date | None,
    units: UnitSystem,
    learned: Learned | None = None,
    asking: float | None = None,
) -> tuple[Verdict, PriceList | None]:
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
    return judge(whole, price_list, as_of, units, learned=learned, asking=asking), price_list


def _picture(asked: argparse.Namespace) -> None:
    ending = asked.out.suffix.lower()
    if ending not in (".svg", ".png"):
        raise NotAllowedError("--out", asked.out.name, "a file name ending in .svg or .png", "Change the ending.")
    if len(asked.machine) > 1 and (asked.view != "yard" or asked.sheet):
        raise NotAllowedError(
            "MACHINE.json",
            f"{len(asked.machine)} files",
            "several for a yard only, and without --sheet",
            "Name one.",
        )
    learned = read_learned(asked.constants) if asked.constants is not None else None
    verdicts = _verdicts(asked, learned)
    tone = asked.tone or (Tone.LIGHT if ending == ".png" else Tone.SYSTEM)
    if ending == ".png" and tone is Tone.SYSTEM:
        raise NotAllowedError("--tone", tone.value, "light or dark for a .png", "Choose one.")
    wanted = Wanted(
        asked.view, asked.side, asked.part, asked.number, asked.quantity, asked.width, asked.units, tone
    )
    svg = drawn(verdicts, wanted, read_machine(asked.machine[0]).ground_spans)
    write_whole(asked.out, png_bytes(svg) if ending == ".png" else svg.encode())
    print(f"Picture: {asked.out}")


def _verdicts(asked: argparse.Namespace, learned: Learned | None) -> list[Verdict]:
    """Every machine judged; what is wrong with any of them is said with its folder."""
    verdicts: list[Verdict] = []
    problems: list[Problem] = []
    for machine in asked.machine:
        try:
            verdicts.append(_verdict(machine, asked.sheet, None, asked.as_of, asked.units, learned)[0])
        except NotAllowedError as error:
            problems.append(error.problem.at(f"{machine.parent.name}/{machine.name}"))
    if problems:
        raise InputError(tuple(problems))
    return verdicts


def _show(verdict: Verdict, units: UnitSystem) -> None:
    console = Console(highlight=False)
    console.print(verdict_screen(verdict, units, console.width))
    for line in worth_lines(verdict, console.width):
        print(line)


def _sheet(asked: argparse.Namespace) -> None:
    dossier = read_machine(asked.machine)
    out: Path = asked.out or asked.machine.with_name("sheet.csv")
    if out.exists():
        raise NotAllowedError(
            "--out",
            str(out),
            "a file that is not there yet",
            "Choose another name: a filled sheet is never overwritten.",
        )
    if out.suffix.lower() == ".pdf":
        write_whole(out, sheet_pdf(sheet_rows(dossier), dossier, asked.units))
    else:
        write_sheet(dossier, out, units=asked.units)
    print(f"Sheet for {dossier.machine.name}: {out}")


def _demo(asked: argparse.Namespace) -> None:
    out: Path = asked.out
    yard = build_yard(asked.seed)
    if out.exists() and not (out / "README.txt").exists() and any(out.iterdir()):
        raise NotAllowedError(
            "--out", str(out), "an empty folder, or one this command made before", "Choose another folder."
        )
    _clear_earlier(out)
    write_yard(yard, out)
    main_one = out / yard.main.folder
    machine = main_one / "machine.json"
    sheet = next(path for path in sorted(main_one.iterdir()) if path.name.startswith("sheet-"))
    prices = out / "prices.csv"
    verdict, _ = _verdict(machine, [sheet], prices, None, asked.units)
    paper, figures = out / f"{yard.main.folder}.pdf", out / f"{yard.main.folder}.verdict.json"
    write_whole(paper, verdict_pdf(verdict, asked.units))
    write_whole(figures, verdict_json(verdict).encode())
    made = sorted(str(path.relative_to(out)) for path in out.rglob("*") if path.is_file())
    write_whole(out / _MADE, "\n".join(made).encode())
    _show(verdict, asked.units)
    print(f"Demo yard, {len(yard.machines)} machines, all invented: {out}")
    print(f"Paper: {paper}\nThe same as JSON: {figures}")
    print(f"Again by hand: {_called_as()} judge {machine} --sheet {sheet} --prices {prices} --pdf paper.pdf")


def _outlook(asked: argparse.Namespace) -> None:
    learned = read_learned(asked.constants) if asked.constants is not None else None
    with bar() as report:
        if asked.audit:
            found = run_audit(asked.tables, learned, report)
            if asked.plot is not None:
                write_whole(asked.plot, audit_svg(found).encode())
        else:
            outlook = run_outlook(asked.tables, asked.out, learned, asked.ground, asked.cores, asked.chunk, report)
    if asked.audit:
        print("\n".join(audit_words(found)))
        return
    if asked.save_constants is not None:
        write_learned(outlook.learned, asked.save_constants, asked.tables.name)
    _show_fleet(outlook.summary)
    _show_limits(outlook.learned)


def _show_fleet(summary: FleetSummary) -> None:
    print(f"{summary.machines:,} machines, {summary.positions:,} parts now fitted, {summary.readings:,} readings.")
    print(
        f"Past the limit more likely than not: {summary.past_limit:,}. Something suspected: {summary.suspected:,}."
    )
    table = Table("machine", "position", "kind", "side", "1 in 10 by", "middle", "9 in 10 by", title="Due first")
    for part in summary.due_first[:10]:
        hours = (part.hours_left_p10, part.hours_left_p50, part.hours_left_p90)
        table.add_row(part.machine, part.position, part.kind, part.side, *(show_hours(one) for one in hours))
    Console(highlight=False).print(table)


def _show_limits(learned: Learned) -> None:
    """What the yard really runs its parts down to, where it took enough of them off."""
    said = {kind: limit for kind, limit in learned.limits.items() if limit.typical is not None}
    if said:
        title = "What this yard runs parts down to, as a share of the entered allowance"
        table = Table("kind", "typical", "8 in 10 sure between", "rests on", title=title)
        for kind, limit in said.items():
            shares = [f"{100 * (share or 0):.0f} %" for share in (limit.typical, limit.low, limit.high)]
            table.add_row(kind, shares[0], f"{shares[1]} and {shares[2]}", limit.said)
        Console(highlight=False).print(table)
        print("This is what was done, not advice: the entered limits are what counts.")
    few = [kind for kind in learned.limits if kind not in said]
    if few:
        print(f"Too few worn parts taken off to say what the yard runs them down to: {', '.join(few)}.")


def _clear_earlier(out: Path) -> None:
    """Take away an earlier demo yard, or put it aside whole where somebody has changed or added a file since."""
    if not out.exists():
        return
    made = out / _MADE
    files = [path for path in out.rglob("*") if path.is_file() and path != made]
    own = set(made.read_text(encoding="utf-8").splitlines()) if made.exists() else set()
    ended = made.stat().st_mtime if made.exists() else 0.0
    if all(str(path.relative_to(out)) in own and path.stat().st_mtime <= ended for path in files):
        shutil.rmtree(out)
        return
    aside = next(
        path for number in range(1, 10_000) if not (path := out.with_name(f"{out.name}-kept-{number}")).exists()
    )
    out.rename(aside)
    print(f"Files of yours were in {out}: the whole folder is kept as {aside}.")


def _called_as() -> str:
    """The command as it was called, so that a line printed can be typed again."""
    called = Path(sys.argv[0])
    if called.is_absolute() and called.is_relative_to(Path.cwd()):
        called = called.relative_to(Path.cwd())
    return "pitchline" if called.is_absolute() or called.suffix == ".py" else str(called)


def _stops(asked: argparse.Namespace) -> None:
    instance = read_instance(asked.instance)
    end = time.monotonic() + asked.seconds
    plan = plan_stops(instance, asked.method, lambda: end - time.monotonic())
    if asked.json:
        print(plan_json(plan, instance.name), end="")
        return
    Console(highlight=False).print(plan_screen(instance, plan, compared(instance, plan)))


def _schema(asked: argparse.Namespace) -> None:
    del asked
    print(json.dumps(machine_schema(), indent=2))


if __name__ == "__main__":
    sys.exit(main())
