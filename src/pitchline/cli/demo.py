"""`pitchline demo`: the invented demo yard, one of its machines judged."""

import argparse
import shutil
import sys
from pathlib import Path

from pitchline.cli.from_files import show, verdict_of
from pitchline.cli.options import add_units
from pitchline.demo.files import write_yard
from pitchline.demo.yard import build_yard
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.verdict_json import verdict_json
from pitchline.papers.paper import verdict_pdf
from pitchline.trade.errors import NotAllowedError
from pitchline.words import in_english, translated, worded

_MADE = ".made-by-demo"
"""Lists what the demo wrote, so that what somebody changed or added is never lost."""

EXAMPLES = (
    (in_english("into ./demo"), "pitchline demo"),
    (in_english("another invented yard elsewhere"), "pitchline demo --seed 2 --out build/demo"),
)


def add(demo: argparse.ArgumentParser) -> None:
    """Its options."""
    demo.add_argument(
        "--out", type=Path, default=Path("demo"), metavar="FOLDER", help=translated("where to; by default ./demo")
    )
    demo.add_argument("--seed", type=int, default=1, help=translated("seed of the invented scenario"))
    add_units(demo)


def run(asked: argparse.Namespace) -> None:
    """Build, write, judge one machine, show."""
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
    verdict, _ = verdict_of(machine, [sheet], prices, None, asked.units)
    paper, figures = out / f"{yard.main.folder}.pdf", out / f"{yard.main.folder}.verdict.json"
    write_whole(paper, verdict_pdf(verdict, asked.units))
    write_whole(figures, verdict_json(verdict).encode())
    made = sorted(str(path.relative_to(out)) for path in out.rglob("*") if path.is_file())
    write_whole(out / _MADE, "\n".join(made).encode())
    show(verdict, asked.units)
    print(worded("Demo yard, {machines} machines, all invented: {out}", machines=len(yard.machines), out=out))
    print(worded("Paper: {paper}\nThe same as JSON: {figures}", paper=paper, figures=figures))
    print(
        worded(
            "Again by hand: {command}",
            command=f"{_called_as()} judge {machine} --sheet {sheet} --prices {prices} "
            "--buyer buyer.pdf --workshop workshop.pdf --colleague colleague.pdf",
        )
    )


def _clear_earlier(out: Path) -> None:
    """Take away an earlier demo yard, or put it aside whole where somebody has changed or added a file since."""
    if not out.exists():
        return
    if Path.cwd().is_relative_to(out.resolve()):  # the folder is made anew, and nobody stands in one that is gone
        raise NotAllowedError(
            "--out",
            str(out),
            "a folder one does not stand in",
            "Go up with cd .. and type it again, or choose another folder.",
        )
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
    print(worded("Files of yours were in {out}: the whole folder is kept as {aside}.", out=out, aside=aside))


def _called_as() -> str:
    """The command as it was called, so that a line printed can be typed again."""
    called = Path(sys.argv[0])
    if called.is_absolute() and called.is_relative_to(Path.cwd()):
        called = called.relative_to(Path.cwd())
    return "pitchline" if called.is_absolute() or called.suffix == ".py" else str(called)
