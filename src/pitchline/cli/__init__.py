"""The command `pitchline`: the same verbs as everywhere, from a shell."""

import argparse
import os
import sys
from collections.abc import Sequence

from rich.console import Console

from pitchline import __version__
from pitchline.cli import demo_yard, desks, fleets, grounds, judging, pictures, planning, schemas, sheets
from pitchline.trade.errors import InputError, NotAllowedError

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
    except BrokenPipeError:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - nobody reads on; closing would complain again
        return 0
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
    for command in (judging, sheets, pictures, desks, demo_yard, fleets, planning, grounds, schemas):
        command.add(commands)
    return parser
