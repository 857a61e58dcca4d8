"""The form of a running gear in the gear list: every field a machine file knows of one."""

import json
from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms

from pitchline.desk.machine.gear_form import GEAR_FIELDS, GearForm, length_field
from pitchline.desk.posts import MOST_NAME, MOST_REASON, Post, Question, words
from pitchline.desk.spoken import later


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

    either: ClassVar[tuple[str, ...]] = ("joints_per_side", "pitch", "shoe_width")

    entry_id = forms.UUIDField(widget=forms.HiddenInput, required=False, label=later("its id"))
    name = forms.CharField(
        max_length=MOST_NAME,
        label=later("Name in the gear list"),
        help_text=later("Your own, such as “Wide steel, 47 joints”."),
    )
    note = forms.CharField(max_length=MOST_REASON, required=False, label=later("Note"))
    why = forms.CharField(max_length=MOST_REASON, required=False, label=later("Why is it changed"))
    week_low = week_usual = week_high = travelling = None  # type: ignore[assignment]  # its hours belong to a machine
    pitch_over = pitch_joints = None  # type: ignore[assignment]  # and so does what was measured on it
    field_order = ("seen_version", "entry_id", "name", "note", "track", "size", *GEAR_FIELDS[1:], "why")

    pitch = length_field(later("New pitch of one joint"), later("With its unit, such as 187 mm."), required=False)

    def part_text(self, known: Mapping[str, Any]) -> str:
        """The gear part these fields make; its limits stay as they are known."""
        gear = self.gear(known.get("running_gear", {}))
        return json.dumps(dict(known) | {"running_gear": gear}, indent=2, ensure_ascii=False) + "\n"
