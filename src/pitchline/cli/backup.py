"""`pitchline backup`: the whole yard in one file."""

import argparse
from pathlib import Path

from pitchline.cli.options import add_data
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, worded

EXAMPLES = (
    (in_english("the whole yard, photos and keys in it"), "pitchline backup yard.zip"),
    (
        in_english("every night, from the computer's own timetable"),
        'pitchline backup "/backups/yard-$(date +%F).zip"',
    ),
)


def add(backup: argparse.ArgumentParser) -> None:
    """Its options."""
    backup.add_argument("file", type=Path, metavar="FILE")
    add_data(backup)


def run(asked: argparse.Namespace) -> None:
    """Write it, and say what is in it."""
    from pitchline.desk.serve import open_data

    open_data(asked.data, must_be_there=True)
    from pitchline.desk.keeping.backup import write_backup

    head = write_backup(asked.file)
    rows, files = as_figure(sum(head["rows"].values()), ","), as_figure(len(head["sums"]) - len(head["rows"]), ",")
    print(
        worded(
            "Kept in {file}: {rows} rows, {files} files. Keys are in it: keep it where only you can read it.",
            file=asked.file,
            rows=rows,
            files=files,
        )
    )
