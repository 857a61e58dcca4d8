"""What a person typed on a walk-round page, taken from a form's fields: names in, plain entries out."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from pitchline.desk.posts import MOST_NAME, MOST_REASON
from pitchline.desk.versions import version_in
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.units import METRES_PER_UNIT
from pitchline.words import in_english, translated

HEAD = "head"
_READ = ("1", "2", "3")
FIELDS = {
    "1": (in_english("reading"), MOST_NAME),
    "2": (in_english("reading"), MOST_NAME),
    "3": (in_english("reading"), MOST_NAME),
    "joints": (in_english("over joints"), 10),
    "tool": (in_english("tool"), MOST_NAME),
    "keep": (in_english("kept because"), MOST_REASON),
    "unit": (in_english("unit"), 4),
    "out": (in_english("cannot be reached"), 60),
    "bad": (in_english("how bad"), 10),
    "many": (in_english("how many"), 10),
    "one": (in_english("on one piece"), 4),
    "note": (in_english("note"), MOST_REASON),
    "looked": (in_english("looked over"), 10),
    "date": (in_english("day"), 40),
    "hours": (in_english("hours on the meter"), 40),
    "by": (in_english("who goes round"), MOST_NAME),
}
"""Each field of a line by its short name: what it is called, and how many letters it may have."""


@dataclass(frozen=True, slots=True)
class Typed:
    """The fields of one line as typed.

    Parameters
    ----------
    key : str
        "head", or place and quantity such as "idler/left/1:tread_depth", or place and finding "idler/left/1:leak".
    fields : dict of str to str
        By their short names.
    seen_version : int
        Version of the line when the page was made; 0 for a line nobody had written.
    """

    key: str
    fields: Mapping[str, str] = field(default_factory=dict)
    seen_version: int = 0

    @property
    def place_key(self) -> str:
        """Where the line stands."""
        return self.key.partition(":")[0]

    @property
    def what(self) -> str:
        """Quantity or finding."""
        return self.key.partition(":")[2]

    @property
    def read(self) -> list[str]:
        """Repeats as typed, without the empty ones."""
        return [text for name in _READ if (text := self.fields.get(name, "").strip())]


def entries_of(post: Mapping[str, str]) -> list[Typed]:
    """The lines in a form: each field is called by its line's key, a tilde and its short name.

    Parameters
    ----------
    post : mapping of str to str
        Fields by name; others are left alone.
    """
    lines: dict[str, dict[str, str]] = {}
    versions: dict[str, int] = {}
    for name, text in post.items():
        key, tilde, short = name.rpartition("~")
        if not tilde:
            continue
        if short == "v":
            versions[key] = version_in(text)
        elif short in FIELDS:
            lines.setdefault(key, {})[short] = text
    return [Typed(key, fields, versions.get(key, 0)) for key, fields in lines.items()]


def check(line: Typed) -> None:
    """Nothing comes out; afterwards no field of the line is longer than it may be, and a reading's unit is one.

    Raises
    ------
    NotAllowedError
        The first field that is not so.
    """
    where = f", {line.key}" if line.key != HEAD else ""
    for short, text in line.fields.items():
        name, most = FIELDS[short]
        if len(text.strip()) > most:
            seen = translated("{text} … ({n} letters)").format(text=text[:40], n=len(text))
            allowed = translated("up to {n} letters").format(n=most)
            raise NotAllowedError(f"{translated(name)}{where}", seen, allowed, "Shorten it.")
    unit = line.fields.get("unit", "mm").strip()
    if line.key != HEAD and unit not in METRES_PER_UNIT:
        raise NotAllowedError(
            f"{translated('unit')}{where}", unit, ", ".join(METRES_PER_UNIT), "Choose one of these."
        )
