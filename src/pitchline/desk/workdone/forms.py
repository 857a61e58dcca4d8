"""The form of work done: its head, and a row for each job."""

import datetime as dt
from collections.abc import Callable, Iterable
from typing import Any, TypeVar

from django import forms

from pitchline.desk.clock import today
from pitchline.desk.machine.forms import refused
from pitchline.desk.posts import MOST_FIGURE, MOST_NAME, MOST_REASON, Post, figure, reason, sent_id, version, words
from pitchline.desk.spoken import later
from pitchline.desk.thousands import length_text, number_text
from pitchline.desk.workdone.rows import Row
from pitchline.exchange.figures import date_of, hours_of, number_of, typed_length
from pitchline.papers.words import first_up
from pitchline.trade.asking import checked_currency
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.findings import Finding, FindingKind
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.part_events import Because
from pitchline.trade.parts import Place
from pitchline.trade.readings import DEFAULT_TOOLS, Reading
from pitchline.trade.work_done import ASKED, RENEWING, Did, closed_by, doable_on
from pitchline.trade.writing import as_day, as_figure
from pitchline.words import say, translated
from pitchline.words.labels import label

JOINTS = 4
"""Joints a pitch is measured over here, as on a walk-round."""
T = TypeVar("T")


class DoneForm(forms.Form):
    """Day, hours and who: the same for every job of it."""

    seen_version = version()
    work_id = sent_id()
    work_id.widget = forms.HiddenInput()
    day = forms.CharField(
        max_length=MOST_FIGURE, label=later("Day"), widget=forms.DateInput(attrs={"type": "date"})
    )
    hours = forms.CharField(
        max_length=MOST_FIGURE,
        label=later("Hours on the meter"),
        help_text=later("As read that day; carried on until you type them."),
    )
    by = words(later("Who"))
    currency = forms.CharField(
        max_length=3, required=False, label=later("Currency"), help_text=later("Its three letters, such as EUR.")
    )
    note = forms.CharField(max_length=MOST_REASON, required=False, label=later("Note"))

    def __init__(self, *args: Any, numbers: str, currency: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.numbers, self.known_currency = numbers, currency
        self.fields["hours"].widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}
        if currency:
            del self.fields["currency"]

    def clean_day(self) -> dt.date:
        """A day that has been."""
        return self._read(lambda: _been(date_of(self.cleaned_data["day"], "day")))

    def clean_hours(self) -> float:
        """Hours as typed, of the meter."""
        return self._read(lambda: hours_of(number_text(self.cleaned_data["hours"], self.numbers, "h")))

    def clean_currency(self) -> str:
        """A code, or nothing."""
        code = self.cleaned_data["currency"].strip().upper()
        return self._read(lambda: checked_currency(code)) if code else ""

    def _read(self, step: Callable[[], T]) -> T:
        try:
            return step()
        except NotAllowedError as error:
            raise refused(error) from None

    @property
    def code(self) -> str:
        """Currency of every amount; empty where nobody said."""
        return self.known_currency or str(self.cleaned_data.get("currency") or "")


def _been(day: dt.date) -> dt.date:
    if day > today():
        step = translated("Type the day it was done; write it down when it is.")
        raise NotAllowedError(
            "day",
            as_day(day),
            phrase("today, {today:day}, or earlier", today=today().isoformat()),
            step,
        )
    return day


