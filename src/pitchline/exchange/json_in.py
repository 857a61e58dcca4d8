"""JSON text in, with its faults told by line."""

import json
from collections import Counter
from typing import Any

from pitchline.exchange.gathering import Gathering, refuse
from pitchline.trade.errors import phrase
from pitchline.trade.writing import as_figure
from pitchline.words import in_english

MOST_KEYS = 10_000
"""In one entry; what checks them spends a kilobyte on each it does not know."""
_WANTED = (
    ("Expecting property name", in_english("a key in double quotes")),
    ("Expecting ':'", in_english("a colon after the key")),
    ("Expecting ','", in_english("a comma, or the closing bracket")),
    (
        "Expecting value",
        in_english("a value: text in double quotes, a number, a list, an entry, true, false or null"),
    ),
    ("Illegal trailing comma", in_english("no comma after the last entry")),
    ("Extra data", in_english("nothing after the last bracket")),
    ("Unterminated string", in_english("a closing quote")),
    ("Invalid control character", in_english("text on one line, without tabs")),
    ("Invalid \\", in_english("a backslash only before a letter or mark that JSON knows")),
)
"""What a reader of JSON misses, by how Python's begins to say it."""


def wanted_at(error: json.JSONDecodeError) -> str:
    """What should stand where a text is no JSON, in English and marked for the catalogue."""
    return next((ours for theirs, ours in _WANTED if error.msg.startswith(theirs)), "JSON")


def loaded(text: str, gathering: Gathering, allowed: str) -> Any:
    """A text as JSON values.

    Returns
    -------
    object
        Dicts, lists, texts, numbers, True, False or None.

    Raises
    ------
    InputError
        The text is not JSON.

    References
    ----------
    RFC 8259.
    """

    def object_of(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        entry = dict(pairs)
        if len(entry) > MOST_KEYS:
            seen = phrase("{n} keys in one entry", n=as_figure(len(entry), ","))
            raise refuse(gathering.file, "JSON", seen, allowed, "Check that this is the right file.")
        if len(entry) < len(pairs):
            for key in sorted(key for key, times in Counter(key for key, _ in pairs).items() if times > 1):
                gathering.add(
                    key, phrase("the same key twice in one entry"), "each key once", "Delete one of the two."
                )
        return entry

    try:
        return json.loads(text, object_pairs_hook=object_of)
    except json.JSONDecodeError as error:
        seen = text[error.pos : error.pos + 20].split("\n")[0] or phrase("the end of the file")
        field = phrase("JSON, line {line}, column {column}", line=error.lineno, column=error.colno)
        wanted = wanted_at(error)
        raise refuse(gathering.file, field, seen, wanted, "Mend the file there.", error.lineno) from None
    except (RecursionError, ValueError):
        seen = phrase("brackets nested too deep, or a number with too many digits")
        raise refuse(gathering.file, "JSON", seen, allowed, "Mend the file.") from None
