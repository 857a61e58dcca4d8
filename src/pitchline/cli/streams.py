"""`-` in place of a file: what comes from standard input, and what goes to standard output."""

import argparse
import contextlib
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from pitchline.exchange.safe_write import write_whole
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated

READ = ("machine", "sheet", "prices", "constants", "instance")
"""Options that name a file to read."""
TEXTS = (".csv", ".json", ".svg", ".txt", ".ics")
"""Endings of what a terminal may show."""


def is_stream(path: Path) -> bool:
    """Whether standard output is meant."""
    return str(path) == "-"


def add_as(command: argparse.ArgumentParser, *endings: str) -> None:
    """The option that says what goes to standard output, where a file could have several endings: the first by itself."""
    command.add_argument(
        "--as",
        choices=endings,
        dest="kind",
        help=translated("what goes to standard output with --out -; {usual} if left out").format(usual=endings[0]),
    )


def ending_of(path: Path, kind: str | None, usual: str) -> str:
    """The ending of a file to write; of standard output the one asked for.

    Raises
    ------
    NotAllowedError
        One is asked for beside a file, whose name says it.
    """
    if is_stream(path):
        return f".{kind or usual}"
    if kind is not None:
        raise NotAllowedError(
            "--as", kind, "together with --out -", "Leave it out: a file's name says what it is."
        )
    return path.suffix.lower()


def write_out(path: Path, content: bytes, ending: str) -> bool:
    """Whether it was written to a file, and not to standard output.

    Raises
    ------
    NotAllowedError
        A terminal would be shown what is no text.
    """
    if not is_stream(path):
        write_whole(path, content)
        return True
    if sys.stdout.isatty() and ending not in TEXTS:
        step = translated("Name a file, or send it on with > or |.")
        raise NotAllowedError(
            str(path), phrase("a terminal"), "a file or another program for what is no text", step
        )
    sys.stdout.flush()
    sys.stdout.buffer.write(content)
    sys.stdout.buffer.flush()
    return False


@contextlib.contextmanager
def standard_input(asked: argparse.Namespace) -> Iterator[dict[str, str]]:
    """While it lasts, `-` among the files to read is a file with what came in; says how it is told of.

    Yields
    ------
    dict of str to str
        The file's last name and what it is called towards whoever asked.

    Raises
    ------
    NotAllowedError
        Standard input is asked for twice.
    """
    asked.piped = False
    given = {name: value for name in READ if (value := getattr(asked, name, None))}
    named = [path for value in given.values() for path in (value if isinstance(value, list) else [value])]
    if Path("-") not in named:
        yield {}
        return
    if named.count(Path("-")) > 1:
        raise NotAllowedError("-", "twice", "standard input once", "Name the other file.")
    content = sys.stdin.buffer.read()
    ending = ".xlsx" if content[:2] == b"PK" else ".json" if content.lstrip()[:1] == b"{" else ".csv"
    with tempfile.TemporaryDirectory() as folder:
        came = Path(folder) / f"standard-input{ending}"
        came.write_bytes(content)
        for name, value in given.items():
            is_it = isinstance(value, list) and Path("-") in value
            asked.piped = asked.piped or (name == "machine" and (is_it or value == Path("-")))
            if isinstance(value, list):
                setattr(asked, name, [came if one == Path("-") else one for one in value])
            elif value == Path("-"):
                setattr(asked, name, came)
        yield {came.name: translated("standard input")}