class WorkRowForm(forms.Form):
    """One job: where, what, sizes, what it put right, and what it cost."""

    done = forms.BooleanField(required=False, label=later("Done"))
    did = forms.ChoiceField(required=False, label=later("What was done"))
    because = forms.ChoiceField(required=False, label=later("Why the old one came off"))
    labour = figure(later("Labour"))
    parts = figure(later("Parts"))

    def __init__(
        self,
        *args: Any,
        row: Row,
        sizes: tuple[tuple[Place, Measurand], ...],
        numbers: str,
        currency: str,
        alone: bool,
        **more: Any,
    ) -> None:
        super().__init__(*args, **more)
        self.row, self.sizes, self.numbers, self.alone = row, sizes, numbers, alone
        kinds = [(did.value, first_up(label(did))) for did in doable_on(row.part)]
        self.fields["did"].choices = [("", translated("Choose")), *kinds]  # type: ignore[attr-defined]
        self.fields["did"].initial = row.did.value if row.did is not None else ""
        reasons = [(one.value, first_up(label(one))) for one in Because if one is not Because.UNKNOWN]
        self.fields["because"].choices = [("", first_up(label(Because.UNKNOWN))), *reasons]  # type: ignore[attr-defined]
        self.fields["done"].initial = alone
        for name in ("labour", "parts") if currency else ():
            self.fields[name].label = f"{self.fields[name].label}, {currency}"
        if alone:
            self.fields["done"].widget = forms.HiddenInput()
        for place in row.places:
            self.fields[f"at-{place.key}"] = forms.BooleanField(
                required=False, initial=place in row.ticked, label=label(place)
            )
        for one in row.seen:
            self.fields[right_name(one)] = forms.BooleanField(
                required=False, initial=one in row.asked, label=f"{label(one.place)}: {say(one.told())}"
            )
        for place, measurand in sizes:
            self.fields[size_name(place, measurand)] = figure(_size_label(place, measurand))
        for name in ("labour", "parts", *(size_name(*one) for one in sizes)):
            self.fields[name].widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}

    def group(self, start: str) -> list[forms.BoundField]:
        """The fields whose names begin so."""
        return [self[name] for name in self.fields if name.startswith(start)]

    @property
    def where(self) -> list[forms.BoundField]:
        """A box for each place."""
        return self.group("at-")

    @property
    def seen(self) -> list[forms.BoundField]:
        """A box for everything that still stands there."""
        return self.group("right-")

    @property
    def read(self) -> list[forms.BoundField]:
        """A field for each size."""
        return self.group("size-")

    @property
    def stops(self) -> bool:
        """Whether something that stops the machine can be ticked away here."""
        return any(one.call.asks and one.call.value == "stop" for one in self.row.seen)

    @property
    def sets(self) -> bool:
        """Whether sag or adjuster can be written down here."""
        return any(MEASURANDS[what].role is Role.SETTING for _, what in self.sizes)

    @property
    def size_wrong(self) -> bool:
        """Whether a size is refused, so that the fold it is in stands open."""
        return any(name.startswith("size-") for name in self.errors)

    @property
    def places(self) -> tuple[Place, ...]:
        """Where it was done."""
        return tuple(place for place in self.row.places if self.cleaned_data.get(f"at-{place.key}"))

    @property
    def put_right(self) -> tuple[tuple[Place, FindingKind], ...]:
        """What no longer stands: what was ticked, and what such work puts right by itself."""
        did, places = Did(self.cleaned_data["did"]), self.places
        return tuple(
            (one.place, one.kind)
            for one in self.row.seen
            if (self.cleaned_data.get(right_name(one)) and _here(one, places, did)) or closed_by(did, places, one)
        )

    @property
    def readings(self) -> tuple[Reading, ...]:
        """The sizes typed for places it was done at."""
        found = ((place, what, self.cleaned_data.get(size_name(place, what))) for place, what in self.sizes)
        return tuple(_reading(place, what, typed) for place, what, typed in found if typed is not None)

    def amount(self, name: str) -> float | None:
        """What was typed of the cost; None where nothing was."""
        return self.cleaned_data.get(name)

    def clean(self) -> dict[str, Any]:
        """Figures as numbers, sizes as lengths; what is not ticked as done is not looked at."""
        typed = super().clean() or {}
        if not typed.get("done"):
            return typed
        for name in ("labour", "parts"):
            typed[name] = self._figure(name, typed.get(name) or "")
        for place, measurand in self.sizes:
            name = size_name(place, measurand)
            typed[name] = self._size(name, typed.get(name) or "", measurand)
        if not typed.get("did") and "did" not in self.errors:
            self.add_error("did", translated("Nothing is chosen. Choose what was done."))
        if not any(typed.get(f"at-{place.key}") for place in self.row.places):
            self.add_error(
                f"at-{self.row.places[0].key}", translated("No part is ticked. Tick those it was done to.")
            )
        if typed.get("did"):
            self._check_sizes(Did(typed["did"]), typed)
            self._check_right(Did(typed["did"]), typed)
        return typed

    def _check_sizes(self, did: Did, typed: dict[str, Any]) -> None:
        ticked = [place for place in self.row.places if typed.get(f"at-{place.key}")]
        for place, measurand in self.sizes:
            name, worn = size_name(place, measurand), MEASURANDS[measurand].role is Role.WEAR
            if typed.get(name) is None:
                continue
            if worn and did is not Did.FITTED_PART_WORN:
                self.add_error(
                    name,
                    translated(
                        "A size says what a used part was fitted with. Choose “{fitted_part_worn}”, or empty it."
                    ).format(fitted_part_worn=label(Did.FITTED_PART_WORN)),
                )
            elif not any(_goes_with(at, place) for at in ticked):
                self.add_error(name, translated("This part is not ticked. Tick it above, or empty the field."))

    def _check_right(self, did: Did, typed: dict[str, Any]) -> None:
        if did not in ASKED or any(typed.get(right_name(one)) for one in self.row.seen):
            return
        if self.row.seen:
            self.add_error(
                "did",
                translated("Nothing is ticked that it put right. Tick it below; what still stands there stays."),
            )
        else:
            self.add_error(
                "did",
                translated(
                    "Nothing that was seen there stands open, so nothing can be closed. What was read or seen now is a "
                    "walk-round; where a part was changed, say with what."
                ),
            )

    def _figure(self, name: str, text: str) -> float | None:
        if not text.strip():
            return None
        try:
            return number_of(number_text(text, self.numbers), phrase("cost of {name}", name=name))
        except NotAllowedError as error:
            self.add_error(name, refused(error))
            return None

    def _size(self, name: str, text: str, measurand: Measurand) -> Any:
        if not text.strip():
            return None
        quantity, called = MEASURANDS[measurand], label(measurand)
        times = JOINTS if quantity.spans_joints else 1
        least_m, most_m = times * quantity.least_m, times * quantity.most_m
        try:
            size = typed_length(length_text(text.strip(), self.numbers, "mm", least_m, most_m), "mm", called)
            if not least_m <= size.si <= most_m:
                allowed = translated("{least_m} to {most_m} mm").format(
                    least_m=as_figure(least_m * 1000.0, "g"), most_m=as_figure(most_m * 1000.0, "g")
                )
                raise NotAllowedError(called, text, allowed, "Measure again, and type the unit.")
        except NotAllowedError as error:
            self.add_error(name, refused(error))
            return None
        return size


