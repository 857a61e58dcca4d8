"""What a person typed on a walk-round page, taken from a form's fields: names in, plain entries out."""

from collections.abc import Mapping
from dataclasses import dataclass, field

HEAD = "head"
_READ = ("1", "2", "3")
FIELDS = (
    "1",
    "2",
    "3",
    "joints",
    "tool",
    "keep",
    "unit",
    "out",
    "bad",
    "many",
    "note",
    "looked",
    "date",
    "hours",
    "by",
)


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

    References
    ----------
    Definition.
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

    Returns
    -------
    list of Typed
        In the order of the form.

    References
    ----------
    Our own.
    """
    lines: dict[str, dict[str, str]] = {}
    versions: dict[str, int] = {}
    for name, text in post.items():
        key, tilde, short = name.rpartition("~")
        if not tilde:
            continue
        if short == "v":
            versions[key] = int(text) if text.isdigit() and len(text) < 10 else 0
        elif short in FIELDS:
            lines.setdefault(key, {})[short] = text[:2000]
    return [Typed(key, fields, versions.get(key, 0)) for key, fields in lines.items()]
