"""The app's scripts as one script and its style sheets as one sheet: at a cold start a phone asks for two files, not for fifty.

Nothing is built beforehand. Each module becomes a function that is called once, after those it imports, and gives what it
exports; so a name of one is out of another's reach, as among modules. The forms our scripts use are known, and no other.
"""

import hashlib
import re
from functools import lru_cache
from pathlib import Path
from posixpath import dirname, join, normpath

from django.contrib.staticfiles import finders
from django.templatetags.static import static

FIRST = "pocket/app.js"
SHEETS = ("desk/desk.css", "desk/drawing.css", "walkround/round.css", "pocket/pocket.css")
_IMPORT = re.compile(
    r'^import (?:\* as (?P<all>\w+)|(?P<some>\{[\w, ]+\})) from "(?P<name>\.[^"]+)";$', re.MULTILINE
)
_EXPORT = re.compile(r"^export (?P<what>(?:async )?function|class|const) (?P<name>\w+)", re.MULTILINE)
_UNKNOWN = re.compile(r"^(?:import|export)\b.*", re.MULTILINE)
_ADDRESS = re.compile(r'url\("([\w.-]+)"\)')


def text_of(name: str) -> str:
    """A static file as it lies in its app."""
    return Path(str(finders.find(name))).read_text(encoding="utf-8")


def modules() -> dict[str, str]:
    """Every script of the app by its name, with its text, each after those it imports.

    Raises
    ------
    ValueError
        Two import each other, or one imports or exports in a form that is not known.
    """
    found: dict[str, str] = {}
    _gather(FIRST, found, ())
    return found


def _gather(name: str, found: dict[str, str], on_the_way: tuple[str, ...]) -> None:
    if name in on_the_way:
        raise ValueError(f"{name} is imported by what it imports: {on_the_way}")
    if name in found:
        return
    text = text_of(name)
    for one in _IMPORT.finditer(text):
        _gather(_beside(name, one["name"]), found, (*on_the_way, name))
    found[name] = text


def _beside(name: str, other: str) -> str:
    return normpath(join(dirname(name), other))


@lru_cache(maxsize=1)
def script() -> str:
    """All scripts as one."""
    texts = modules()
    known = {name: f"m{number}" for number, name in enumerate(texts)}
    return "\n".join(_as_function(name, text, known) for name, text in texts.items())


def _as_function(name: str, text: str, known: dict[str, str]) -> str:
    def taken(one: re.Match[str]) -> str:
        return f"const {one['all'] or one['some']} = {known[_beside(name, one['name'])]};"

    exported = [one["name"] for one in _EXPORT.finditer(text)]
    body = _EXPORT.sub(r"\g<what> \g<name>", _IMPORT.sub(taken, text))
    if unknown := _UNKNOWN.search(body):
        raise ValueError(f"{name}: not a form of import or export that is known here: {unknown[0]}")
    return f"const {known[name]} = (() => {{\n{body}return {{ {', '.join(exported)} }};\n}})();"


def sheet() -> str:
    """All style sheets as one, fonts by the names they are kept under."""

    def kept(one: re.Match[str]) -> str:
        return f'url("{static(f"desk/{one[1]}")}")'

    return "\n".join(_ADDRESS.sub(kept, text_of(name)) for name in SHEETS)


def digest_of(text: str) -> str:
    """A short text for what a file holds, for its name."""
    return hashlib.sha256(text.encode()).hexdigest()[:12]
