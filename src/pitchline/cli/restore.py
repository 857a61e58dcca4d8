"""`pitchline restore`: a backup put back."""

import argparse
from pathlib import Path

from pitchline.cli.options import add_data
from pitchline.trade.writing import as_figure
from pitchline.words import in_english, translated, worded

EXAMPLES = (
    (in_english("into a folder that is empty, or not there yet"), "pitchline restore yard.zip --data yard"),
    (
        in_english("from SQLite to the server that PITCHLINE_DATABASE names, photos and keys in a new folder"),
        "pitchline restore old-yard --data new-yard",
    ),
)


def add(restore: argparse.ArgumentParser) -> None:
    """Its options."""
    restore.add_argument(
        "file", type=Path, metavar="FILE", help=translated("a backup; or the data folder of a yard kept in SQLite")
    )
    add_data(restore)


def run(asked: argparse.Namespace) -> None:
    """Put it back, and say what was."""
    from pitchline.desk.keeping.restoring import default_folder, restore

    folder = default_folder(asked.data)
    head = restore(asked.file, folder)
    rows = as_figure(sum(head["rows"].values()), ",")
    print(
        worded(
            "Put back: {rows} rows, as they were on {day} (UTC).",
            rows=rows,
            day=head["made_at"][:16].replace("T", " "),
        )
    )
    print(worded("The yard is kept in {folder}. Everybody signs in once more.", folder=folder))
