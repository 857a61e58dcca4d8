"""Forms of the yard: a new machine, files to bring in, a price list."""

import uuid
from collections.abc import Mapping
from typing import Any

from django import forms

from pitchline.desk.machine.forms import KnownByForm
from pitchline.desk.machine.models import KINDS
from pitchline.desk.posts import Question, choice, words
from pitchline.desk.problems import in_language
from pitchline.desk.spoken import later
from pitchline.desk.thousands import number_text
from pitchline.desk.yard.queries import CALL_LABELS, SORTS, STRIP, Wanted
from pitchline.exchange.figures import hours_of
from pitchline.trade.errors import NotAllowedError
from pitchline.words import translated


class YardQuestion(Question):
    """What of the yard is looked for; nothing chosen is all."""

    text, customer, site = words(later("search")), words(later("customer")), words(later("site"))
    kind, call = (
        choice(later("kind"), [(key, later(said)) for key, said in KINDS]),
        choice(later("call"), CALL_LABELS.items()),
    )
    sort = choice(later("in order of"), ((key, said) for key, (said, _) in SORTS.items()))


def wanted_in(address: Mapping[str, str]) -> Wanted:
    """What an address looks for, with what of it cannot be used; then nothing is found."""
    if "site" not in address and "place" in address:  # as it was called before
        address = dict(address) | {"site": address["place"]}
    form = YardQuestion(address)
    typed = {name: address.get(name, "").strip() for name in ("text", "kind", "customer")}
    return Wanted(
        call=form.usable("call"),
        sort=form.usable("sort") or "due",
        archived=address.get("archived") == "1",
        draft=address.get("archived") == "draft",
        view=STRIP if address.get("as") in (STRIP, "strip") else "list",
        problems=form.problems,
        place=address.get("site", "").strip(),
        **typed,
    )


class AddMachineForm(KnownByForm):
    """Kind, name and hours are enough to begin with."""

    machine_id = forms.UUIDField(widget=forms.HiddenInput, label=later("its id"))
    hours = forms.CharField(max_length=40, label=later("Hours on the meter today"))
    hours_h: float = 0.0
    field_order = (
        "machine_id", "kind", "name", "hours", "serial_number", "year_built", "owner_number", "customer", "place", "asking_price",
    )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"machine_id": uuid.uuid4()})
        super().__init__(*args, **kwargs)
        self.numbers = self.business.numbers
        self.fields["hours"].widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}

    @property
    def enough(self) -> list[forms.BoundField]:
        """What a machine needs."""
        return [self[name] for name in self.fields if name in ("kind", "name", "hours")]

    @property
    def more(self) -> list[forms.BoundField]:
        """What can follow."""
        return [one for one in self.visible_fields() if one.name not in ("kind", "name", "hours")]

    @property
    def says_more(self) -> bool:
        """Whether any of that is typed or refused."""
        return any(one.value() or one.errors for one in self.more)

    def clean_hours(self) -> str:
        """Hours as typed, without thousands marks; their value stands beside them."""
        text = number_text(self.cleaned_data["hours"], self.numbers)
        try:
            self.hours_h = hours_of(number_text(text, self.numbers, "h"))
        except NotAllowedError as error:
            problem = in_language(error.problem)
            said = translated("Allowed: {allowed}. {next_step}")
            raise forms.ValidationError(
                said.format(allowed=problem.allowed, next_step=problem.next_step)
            ) from None
        return text


class ManyFilesInput(forms.ClearableFileInput):
    """A file input that takes several."""

    allow_multiple_selected = True
