"""A made-up language: every text with its Latin letters exchanged for Cyrillic ones, values and elements as they are.

Whatever a reader sees in plain letters then did not come out of the catalogue, or was typed by somebody.
"""

import gettext
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from babel.messages.pofile import write_po
from translations import everything_said

from pitchline.trade.writing import Writing, writing
from pitchline.words import catalogue
from run_folder import RUN, alone_at

CODE = "x-wide"
"""A private code (BCP 47): nobody's language."""
_KEPT = re.compile(r"\{[^{}]*\}|<[^<>]*>|&#?\w+;|%\(\w+\)\w|%[srd]")
_CYRILLIC = {ord("A") + n: 0x410 + n for n in range(26)} | {ord("a") + n: 0x430 + n for n in range(26)}
PLAIN = re.compile(r"[A-Za-z]{2,}")


def cyrillic(text: str) -> str:
    """A text in the made-up language."""
    made, at = [], 0
    for kept in _KEPT.finditer(text):
        made += [text[at : kept.start()].translate(_CYRILLIC), kept[0]]
        at = kept.end()
    return "".join([*made, text[at:].translate(_CYRILLIC)])


def write(folder: Path) -> None:
    """The language as one file in a folder; to gather all that is said takes seconds."""
    if not RUN:
        _write(folder / f"{CODE}.po")
        return
    with alone_at(f"{CODE}.po") as made:
        if not made.exists():
            _write(made)
    shutil.copy(made, folder)


def _write(path: Path) -> None:
    whole = everything_said()
    for message in whole:
        if message.id:
            message.string = (
                tuple(cyrillic(text) for text in message.id)
                if isinstance(message.id, tuple)
                else cyrillic(message.id)
            )
    with path.open("wb") as file:
        write_po(file, whole)


def read_once() -> None:
    """It is known from now on, whoever asked for it before it was there; to read it takes each test a third of a second."""
    if not isinstance(catalogue._catalogue(CODE), gettext.GNUTranslations):
        catalogue.clear()


@contextmanager
def spoken(folder: Path) -> Iterator[None]:
    """Everything inside is said in the made-up language."""
    write(folder)
    catalogue.FOLDERS.append(folder)
    read_once()
    try:
        with writing(Writing(language=CODE)):
            yield
    finally:
        catalogue.FOLDERS.pop()


def plain_words(text: str, but: frozenset[str] = frozenset()) -> list[str]:
    """What of a text is in plain letters, but for the words that are data or of a standard."""
    return [word for word in PLAIN.findall(text) if word not in but]
