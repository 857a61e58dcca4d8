"""What is said of one entry of the shelf, what is taken for a machine, and why a table is brought in."""

import uuid
from collections.abc import Callable, Sequence
from typing import Any

from django import forms

from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.machine.forms import refused
from pitchline.desk.people.models import Depot
from pitchline.desk.posts import MOST_FIGURE, MOST_NAME, MOST_REASON, Post, reason, sent_id, version
from pitchline.desk.shelf.actions import Counted
from pitchline.desk.shelf.models import ShelfItem
from pitchline.desk.spoken import later
from pitchline.desk.thousands import number_text
from pitchline.exchange.figures import count_of, number_of
from pitchline.papers.order_told import shelved_said
from pitchline.papers.words import first_up
from pitchline.stops.shelf import SHELVED
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_figure
from pitchline.words import translated

CONDITIONS = [("", later("new")), ("1", later("used"))]


def _figure(label: str, required: bool = False, help_text: str = "") -> forms.CharField:
    box = forms.TextInput({"inputmode": "decimal", "autocomplete": "off"})
    return forms.CharField(max_length=MOST_FIGURE, required=required, label=label, widget=box, help_text=help_text)


class ItemForm(forms.Form):
    """One entry of the shelf."""

    shelf_number = forms.CharField(
        max_length=MOST_NAME, label=later("Number"), help_text=later("What you call it.")
    )
    shelf_what = forms.ChoiceField(label=later("What it is"))
    entry = forms.ChoiceField(
        required=False,
        label=later("For the running gear"),
        help_text=later("Without one it is promised to no machine."),
    )
    count = _figure(later("How many"), True)
    count_why = forms.CharField(required=False, max_length=MOST_REASON, label=later("Why another count"))
    depot = forms.ChoiceField(required=False, label=later("Depot"))
    rack = forms.CharField(
        required=False, max_length=MOST_NAME, label=later("Place"), help_text=later("The rack or bin.")
    )
    used = forms.ChoiceField(choices=CONDITIONS, required=False, label=later("Condition"))
    reading = forms.CharField(
        required=False,
        max_length=MOST_NAME,
        label=later("What it reads"),
        help_text=later("Of a used one, as measured."),
    )
    cost = _figure(later("Paid for a piece"))
    note = forms.CharField(
        required=False, max_length=MOST_REASON, label=later("Note"), widget=forms.Textarea({"rows": 2})
    )
    seen_version = version()

    def __init__(
        self,
        *args: Any,
        numbers: str,
        is_new: bool = False,
        entries: Sequence[BookEntry] = (),
        depots: Sequence[Depot] = (),
        **more: Any,
    ) -> None:
        super().__init__(*args, **more)
        self.numbers = numbers
        self.entries = {str(one.pk): one for one in entries}
        self.depots = {str(one.pk): one for one in depots}
        for name, choices in (
            ("shelf_what", [(str(one), first_up(shelved_said(one))) for one in SHELVED]),
            ("entry", [("", translated("nobody said")), *((key, one.name) for key, one in self.entries.items())]),
            ("depot", [("", translated("not said")), *((key, one.name) for key, one in self.depots.items())]),
        ):
            field = self.fields[name]
            if isinstance(field, forms.ChoiceField):
                field.choices = choices
        if not depots:
            del self.fields["depot"]
        if is_new:
            del self.fields["count_why"]

    def clean_count(self) -> int:
        """A whole number."""
        return int(self._read("count", lambda text: count_of(text, "count")))

    def clean_cost(self) -> float | None:
        """An amount, or none."""
        return self._read("cost", lambda text: number_of(text, "cost")) if self.cleaned_data["cost"] else None

    def _read(self, name: str, step: Callable[[str], float]) -> float:
        try:
            return step(number_text(self.cleaned_data[name], self.numbers))
        except NotAllowedError as error:
            raise refused(error) from None

    @property
    def said(self) -> Counted:
        """What was typed."""
        typed = self.cleaned_data
        return Counted(
            number=typed["shelf_number"].strip(),
            what=typed["shelf_what"],
            count=typed["count"],
            entry=self.entries.get(typed["entry"]),
            depot=self.depots.get(typed.get("depot", "")),
            place=typed["rack"].strip(),
            used=typed["used"] == "1",
            reading=typed["reading"].strip(),
            cost=typed["cost"],
            note=typed["note"].strip(),
        )


def as_typed(row: ShelfItem) -> dict[str, Any]:
    """An entry as the form begins with it."""
    return {
        "shelf_number": row.number,
        "shelf_what": row.what,
        "entry": str(row.entry_id or ""),
        "count": str(row.count),
        "depot": str(row.depot_id or ""),
        "rack": row.place,
        "used": "1" if row.used else "",
        "reading": row.reading,
        "cost": "" if row.cost is None else as_figure(row.cost, ".10g"),
        "note": row.note,
        "seen_version": row.version,
    }


class Bring(Post):
    """Why the counts of a table are right."""

    why = reason()


class TakeForm(forms.Form):
    """How many of each are taken for a machine."""

    taken_for = forms.CharField(required=False, max_length=MOST_REASON, label=later("What for"))

    def __init__(self, *args: Any, items: Sequence[ShelfItem] = (), numbers: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.items, self.numbers = list(items), numbers
        for one in self.items:
            self.fields[f"take-{one.pk}"] = _figure(translated("How many of {number}").format(number=one.number))

    def clean(self) -> dict[str, Any]:
        """Each count a whole one, up to what is there."""
        for one in self.items:
            name = f"take-{one.pk}"
            text = number_text(str(self.cleaned_data.get(name) or ""), self.numbers)
            try:
                count = count_of(text, one.number) if text else 0
                if count > one.count:
                    raise NotAllowedError(
                        one.number, count, phrase("0 to {n}", n=one.count), "Correct the shelf first."
                    )
                self.cleaned_data[name] = count
            except NotAllowedError as error:
                self.add_error(name, refused(error))
        return self.cleaned_data

    @property
    def counts(self) -> dict[uuid.UUID, int]:
        """By entry of the shelf."""
        return {one.pk: self.cleaned_data[f"take-{one.pk}"] for one in self.items}

    @property
    def lines(self) -> list[tuple[ShelfItem, str, forms.BoundField]]:
        """Each entry, what it is, and its field."""
        return [(one, first_up(shelved_said(one.what)), self[f"take-{one.pk}"]) for one in self.items]


class New(Post):
    """The id of a new entry, made by the page."""

    item_id = sent_id()
