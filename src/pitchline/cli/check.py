"""`pitchline check`: whether a yard, or a backup of one, is whole."""

import argparse
from pathlib import Path

from pitchline.cli.options import add_data
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.writing import as_figure
from pitchline.words import counted, in_english, translated, worded

EXAMPLES = (
    (in_english("the yard: its database, photos, documents and judgements"), "pitchline check"),
    (in_english("a backup, without putting it back"), "pitchline check yard.zip"),
)


def add(check: argparse.ArgumentParser) -> None:
    """Its options."""
    check.add_argument(
        "file", type=Path, nargs="?", metavar="FILE", help=translated("a backup; the yard itself if left out")
    )
    add_data(check)


def run(asked: argparse.Namespace) -> None:
    """Look at everything, and say what is not as it should be.

    Raises
    ------
    NotAllowedError
        Something is not.
    """
    if asked.file is not None:
        from pitchline.desk.keeping.restoring import read_head

        head = read_head(asked.file)
        rows, files = (
            as_figure(sum(head["rows"].values()), ","),
            as_figure(len(head["sums"]) - len(head["rows"]), ","),
        )
        print(
            worded(
                "The backup is whole: {rows} rows, {files} files, of {day} (UTC).",
                rows=rows,
                files=files,
                day=head["made_at"][:16].replace("T", " "),
            )
        )
        return
    from pitchline.desk.serve import open_data

    open_data(asked.data, must_be_there=True)
    from pitchline.desk.keeping.checking import faults

    found = list(faults())
    print("\n".join(found) or translated("The yard is whole: database, photos, documents and judgements."))
    if found:
        step = "Put back your newest backup, or mend what is named above."
        said = counted("{n} fault", "{n} faults", len(found)).format(n=len(found))
        raise NotAllowedError("yard", said, "none", step)
