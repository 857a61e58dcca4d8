"""`pitchline erase`: somebody forgotten on request."""

import argparse

from pitchline.cli.options import add_data
from pitchline.words import in_english, translated, worded

EXAMPLES = (
    (
        in_english("a person who left: sign-in, tokens and phones end, their name goes"),
        "pitchline erase --person ann",
    ),
    (in_english("a customer"), "pitchline erase --customer 'Example Earthworks'"),
)


def add(erase: argparse.ArgumentParser) -> None:
    """Its options."""
    which = erase.add_mutually_exclusive_group(required=True)
    which.add_argument(
        "--person", metavar="NAME", help=translated("as they sign in, or as their name stands on walk-rounds")
    )
    which.add_argument(
        "--customer", metavar="NAME", help=translated("as the name stands at machines and on quotes")
    )
    add_data(erase)


def run(asked: argparse.Namespace) -> None:
    """Do it, and say what stands there now."""
    from pitchline.desk.serve import open_data

    open_data(asked.data, must_be_there=True)
    from pitchline.desk.keeping.erasing import erase_customer, erase_person, still_told

    other, rows = erase_person(asked.person) if asked.person else erase_customer(asked.customer)
    print(
        worded(
            "{other} stands there now, in {rows} rows. Notes, papers given out and earlier backups are yours to look through.",
            other=other,
            rows=rows,
        )
    )
    if left := [f"{where}: {many}" for where, many in still_told(asked.person or asked.customer)]:
        print(
            worded(
                "Inside longer texts, as somebody typed them, it still stands in {where}.", where=", ".join(left)
            )
        )
