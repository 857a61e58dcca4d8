"""The command `pitchline`: the same verbs as everywhere, from a shell."""

import argparse
import os
import sys
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from importlib import import_module
from pathlib import Path

from pitchline import __version__
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.writing import ENGLISH, UnitSystem, Writing, writing
from pitchline.words.catalogue import counted, in_english, refused, translated

COMMANDS = {
    "judge": in_english("judge one machine from its file and sheets"),
    "quote": in_english("quote parts and jobs for one machine, without a plan"),
    "sheet": in_english("make the blank walk-round sheet of one machine"),
    "done": in_english("write work that was done into a machine file"),
    "picture": in_english("draw one machine, a part of it, or several machines"),
    "desk": in_english("open the yard in a browser, on this computer"),
    "demo": in_english("build the invented demo yard and judge one of its machines"),
    "fleet": in_english("hours left for every part of a whole fleet, from its tables"),
    "layups": in_english("the cheapest set of lay-ups for a stop instance, proven"),
    "ground": in_english("does a machine suit a ground, and which shoes should it wear"),
    "schema": in_english("print the JSON Schema of the machine file"),
}
"""Each command, which has a file of its name here, and its help."""
CALLED_BEFORE = {"fleet": "outlook", "layups": "stops"}
"""Names of commands that still work."""
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
    words = sys.argv[1:] if arguments is None else arguments
    language = os.environ.get("PITCHLINE_LANGUAGE", ENGLISH)
    with writing(Writing(language=language)):
        asked = parser(words).parse_args(words)
        units = getattr(asked, "units", UnitSystem.METRIC)
        with writing(Writing(units=units, language=language)):
            return _run(asked)


def _run(asked: argparse.Namespace) -> int:
    try:
        asked.run(asked)
    except (InputError, NotAllowedError) as error:
        _complain(error.problems if isinstance(error, InputError) else (error.problem,), _paths(asked))
        return NOT_USABLE
    except BrokenPipeError:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - nobody reads on; closing would complain again
        return 0
    except OSError as error:
        print(
            translated("Nothing was written: {file}: {why}.").format(file=error.filename, why=error.strerror),
            file=sys.stderr,
        )
        return NOT_USABLE
    return 0


def _paths(asked: argparse.Namespace) -> dict[str, str]:
    """The path of each file as it was given, by its last name, where no other file has the same."""
    values = [one for value in vars(asked).values() for one in (value if isinstance(value, list) else [value])]
    paths = {value for value in values if isinstance(value, Path)}
    names = Counter(path.name for path in paths)
    return {path.name: str(path) for path in paths if names[path.name] == 1}


def _complain(problems: Sequence[Problem], paths: Mapping[str, str]) -> None:
    """What was seen is told as it was typed: no line is broken, and no mark in it is read."""
    told = [
        counted(
            "Nothing was written: {n} thing to put right.",
            "Nothing was written: {n} things to put right.",
            len(problems),
        ).format(n=len(problems))
    ]
    told += [f"  {refused(replace(one, file=paths.get(one.file, one.file)))}" for one in problems[:MOST_TOLD]]
    if len(problems) > MOST_TOLD:
        told.append("  " + translated("And {more} more.").format(more=f"{len(problems) - MOST_TOLD:,}"))
    print("\n".join(told), file=sys.stderr)


def parser(words: Collection[str] = tuple(COMMANDS)) -> argparse.ArgumentParser:
    """The whole command line; a command that is not among the words brings no options, since these would load what it needs."""
    whole = argparse.ArgumentParser(
        prog="pitchline", description=translated("What a tracked machine's running gear has left.")
    )
    whole.add_argument("--version", action="version", version=f"pitchline {__version__}")
    commands = whole.add_subparsers(title=translated("commands"), required=True, metavar="COMMAND")
    for name, said in COMMANDS.items():
        before = [CALLED_BEFORE[name]] if name in CALLED_BEFORE else []
        one = commands.add_parser(name, help=translated(said), aliases=before)
        if {name, *before} & set(words):
            command = import_module(f"pitchline.cli.{name}")
            command.add(one)
            one.set_defaults(run=command.run)
    return whole
