"""The demo yard written out: a folder of files as a real yard would hold them."""

from pathlib import Path

from pitchline.demo.parts import demo_parts
from pitchline.demo.yard import DemoMachine, Yard
from pitchline.exchange.machine_file import write_machine
from pitchline.exchange.parts_own_table import parts_csv
from pitchline.exchange.prices_file import write_prices
from pitchline.exchange.sheet import write_sheet
from pitchline.words import counted

README = """\
The demo yard
=============

Everything in this folder is invented. There are no such machines. Sizes, wear limits, hours, prices and findings were
made up by a script (seed {seed}) so that there is something to try pitchline on. They are nobody's figures: do not use
them for a real machine. A real yard enters the limits from its own manuals.

prices.csv            an invented price list; some jobs are left out on purpose
parts.csv             an invented table of parts under made-up numbers, for pitchline match or Tables of parts
NN-name/machine.json  one machine: running gear, limits, history, earlier walk-rounds
NN-name/sheet-*.csv   its newest walk-round, as filled in beside the machine (01-alder has it as a workbook too)

To begin with:

    pitchline judge {main}/machine.json --sheet {main}/{main_sheet} --prices prices.csv

The machines
------------

{machines}
"""


def sheet_name(machine: DemoMachine) -> str:
    """File name of a machine's newest sheet."""
    return f"sheet-{machine.sheet.date.isoformat()}.csv"


def readme_text(yard: Yard) -> str:
    """What stands in the yard folder's README.txt.

    Returns
    -------
    str
        Says that all is invented, lists the machines, and names the deliberate slip.
    """
    lines = [_line(machine) for machine in yard.machines]
    main = yard.main
    return README.format(seed=yard.seed, main=main.folder, main_sheet=sheet_name(main), machines="\n".join(lines))


def _line(machine: DemoMachine) -> str:
    known = machine.dossier.machine
    rounds = len(machine.with_sheet.walk_rounds)
    told = counted("{n} walk-round", "{n} walk-rounds", rounds).format(n=rounds)
    slip = f"\n    On purpose: {machine.slip} on the newest sheet." if machine.slip else ""
    particular = known.note.partition("nobody's.")[2].strip()
    note = f"\n    {particular}" if particular else ""
    return f"{machine.folder}: {known.name}; {told}.{note}{slip}"


def write_yard(yard: Yard, folder: Path) -> tuple[Path, ...]:
    """The yard's files, written.

    Parameters
    ----------
    yard : Yard
        The yard.
    folder : Path
        Where to; made where it is missing. Files of the same names are replaced.

    Raises
    ------
    OSError
        A file cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    readme, prices = folder / "README.txt", folder / "prices.csv"
    readme.write_text(readme_text(yard), encoding="utf-8")
    write_prices(yard.prices, prices)
    parts = folder / "parts.csv"
    parts.write_bytes(parts_csv(demo_parts(yard)))
    written = [readme, prices, parts]
    for machine in yard.machines:
        written += _write_one(machine, folder / machine.folder)
    return tuple(written)


def _write_one(machine: DemoMachine, folder: Path) -> list[Path]:
    folder.mkdir(exist_ok=True)
    known, sheet = folder / "machine.json", folder / sheet_name(machine)
    write_machine(machine.dossier, known)
    write_sheet(machine.dossier, sheet, machine.sheet)
    if not machine.as_workbook:
        return [known, sheet]
    workbook = sheet.with_suffix(".xlsx")
    write_sheet(machine.dossier, workbook, machine.sheet)
    return [known, sheet, workbook]
