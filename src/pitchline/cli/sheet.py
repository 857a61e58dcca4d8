"""`pitchline sheet`: the blank walk-round sheet of one machine."""

import argparse
import tempfile
from pathlib import Path

from pitchline.cli.options import add_business, add_units
from pitchline.cli.streams import add_as, ending_of, is_stream, write_out
from pitchline.exchange.machine_file import read_machine
from pitchline.exchange.sheet import sheet_rows, write_sheet
from pitchline.trade.errors import NotAllowedError
from pitchline.words import in_english, translated, worded

EXAMPLES = (
    (in_english("a sheet to print"), "pitchline sheet machine.json --out sheet.pdf"),
    (
        in_english("a workbook to fill in, with lists to choose from"),
        "pitchline sheet machine.json --out sheet.xlsx",
    ),
    (in_english("straight to a printer"), "pitchline sheet machine.json --out - --as pdf | lp"),
)


def add(sheet: argparse.ArgumentParser) -> None:
    """Its options."""
    sheet.add_argument("machine", type=Path, metavar="MACHINE.json", help=translated("machine file"))
    sheet.add_argument(
        "--out",
        type=Path,
        metavar="SHEET",
        help=translated(
            "where to: .csv, .xlsx, or .pdf to print; - for standard output; sheet.csv beside the machine file if left out"
        ),
    )
    add_as(sheet, "csv", "xlsx", "pdf")
    add_business(sheet)
    add_units(sheet)


def run(asked: argparse.Namespace) -> None:
    """Write the sheet; a filled one is never overwritten."""
    dossier = read_machine(asked.machine)
    out: Path = asked.out or (Path("-") if asked.piped else asked.machine.with_name("sheet.csv"))
    if not is_stream(out) and out.exists():
        raise NotAllowedError(
            "--out",
            str(out),
            "a file that is not there yet",
            "Choose another name: a filled sheet is never overwritten.",
        )
    ending = ending_of(out, asked.kind, "csv")
    if ending not in (".csv", ".xlsx", ".pdf"):
        raise NotAllowedError("--out", str(out), "a file name ending in .csv, .xlsx or .pdf", "Change the ending.")
    if ending == ".pdf":
        from pitchline.papers.sheet_paper import sheet_pdf

        content = sheet_pdf(sheet_rows(dossier), dossier, asked.units, asked.business)
    else:
        with tempfile.TemporaryDirectory() as folder:  # a table is written by name, whole or not at all
            table = Path(folder) / f"sheet{ending}"
            write_sheet(dossier, table, units=asked.units)
            content = table.read_bytes()
    if write_out(out, content, ending):
        print(worded("Sheet for {machine}: {out}", machine=dossier.machine.name, out=out))
