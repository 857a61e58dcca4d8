"""Languages: each one gettext file beside this one, `languages/xx.po`, of which English needs none.

What is not translated yet is said in English. Babel reads the file as translators' tools write it; nothing is compiled.
"""

import gettext
import io
from functools import cache
from importlib import import_module
from pathlib import Path

from pitchline.trade.errors import Phrase, Problem
from pitchline.trade.writing import ENGLISH, way_in_force

FOLDERS: list[Path] = [Path(__file__).parent / "languages"]
"""Where languages are looked for, the last one first."""


NOTHING = "nothing"
"""What is seen where nothing was typed."""


def translated(text: str) -> str:
    """A text in the language in force.

    Parameters
    ----------
    text : str
        In English, as it stands in the code; of a `Phrase` its pattern, and then its values.
    """
    if isinstance(text, Phrase):  # its values are told by kinds, whose module needs this one
        return str(import_module("pitchline.words.speaking").phrase_said(text))
    language = way_in_force().language
    return text if language == ENGLISH or not text else _catalogue(language).gettext(text)


def refused(problem: Problem) -> str:
    """What is wrong and what to do, in the language in force; what was typed stays as it is.

    Parameters
    ----------
    problem : Problem
        As the core or a file's reader says it.
    """
    row = translated("row {row}").format(row=problem.row) if problem.row is not None else ""
    place = ", ".join(part for part in (translated(problem.file), row) if part)
    told = translated("{field}: {seen} is not allowed; allowed: {allowed}. {next_step}").format(
        field=translated(problem.field),
        seen=repr(seen_said(problem.seen)),
        allowed=translated(problem.allowed),
        next_step=translated(problem.next_step),
    )
    return f"{place}: {told}" if place else told


def seen_said(seen: str) -> str:
    """What was typed, as it is; what the core says of it, in the language in force."""
    return translated(seen) if isinstance(seen, Phrase) or seen == NOTHING else str(seen)


def is_nothing(seen: str) -> bool:
    """Whether what was seen is that nothing was typed."""
    return seen in ("", NOTHING, translated(NOTHING))


def in_english(text: str) -> str:
    """The same text, marked for the catalogue: whoever shows it hands it to `translated`."""
    return text


def counted(one: str, more: str, number: int) -> str:
    """A text with a count in the language in force.

    Parameters
    ----------
    one, more : str
        In English, of one and of several.
    number : int
        How many, 0 or more.
    """
    language = way_in_force().language
    if language == ENGLISH:
        return one if number == 1 else more
    return _catalogue(language).ngettext(one, more, number)


def languages() -> tuple[str, ...]:
    """Codes of the languages there are, English first."""
    found = {file.stem for folder in FOLDERS for file in folder.glob("*.po")}
    return (ENGLISH, *sorted(found))


@cache
def _catalogue(language: str) -> gettext.NullTranslations:
    file = next((path for folder in reversed(FOLDERS) if (path := folder / f"{language}.po").exists()), None)
    if file is None:
        return gettext.NullTranslations()
    from babel.messages.mofile import write_mo  # only another language pays for it
    from babel.messages.pofile import read_po

    whole = io.BytesIO()
    with file.open("rb") as lines:
        write_mo(whole, read_po(lines))
    whole.seek(0)
    return gettext.GNUTranslations(whole)


clear = _catalogue.cache_clear
"""Forgets the languages that were read."""