def right_name(one: Finding) -> str:
    """The name of the box that says something seen no longer stands."""
    return f"right-{one.place.key}-{one.kind.value}"


def size_name(place: Place, measurand: Measurand) -> str:
    """The name of a size's field."""
    return f"size-{place.key}-{measurand.value}"


def _size_label(place: Place, measurand: Measurand) -> str:
    over = ""
    if MEASURANDS[measurand].spans_joints:
        links = measurand is Measurand.RUBBER_PITCH
        told = translated(", length over {most} links") if links else translated(", length over {most} joints")
        over = told.format(most=JOINTS)
    return f"{label(place)}: {label(measurand)}{over}"


def _goes_with(at: Place, place: Place) -> bool:
    return at.side is place.side and (at.part is not place.part or at.position == place.position)


def _here(one: Finding, places: Iterable[Place], did: Did) -> bool:
    """Whether something seen belongs to the ticked places; what comes with a part only where the part was renewed."""
    return any(_goes_with(at, one.place) and (at.part is one.place.part or did in RENEWING) for at in places)


def _reading(place: Place, measurand: Measurand, typed: Any) -> Reading:
    joints = JOINTS if MEASURANDS[measurand].spans_joints else 1
    return Reading(place, measurand, (typed.si,), DEFAULT_TOOLS["unknown"], joints, (typed,))


class TakeOut(Post):
    """Which record of work is taken out, and why."""

    key = forms.CharField(max_length=MOST_NAME, label=later("record"))
    why = reason()
