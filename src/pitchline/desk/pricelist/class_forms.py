"""Forms beside the list itself: all prices times a percentage, another class of machine, an earlier list again."""

from collections.abc import Sequence
from typing import Any, ClassVar

from django import forms

from pitchline.desk.posts import Post, Question, reason, sent_id, switch, words
from pitchline.desk.pricelist.classes import classes_on
from pitchline.desk.pricelist.forms import Refused, figure_field, words_field
from pitchline.desk.spoken import later
from pitchline.desk.thousands import number_text
from pitchline.exchange.price_figures import class_mass_of, share_of
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.price_changes import Times
from pitchline.money.prices import PriceList
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.machine import MachineKind
from pitchline.trade.writing import as_figure
from pitchline.words import translated
from pitchline.words.names import named

STEPS = ("0.01", "0.1", "1", "5", "10", "50", "100")


def _steps() -> list[tuple[str, str]]:
    """The steps prices may be rounded to, as the business writes them."""
    return [(step, as_figure(float(step), ".2f" if "." in step else "g")) for step in STEPS]


class TimesForm(Refused):
    """By what prices are multiplied."""

    fields_of: ClassVar = {"percent": "percent", "labour percent": "labour", "rounded to": "step"}
    percent = figure_field(later("Prices times, %"))
    labour = figure_field(later("Labour hours times, %"))
    step = forms.ChoiceField(choices=_steps, required=False, label=later("Rounded to"))

    def __init__(self, *args: Any, numbers: str, **kwargs: Any) -> None:
        self.numbers = numbers
        self.times: Times | None = None
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        """What to multiply by; nothing typed is 100 %."""
        shares = {}
        for name in ("percent", "labour"):
            text = number_text(self.cleaned_data.get(name) or "100", self.numbers, "%")
            try:
                shares[name] = share_of(text, name)
            except NotAllowedError as error:
                self.refuse(error, name)
        if not self.errors:
            try:
                step = float(self.cleaned_data["step"] or STEPS[0])
                self.times = Times(shares["percent"], shares["labour"], step)
            except NotAllowedError as error:
                self.refuse(error)
        return self.cleaned_data


class ClassForm(TimesForm):
    """Another class of machine, or an entry of the gear list, and whose prices it begins with."""

    fields_of: ClassVar = TimesForm.fields_of | {
        "mass from": "mass_from", "mass under": "mass_under", "gear list": "gear", "price list": "mass_from",
    }  # fmt: skip
    family = forms.ChoiceField(
        choices=[("", later("any")), *((kind.value, later(named(kind))) for kind in MachineKind)],
        required=False,
        label=later("Family"),
    )
    mass_from = words_field(
        later("Operating mass from"),
        help_text=later("In tonnes, or with its unit. A machine of exactly this mass is in."),
    )
    mass_under = words_field(
        later("to under"), help_text=later("A machine of exactly this mass is in the next class.")
    )
    gear = forms.ChoiceField(required=False, label=later("Or one entry of the gear list"))
    copy = forms.ChoiceField(required=False, label=later("Begin with the prices of"))
    field_order = ("family", "mass_from", "mass_under", "gear", "copy", "percent", "labour", "step")

    def __init__(
        self,
        *args: Any,
        listed: PriceList | None = None,
        entries: Sequence[str] = (),
        classes: Sequence[tuple[str, str]] = (),
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.listed, self.which = listed, EVERY
        self.fields["gear"].choices = [("", translated("none")), *((name, name) for name in entries)]  # type: ignore[attr-defined]
        self.fields["copy"].choices = [("none", translated("none: type them")), *classes]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        """The class, where a list can have prices for it."""
        typed = super().clean()
        ends = {}
        for name, called in (("mass_from", translated("mass from")), ("mass_under", translated("mass under"))):
            try:
                ends[name] = class_mass_of(number_text(typed.get(name) or "", self.numbers), called)
            except NotAllowedError as error:
                self.refuse(error, name)
        if self.errors:
            return typed
        try:
            kind = MachineKind(typed["family"]) if typed["family"] else None
            self.which = MachineClass(kind, ends["mass_from"], ends["mass_under"], typed["gear"])
            if self.which == EVERY:
                self.add_error(
                    "mass_from", translated("Choose a family, type a mass, or choose an entry of the gear list.")
                )
            elif self.listed is not None:
                touching = next((one for one in classes_on(self.listed) if self.which.overlaps(one)), None)
                if touching not in (None, self.which):
                    step = translated("Let it begin where the other ends, or the other way round.")
                    raise NotAllowedError(
                        "mass from", translated("overlaps another class"), "classes that touch", step
                    )
        except NotAllowedError as error:
            self.refuse(error)
        return typed


class Asked(Question):
    """Which class of machine an address is about, and what its form begins with."""

    which = words(later("for which machines"), 300)
    copy = words(later("begin with the prices of"), 300)
    list = sent_id()


class Sent(Post):
    """Which class the form is about, and what to do with what was typed."""

    which = words(later("for which machines"), 300)
    save = switch(later("save it"))


class Multiply(Post):
    """Which list is multiplied, and why."""

    list = sent_id()
    why = reason()
