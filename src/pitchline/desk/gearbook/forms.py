"""The form of a running gear in the gear list: every field a machine file knows of one."""

import json
from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms

from pitchline.desk.machine.forms import GearForm, length_field
from pitchline.desk.posts import MOST_NAME, MOST_REASON, Post, Question, words
from pitchline.desk.spoken import later
from pitchline.words import translated

GEAR_FIELDS = (
    "track", "joints_per_side", "pitch", "chain_type", "shoe_width", "sprocket_teeth", "sprocket_gaps", "bottom_rollers_per_side",
    "upper_rollers_per_side", "two_flange_rollers", "layout", "shoe_class", "grousers_per_shoe", "bolts_per_shoe",
    "pads_per_shoe", "bolts_per_pad", "sprocket_segments", "adjuster_stroke", "guards", "slew_ring",
)  # fmt: skip
_COUNTS = ("grousers_per_shoe", "bolts_per_shoe", "pads_per_shoe", "bolts_per_pad", "sprocket_segments")


STROKE_BOUNDS_M = (0.001, 2.0)


def _count(label: str, help_text: str = "") -> forms.IntegerField:
    return forms.IntegerField(required=False, min_value=0, max_value=60, label=label, help_text=help_text)


class ToBook(Post):
    """What a machine's running gear is called in the gear list; empty for the machine's name."""

    name = forms.CharField(
        required=False,
        max_length=MOST_NAME,
        label=later("name in the gear list"),
        widget=forms.TextInput(attrs={"aria-describedby": "wrong-book-name"}),
    )


class LookFor(Question):
    """A machine by its name."""

    q = words(later("look for a machine"))


class BookForm(GearForm):
    """A running gear by name, with every count and size of it."""

    either: ClassVar[tuple[str, ...]] = ()

    entry_id = forms.UUIDField(widget=forms.HiddenInput, required=False, label=later("its id"))
    name = forms.CharField(
        max_length=MOST_NAME,
        label=later("Name in the gear list"),
        help_text=later("Your own, such as “Wide steel, 47 joints”."),
    )
    note = forms.CharField(max_length=MOST_REASON, required=False, label=later("Note"))
    two_flange_rollers = forms.CharField(
        max_length=100,
        required=False,
        label=later("Bottom rollers with two flanges"),
        help_text=later("Their numbers from the front, such as 2, 5."),
    )
    grousers_per_shoe = _count(later("Grousers on one shoe"))
    bolts_per_shoe = _count(later("Bolts of one shoe"), later("0 where nobody has counted them."))
    pads_per_shoe = _count(later("Rubber pads on one shoe"))
    bolts_per_pad = _count(later("Bolts of one pad"), later("0 where nobody has counted them."))
    sprocket_segments = _count(later("Bolted segments of one sprocket"), later("0 when it is in one piece."))
    adjuster_stroke = length_field(
        later("Whole stroke of the track adjuster"), later("Such as 120 mm."), required=False
    )
    guards = forms.CharField(
        max_length=300, required=False, label=later("Guards"), help_text=later("In words, parted by commas.")
    )
    why = forms.CharField(max_length=MOST_REASON, required=False, label=later("Why is it changed"))
    week_low = week_usual = week_high = travelling = None  # type: ignore[assignment]  # its hours belong to a machine
    pitch_over = pitch_joints = None  # type: ignore[assignment]  # and so does what was measured on it
    field_order = ("seen_version", "entry_id", "name", "note", *GEAR_FIELDS, "why")

    pitch = length_field(later("New pitch of one joint"), later("With its unit, such as 187 mm."))

    def clean_adjuster_stroke(self) -> str:
        """A length, or nothing."""
        return self._length("adjuster_stroke", *STROKE_BOUNDS_M)

    def clean_two_flange_rollers(self) -> list[int]:
        """Numbers, parted by commas or blanks."""
        text = self.cleaned_data["two_flange_rollers"].replace(",", " ")
        if not all(bit.isdecimal() and len(bit) < 3 for bit in text.split()):
            raise forms.ValidationError(translated("Write numbers parted by commas, such as 2, 5."))
        return [int(bit) for bit in text.split()]

    def clean_guards(self) -> list[str]:
        """Words, parted by commas."""
        return [bit.strip() for bit in self.cleaned_data["guards"].split(",") if bit.strip()]

    def part_text(self, known: Mapping[str, Any]) -> str:
        """The gear part these fields make; its limits stay as they are known."""
        typed = self.cleaned_data
        gear = {name: typed[name] for name in GEAR_FIELDS if typed.get(name) not in (None, "", [], False)}
        gear |= {name: typed[name] for name in _COUNTS if typed.get(name) is not None}
        stood = known.get("running_gear", {})
        if stood.get("pitch_measured") and stood.get("pitch") == gear["pitch"]:
            gear["pitch_measured"] = True
        return json.dumps(dict(known) | {"running_gear": gear}, indent=2, ensure_ascii=False) + "\n"


def start_of(gear: Mapping[str, Any]) -> dict[str, Any]:
    """What a form begins with, from a gear part's own words."""
    start = dict(gear)
    for name in ("two_flange_rollers", "guards"):
        start[name] = ", ".join(str(each) for each in gear.get(name, []))
    return start
