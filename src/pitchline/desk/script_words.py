"""What the scripts of pages say, in another language than English: it comes with the page, and `desk/say.js` reads it."""

import ast
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from pitchline.trade.consequences import FindingKind
from pitchline.trade.writing import ENGLISH, way_in_force
from pitchline.words.catalogue import counted, translated
from pitchline.words.labels import label
from pitchline.words.names import named

_TEXT = r"""\s*"((?:[^"\\]|\\.)*)\"\s*"""
_SAID = re.compile(rf"\bsay\({_TEXT}[,)]")
_COUNTED = re.compile(rf"\bcounted\({_TEXT},{_TEXT},")
_HERE = Path(__file__).parent
_NUMBERS = 200
"""Counts whose forms are told; in every language they begin anew after a hundred, but for the first."""


def said_in(script: str) -> Iterator[str | tuple[str, str]]:
    """The texts of a script; two for what it counts."""
    yield from (ast.literal_eval(f'"{one[1]}"') for one in _SAID.finditer(script))
    for one in _COUNTED.finditer(script):
        yield ast.literal_eval(f'"{one[1]}"'), ast.literal_eval(f'"{one[2]}"')


def words_of_scripts() -> dict[str, Any]:
    """Every text of the scripts by the English one, in the language in force; empty where that is English."""
    language = way_in_force().language
    return {} if language == ENGLISH else _words(language)


@lru_cache(maxsize=8)
def _words(language: str) -> dict[str, Any]:
    found: dict[str, Any] = {named(kind): label(kind) for kind in FindingKind}
    for file in sorted(_HERE.rglob("static/**/*.js")):
        if ".min." in file.name:
            continue
        for text in said_in(file.read_text(encoding="utf-8")):
            if isinstance(text, str):
                found[text] = translated(text)
                continue
            told = [counted(*text, number) for number in range(_NUMBERS)]
            forms = list(dict.fromkeys(told))
            found[text[1]] = {"forms": forms, "of": [forms.index(one) for one in told]}
    return found
