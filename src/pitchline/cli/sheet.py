"""`pitchline sheet`: the blank walk-round sheet of one machine."""

import argparse
from pathlib import Path

from pitchline.cli.options import add_business, add_units
from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.safe_write import write_whole
from pitchline.exchange.sheet import sheet_rows, write_sheet
from pitchline.trade.errors import NotAllowedError
from pitchline.words import translated, worded


def add(sheet: argparse.ArgumentParser) -> None:
    """Its options."""
    sheet.add_argument("machine", type=Path, metavar="MACHINE.json", help=translated("machine file"))
    sheet.add_argument(
        "--out",
        type=Path,
        metavar="SHEET",
        help=translated("where to: .csv, .xlsx, or .pdf to print; by default sheet.csv beside the machine file"),
    )
    add_business(sheet)
    add_units(sheet)


def run(asked: argparse.Namespace) -> None:
    """Write the sheet; a filled one is never overwritten."""
    dossier = read_machine(asked.machine)
    out: Path = asked.out or asked.machine.with_name("sheet.csv")
    if out.exists():
        raise NotAllowedError(
            "--out",
            str(out),
            "a file that is not there yet",
            "Choose another name: a filled sheet is never overwritten.",
        )
    ending = out.suffix.lower()
    if ending not in (".csv", ".xlsx", ".pdf"):
        raise NotAllowedError("--out", str(out), "a file name ending in .csv, .xlsx or .pdf", "Change the ending.")
    if ending == ".pdf":
        from pitchline.papers.sheet_paper import sheet_pdf

        write_whole(out, sheet_pdf(sheet_rows(dossier), dossier, asked.units, asked.business))
    else:
        write_sheet(dossier, out, units=asked.units)
    print(worded("Sheet for {machine}: {out}", machine=dossier.machine.name, out=out))
