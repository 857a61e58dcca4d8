"""The command `pitchline`: the same verbs as everywhere, from a shell."""

import argparse
import errno
import os
import sys
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import NoReturn

from pitchline import __version__
from pitchline.cli.streams import standard_input
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.writing import ENGLISH, UnitSystem, Writing, writing
from pitchline.words.catalogue import FOLDERS, counted, in_english, refused, translated

COMMANDS = {
    "judge": in_english("judge one machine from its file and sheets, or several from their files"),
    "quote": in_english("quote parts and jobs for one machine, without a plan"),
    "sheet": in_english("make the blank walk-round sheet of one machine"),
    "done": in_english("write work that was done into a machine file"),
    "picture": in_english("draw one machine, a part of it, or several machines"),
    "desk": in_english("open the yard in a browser, on this computer"),
    "demo": in_english("build the invented demo yard and judge one of its machines"),
    "fleet": in_english("hours left for every part of a whole fleet, from its tables"),
    "layups": in_english("the cheapest set of lay-ups for a stop instance, proven"),
    "ground": in_english("does a machine suit a ground, and which shoes should it wear"),
    "match": in_english("which part of a list fits what was read of a worn one"),
    "schema": in_english("print the JSON Schema of the machine file"),
    "people": in_english("who signs in at the desk: add somebody, list them"),
    "tokens": in_english("tokens for programs that use the desk: add, end, list them"),
    "backup": in_english("the desk's whole yard into one file, while it runs or not"),
    "restore": in_english("put a backup back, or move a yard to a server's database"),
    "check": in_english("whether a yard, or a backup of one, is whole"),
    "export": in_english("everything of the yard in open formats, in one zip"),
    "erase": in_english("forget a person or a customer; machines and papers stay"),
    "completion": in_english("print what completes these commands in a shell"),
}
"""Each command, which has a file of its name here, and its help."""
EXAMPLES = (
    (in_english("the invented demo yard, to look at everything"), "pitchline desk --demo"),
    (
        in_english("judge one machine and write the buyer's paper"),
        "pitchline judge machine.json --buyer buyer.pdf",
    ),
    (in_english("what a command can do"), "pitchline judge --help"),
)
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
        with _parser_speaks(language):
            asked = parser(words).parse_args(words)
        units = getattr(asked, "units", UnitSystem.METRIC)
        with writing(Writing(units=units, language=language)):
            return _run(asked)


@contextmanager
def _parser_speaks(language: str) -> Iterator[None]:
    """While it lasts, what the parser says by itself passes our catalogue: it asks two functions of its module for every text."""
    if language == ENGLISH:
        yield
        return
    from pitchline.desk.folders import data_folder

    beside_the_desk = data_folder() / "languages"
    if beside_the_desk not in FOLDERS:
        FOLDERS.insert(0, beside_the_desk)
    kept = {name: getattr(argparse, name) for name in ("_", "ngettext")}
    setattr(argparse, "_", translated)  # noqa: B010 - no type checker knows it
    setattr(argparse, "ngettext", counted)  # noqa: B010
    try:
        yield
    finally:
        for name, said in kept.items():
            setattr(argparse, name, said)


def _run(asked: argparse.Namespace) -> int:
    paths = _paths(asked)
    try:
        with standard_input(asked) as came:
            paths |= came
            asked.run(asked)
    except (InputError, NotAllowedError) as error:
        _complain(error.problems if isinstance(error, InputError) else (error.problem,), paths)
        return NOT_USABLE
    except BrokenPipeError:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - nobody reads on; closing would complain again
        return 0
    except OSError as error:
        # A folder that was taken away meanwhile has no name, nor has a disk that is full.
        nameless = translated("the disk") if error.errno == errno.ENOSPC else translated("the folder you stand in")
        file = error.filename or nameless
        print(
            translated("Nothing was written: {file}: {why}.").format(file=file, why=error.strerror),
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
    told += [f"  {_refused(replace(one, file=paths.get(one.file, one.file)))}" for one in problems[:MOST_TOLD]]
    if len(problems) > MOST_TOLD:
        told.append("  " + translated("And {more} more.").format(more=f"{len(problems) - MOST_TOLD:,}"))
    print("\n".join(told), file=sys.stderr)


def _refused(problem: Problem) -> str:
    """What is wrong; of a file that is not there or is none, what is the matter with it, in a shell's words."""
    if problem.field == "file name":
        return f"{problem.file}: {translated(problem.next_step)}"
    if problem.field == "file":
        told = translated("{file}: {seen}; it has to be {allowed}. {next_step}")
        names = {"seen": problem.seen, "allowed": problem.allowed, "next_step": problem.next_step}
        return told.format(file=problem.file, **{name: translated(str(text)) for name, text in names.items()})
    return refused(problem)


class Parser(argparse.ArgumentParser):
    """Says what is wrong in one line and where the help is, without the whole usage before it."""

    def error(self, message: str) -> NoReturn:
        """End with the reason."""
        seen = translated("See: {command} --help").format(command=self.prog)
        self.exit(NOT_USABLE, f"{self.prog}: {message}\n{seen}\n")


def examples_said(examples: Sequence[tuple[str, str]]) -> str:
    """What stands below a command's options: what is wanted, and what is typed for it."""
    lines = [f"  {translated(wanted)}:\n    {typed}" for wanted, typed in examples]
    return translated("examples:") + "\n" + "\n".join(lines)


def parser(words: Collection[str] = tuple(COMMANDS)) -> argparse.ArgumentParser:
    """The whole command line; a command that is not among the words brings no options, since these would load what it needs."""
    whole = Parser(
        prog="pitchline",
        description=translated("What a tracked machine's running gear has left."),
        epilog=examples_said(EXAMPLES),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    whole.add_argument(
        "--version",
        action="version",
        version=f"pitchline {__version__}",
        help=translated("show program's version number and exit"),
    )
    commands = whole.add_subparsers(title=translated("commands"), required=True, metavar="COMMAND")
    for name, said in COMMANDS.items():
        before = [CALLED_BEFORE[name]] if name in CALLED_BEFORE else []
        one = commands.add_parser(name, help=translated(said), aliases=before)
        if {name, *before} & set(words):
            command = import_module(f"pitchline.cli.{name}")
            command.add(one)
            one.epilog = examples_said(command.EXAMPLES)
            one.formatter_class = argparse.RawDescriptionHelpFormatter
            one.set_defaults(run=command.run)
    return whole
