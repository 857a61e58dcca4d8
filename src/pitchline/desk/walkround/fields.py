"""One line and one part of a sheet as its pages show them: what was typed, how it stands, what is asked."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from pitchline.desk.walkround.field_hints import (
    Size,
    Warned,
)
from pitchline.desk.walkround.models import NOTHING_SEEN
from pitchline.desk.walkround.sketch import Spot
from pitchline.papers.words import first_up
from pitchline.trade.findings import FindingKind
from pitchline.words import translated
from pitchline.words.labels import quantity_spanned
from pitchline.words.names import named


@dataclass(frozen=True, slots=True)
class ReadingField:
    """One quantity to be read.

    Parameters
    ----------
    key : str
        Line key.
    label, how : str
        The quantity, how it is read.
    boxes : tuple of str
        Three repeats as typed.
    joints, tool, keep, unit : str
        Joints spanned, tool, and why it was kept, as typed; the unit the texts are read in.
    spans : bool
        Whether it spans joints.
    version : int
        Of the row; 0 before the first writing.
    problem, wrong : str
        Why it cannot be used, and the short name of the field it stands in.
    warned : tuple of Warned
        What looks wrong.
    over : int
        Joints the sizes are told for; 1 where none are spanned.
    sizes : tuple of Size
        Last time, new and limit, or the range it must stay in, as far as they are known.
    spread : str
        How far apart its repeats lie; empty below two.
    not_read_because : str
        Why it was not read; empty where it was, or is still to be.
    enter_at : str
        Where the range is entered that a setting is judged by; empty where it is entered, and for what wears.
    links : bool
        Whether it spans links of a rubber track, not joints of a chain.
    """

    key: str
    label: str
    how: str
    boxes: tuple[str, str, str]
    joints: str
    tool: str
    keep: str
    unit: str
    spans: bool
    version: int
    problem: str
    wrong: str
    warned: tuple[Warned, ...]
    over: int = 1
    sizes: tuple[Size, ...] = ()
    spread: str = ""
    not_read_because: str = ""
    enter_at: str = ""
    links: bool = False

    @property
    def quantity(self) -> str:
        """What is read, as its key has it."""
        return self.key.rpartition(":")[2]

    @property
    def bare(self) -> str:
        """The quantity without what it is read over: "pitch" of "pitch, length over several joints"."""
        return quantity_spanned(self.quantity) or self.label

    @property
    def settled(self) -> bool:
        """Whether nothing is left to type on it: read, or told that it cannot be."""
        return any(self.boxes) or bool(self.not_read_because)

    @property
    def says_more(self) -> bool:
        """Whether anything was entered beside the first reading that has to be in view."""
        return any(self.boxes[1:]) or bool(self.not_read_because)

    @property
    def before(self) -> SafeString:
        """What it is held against, in words."""
        sizes = " · ".join(map(self._size, self.sizes))
        told = (
            translated("Over <span data-over>{over}</span> links: ")
            if self.links
            else translated("Over <span data-over>{over}</span> joints: ")
        )
        over = told.format(over=self.over) if self.spans and sizes else ""
        return mark_safe(over + sizes + (" · " if sizes and self.enter_at else "") + self._unjudged)  # noqa: S308  escaped by each

    @property
    def _unjudged(self) -> SafeString:
        if not self.enter_at:
            return SafeString("")
        why = translated("Kept, but not judged: no range is entered for it.")
        return format_html('{} <a href="{}">{}</a>', why, self.enter_at, translated("Enter it"))

    def _size(self, one: Size) -> str:
        each = f' data-each="{escape(one.each)}"' if one.each else ""
        after = f" {escape(one.after)}" if one.after else ""
        return f"{escape(one.name)} <b{each}>{escape(one.said)}</b> {escape(self.unit)}{after}"

    @property
    def mark(self) -> str:
        """What stands in its place on a page that holds the pattern of a line; empty once anybody has written it."""
        if self.version or self.warned:
            return ""
        spans = (
            f' data-spans="{escape(first_up(self.bare))}" data-joints="{escape(self.joints)}"'
            if self.spans
            else ""
        )
        about = f'data-key="{escape(self.key)}" data-label="{escape(self.label)}" data-how="{escape(self.quantity)}"{spans}'
        return f'<p data-mark="reading" {about}>{self.before}</p>'

    @property
    def questioned(self) -> bool:
        """Whether something looks wrong about it that nobody has said is right."""
        return bool(self.warned) and not self.keep

    @property
    def doubt(self) -> str:
        """Whether a questioned one is held back, or only asked about; empty where nothing is questioned."""
        if not self.questioned:
            return ""
        return "held" if any(one.held for one in self.warned) else "asked"


@dataclass(frozen=True, slots=True)
class SeenField:
    """One thing that may be seen.

    Parameters
    ----------
    key, label : str
        Line key, and the thing.
    bad, count, note : str
        As entered.
    version : int
        Of the row; 0 before the first writing.
    counted : bool
        Whether its number is what is asked for.
    piece : str
        One of the pieces that what is counted may sit on, such as "shoe"; empty where that is not asked.
    one : str
        Whether two or more sit on one: "yes", "no", or empty where nobody said.
    several : bool
        Whether it is asked how many were seen.
    seen_on : date or None
        Carried over: the day somebody last saw it.
    """

    key: str
    label: str
    bad: str
    count: str
    note: str
    version: int
    counted: bool = False
    piece: str = ""
    one: str = ""
    several: bool = True
    seen_on: dt.date | None = None

    @property
    def pattern(self) -> str:
        """The pattern of a line that it is a copy of."""
        if self.key.endswith(f":{NOTHING_SEEN}"):
            return "nothing"
        if self.piece or self.counted:
            return f"counted-{self.piece}" if self.piece else "counted"
        return "finding" if self.several else "alone"

    @property
    def short_mark(self) -> str:
        """The same in a mark for a whole part: the kind, after a colon the pattern, and the name where it is another word."""
        kind = self.key.rpartition(":")[2]
        name = named(FindingKind(kind)) if kind != NOTHING_SEEN else kind
        said = f":{name.replace(' ', '_')}" if name != kind.replace("_", " ") else ""
        return f"{kind}:{self.pattern}{said}"

    @property
    def mark(self) -> SafeString:
        """What stands in its place on a page that holds the pattern of a line; empty once anybody has written it."""
        if self.version:
            return SafeString("")
        return format_html(
            '<i data-mark="{}" data-key="{}" data-label="{}"></i>', self.pattern, self.key, self.label
        )


@dataclass(frozen=True, slots=True)
class SeenBefore:
    """One thing that was seen last time.

    Parameters
    ----------
    key, said : str
        Line key, and the thing, how bad, and its note.
    standing : str
        What it is and the day somebody saw it.
    stands : bool
        Whether nothing on this sheet says anything of it yet.
    """

    key: str
    said: str
    standing: str
    stands: bool


@dataclass(frozen=True, slots=True)
class PlaceFields:
    """One part on the sheet.

    Parameters
    ----------
    key, name, side : str
        Place key, name, side.
    readings : tuple of ReadingField
        What to read.
    seen : tuple of SeenField
        What to look for.
    nothing : SeenField
        Whether somebody looked and saw nothing.
    spot : Spot or None
        Where it is on the small drawing; None where nothing is drawn.
    before : tuple of SeenBefore
        What was seen last time.
    last_day : str
        Day of last time.
    """

    key: str
    name: str
    side: str
    readings: tuple[ReadingField, ...]
    seen: tuple[SeenField, ...]
    nothing: SeenField
    spot: Spot | None = None
    before: tuple[SeenBefore, ...] = ()
    last_day: str = ""

    @property
    def last_seen(self) -> str:
        """What was seen on it last time, in words; empty where nothing was."""
        return (
            translated("Last time, {last_day}: {listed}").format(
                last_day=self.last_day, listed="; ".join(one.said for one in self.before)
            )
            if self.before
            else ""
        )

    @property
    def stands_open(self) -> bool:
        """Whether something was seen on it last time of which nothing is said yet."""
        return any(one.stands for one in self.before)

    @property
    def marks(self) -> SafeString:
        """What stands in place of its readings, where nobody has written any of them."""
        marks = [field.mark for field in self.readings]
        return mark_safe("".join(marks) if all(marks) else "")  # noqa: S308  escaped by each

    @property
    def seen_marks(self) -> SafeString:
        """What stands in place of everything that may be seen, where nobody has written any of it."""
        if self.was_seen or not self.seen:
            return SafeString("")
        kinds = " ".join(field.short_mark for field in (self.nothing, *self.seen))
        return format_html('<i data-marks="{}" data-of="{}"></i>', kinds, self.key)

    @property
    def was_seen(self) -> tuple[SeenField, ...]:
        """What anybody has written of what may be seen."""
        return tuple(field for field in (self.nothing, *self.seen) if field.version)

    @property
    def looked(self) -> bool:
        """Whether somebody looked at it: something was seen, or it was said that nothing is."""
        return bool(self.nothing.bad) or any(field.bad for field in self.seen)

    @property
    def done(self) -> bool:
        """Whether the verdict will count it as looked at: anything was read or seen on it."""
        return any(any(field.boxes) and not field.problem for field in self.readings) or self.looked

    @property
    def unread(self) -> tuple[ReadingField, ...]:
        """Quantities neither read nor told that they cannot be."""
        return tuple(field for field in self.readings if not field.settled)

    @property
    def refused(self) -> tuple[ReadingField, ...]:
        """Quantities that cannot be used as typed."""
        return tuple(field for field in self.readings if field.problem)

    @property
    def left(self) -> str:
        """What is left to do on it, in words; empty where nothing is. `standing.js` says the same."""
        groups: list[tuple[Sequence[ReadingField], str]] = [
            (self.refused, translated("could not be saved")),
            ([field for field in self.readings if field.doubt == "held"], translated("held back until answered")),
            (
                [field for field in self.readings if field.doubt == "asked"],
                translated("asked about, kept in the figures"),
            ),
            (self.unread, translated("not read")),
        ]
        said = [f"{', '.join(field.label for field in group)}: {what}" for group, what in groups if group]
        return "; ".join(said + ([] if self.looked or not self.seen else [translated("not looked over")]))

    @property
    def stands(self) -> str:
        """How it stands, in a word or two. `standing.js` says the same."""
        if self.refused:
            return translated("not saved")
        if any(field.questioned for field in self.readings):
            return translated("questioned")
        typed = len(self.readings) - len(self.unread)
        if typed < len(self.readings):
            return (
                translated("{typed} of {n} read").format(typed=typed, n=len(self.readings))
                if typed
                else translated("not read")
            )
        if self.seen and not self.looked:
            return translated("read, not looked over" if self.readings else "not looked over")
        return translated("✓ done")
