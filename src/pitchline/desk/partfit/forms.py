"""What the columns of a table hold, asked once; and what is asked of the tables."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString

from pitchline.desk.posts import MOST_FIGURE, Post, Question, choice, figure, sent_id, words
from pitchline.desk.spoken import later
from pitchline.exchange.parts_file import LIMITS, NOTE, NUMBER, OUT, PART, SIZES, Column
from pitchline.exchange.parts_own_table import UNITS
from pitchline.match.bolt_torque import BoltClass
from pitchline.trade.errors import Problem, phrase
from pitchline.trade.part_sizes import PART_SIZES, PartSize, Told, sizes_of_part
from pitchline.trade.parts import PartKind
from pitchline.words import in_english, label, translated, worded
from pitchline.words.labels import singular
from pitchline.words.names import named

PARTS = tuple(part for part in PartKind if sizes_of_part(part))
"""Parts of which anything is known by which they are told apart."""
PREFIX = "size_"
_COLUMNS, _CHOOSE = in_english("columns"), in_english("Choose it again.")
_BESIDE = (
    (NOTE, later("goes into the note")),
    (OUT, later("left out")),
    (NUMBER, later("what the list calls the part")),
    (PART, later("what it is, such as bottom roller")),
)


def _meanings() -> list[tuple[str, str]]:
    sizes = [(name, label(size)) for name, size in SIZES.items()]
    limits = [(name, worded("{size:part_size}, worn out at", size=size)) for name, size in LIMITS.items()]
    return [(key or "-", said) for key, said in _BESIDE] + sizes + limits


class ColumnsForm(Post):
    """What each column holds, in which unit, and what every row is where no column says it."""

    every = choice(later("Every row is"), [])

    def __init__(self, *args: Any, columns: Sequence[Column], **more: Any) -> None:
        super().__init__(*args, **more)
        self.columns, meanings = columns, _meanings()
        named_parts = [(part.value, singular(part)) for part in PARTS]
        self.fields["every"] = choice(
            translated("Every row is"), [("", translated("what its column says")), *named_parts]
        )
        for at, column in enumerate(columns):
            holds = worded("Column {heading} holds", heading=column.heading)
            unit = worded("Unit of column {heading}", heading=column.heading)
            self.fields[f"holds_{at}"] = forms.ChoiceField(
                choices=meanings, required=False, label=holds, initial=column.meaning or "-"
            )
            self.fields[f"unit_{at}"] = forms.ChoiceField(
                choices=[(one, one) for one in UNITS], required=False, label=unit, initial=column.unit
            )

    @property
    def chosen(self) -> tuple[Column, ...]:
        """What was chosen, column by column."""
        typed = self.cleaned_data
        return tuple(
            Column(
                column.heading, _meaning(typed.get(f"holds_{at}") or NOTE), typed.get(f"unit_{at}") or column.unit
            )
            for at, column in enumerate(self.columns)
        )

    @property
    def missing(self) -> tuple[Problem, ...]:
        """What the columns lack, or say twice."""
        held = [one.meaning for one in self.chosen]
        known = PART in held or bool(self.cleaned_data.get("every"))
        lacks = (
            (NUMBER in held, in_english("a column with what the list calls the part")),
            (known, in_english("a column with what it is, or what every row is")),
            (bool(SIZES.keys() & set(held)), in_english("a column with a size")),
        )
        found = [Problem(_COLUMNS, phrase("nothing"), wanted, _CHOOSE) for there, wanted in lacks if not there]
        twice = sorted({one for one in held if one not in (NOTE, OUT) and held.count(one) > 1})
        found += [
            Problem(_COLUMNS, phrase("{name} twice", name=one), "each column once", _CHOOSE) for one in twice
        ]
        return tuple(found)


def _meaning(choice_made: str) -> str:
    return OUT if choice_made == "-" else choice_made


class WhichPart(Question):
    """What was read of a worn part, as typed."""

    part = choice(later("Part"), ((part.value, later(named(part))) for part in PARTS))
    machine = sent_id()
    doubt = words(later("Doubt of a reading"), MOST_FIGURE)

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for size in PartSize:
            self.fields[PREFIX + size.value] = words(label(size), 2 * MOST_FIGURE)


class BoltAsked(Question):
    """A torque as typed, and the bolt it is for."""

    torque, thread, lead = figure(later("Torque")), figure(later("Thread")), figure(later("Thread pitch"))
    bolt = choice(later("Property class"), ((one.value, one.value) for one in BoltClass))


_CHORD = later("or {chord}, or {girth} with a tape round it")
_HELP: dict[PartSize, str] = {
    PartSize.PITCH: later("from pin to pin, over several joints, divided by their number"),
    PartSize.PIN_DIAMETER: later("where it looks out of the link"),
    PartSize.BUSH_DIAMETER: later("where it is worn least"),
    PartSize.LINK_HEIGHT: later("from the shoe's seat to the rail"),
    PartSize.INSIDE_WIDTH: later("between the links, beside the bush"),
    PartSize.BOLTS_ALONG: later("from middle to middle, in the direction of travel"),
    PartSize.BOLTS_ACROSS: later("from middle to middle, across the machine"),
    PartSize.BOLT_DIAMETER: later("of the thread"),
    PartSize.JOINTS: later("counted round one side"),
    PartSize.WIDTH: later("over all, from edge to edge"),
    PartSize.GROUSER_HEIGHT: later("above the plate"),
    PartSize.GROUSERS: later("counted on one shoe"),
    PartSize.TREAD_DIAMETER: later("where the rail rolls"),
    PartSize.FLANGE_DIAMETER: later("over the flange"),
    PartSize.SHAFT_DIAMETER: later("at its end, where it does not wear"),
    PartSize.FLANGES: later("1 with flanges outside alone, 2 with inner ones too"),
    PartSize.TEETH: later("counted, or {ring}: from tip to tip over so many gaps, and the diameter over the tips"),
    PartSize.ROOT_DIAMETER: later("across the bottoms of the gaps"),
    PartSize.TIP_DIAMETER: later("across the tips"),
    PartSize.BOLT_CIRCLE: later(
        "through the bolts' middles, or {circle}: from bolt to bolt, so many on, of so many"
    ),
    PartSize.BOLTS: later("counted on one"),
    PartSize.BORE: later("of the hole in the middle"),
    PartSize.RUBBER_PITCH: later("from lug to lug, over several, divided by their number"),
    PartSize.LINKS: later("metal cores counted once round"),
    PartSize.GUIDE: later("as your list calls it"),
}
_ROUND = (
    PartSize.TREAD_DIAMETER, PartSize.FLANGE_DIAMETER, PartSize.ROOT_DIAMETER, PartSize.TIP_DIAMETER, PartSize.SHAFT_DIAMETER,
    PartSize.BUSH_DIAMETER, PartSize.PIN_DIAMETER,
)  # fmt: skip
WAYS = {
    "chord": "chord 400 height 100",
    "girth": "girth 641",
    "ring": "482 over 5 gaps of 820",
    "circle": "50 over 1 of 26",
}
"""How a size is typed that was measured where no calliper reaches, as `exchange/part_readings.py` reads it."""


def help_of(size: PartSize) -> SafeString:
    """How a size is read, in a line."""
    typed = {name: format_html("<code>{}</code>", text) for name, text in WAYS.items()}
    said = format_html(str(_HELP[size]), **typed)
    return format_html("{}; {}", said, format_html(str(_CHORD), **typed)) if size in _ROUND else said


def in_unit(size: PartSize) -> bool:
    """Whether a size is a length."""
    return PART_SIZES[size].told is Told.LENGTH
