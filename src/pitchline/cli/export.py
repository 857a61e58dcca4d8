"""`pitchline export`: everything out, in open formats."""

import argparse
from pathlib import Path

from pitchline.cli.options import add_data
from pitchline.words import in_english, worded

EXAMPLES = (
    (in_english("machine files, verdicts, photos, lists, prices and changes"), "pitchline export yard.zip"),
)


def add(export: argparse.ArgumentParser) -> None:
    """Its options."""
    export.add_argument("file", type=Path, metavar="FILE")
    add_data(export)


def run(asked: argparse.Namespace) -> None:
    """Write it, and say how much."""
    from pitchline.desk.serve import open_data

    open_data(asked.data, must_be_there=True)
    from pitchline.desk.keeping.all_out import write_all

    print(worded("{n} files are in {file}.", n=write_all(asked.file), file=asked.file))
