"""Forms of one machine: what is said about it, its running gear, its sizes and limits."""

import re
from typing import Any, ClassVar

from django import forms

from pitchline.desk.bridge.machines import WHICH_ONE
from pitchline.desk.clock import today
from pitchline.desk.machine.models import KINDS, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.posts import MOST_NAME, Post, reason, version
from pitchline.desk.prices import newest_prices, prices_of
from pitchline.desk.problems import in_language
from pitchline.desk.spoken import later
from pitchline.desk.thousands import figure_text
from pitchline.exchange.figures import number_of, text_of
from pitchline.exchange.machine_list import year_of
from pitchline.trade.asking import MOST, AskingPrice
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words import translated
from pitchline.words.catalogue import is_nothing


def refused(error: NotAllowedError) -> forms.ValidationError:
    """A core error beside its field."""
    problem = in_language(error.problem)
    said = translated("“{seen}” cannot be used. Allowed: {allowed}. {next_step}")
    if is_nothing(problem.seen):
        said = translated("Nothing is entered. Allowed: {allowed}. {next_step}")
    return forms.ValidationError(
        said.format(seen=problem.seen, allowed=problem.allowed, next_step=problem.next_step)
    )


class FileForm(Post):
    """A machine file as text, and why it is changed."""

    text = forms.CharField(required=False, max_length=2_000_000, strip=False, label=later("machine file"))
    why = reason()


class AskingForm(forms.Form):
    """A form with the asking price among its fields."""

    asking_price = forms.CharField(
        max_length=40,
        required=False,
        label=later("Asking price, without tax"),
        help_text=later("Such as EUR 48000. Without a currency it is the price list's."),
    )

    def __init__(self, *args: Any, business: Business, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.business = business
        self.fields["asking_price"].widget.attrs |= {"inputmode": "text", "autocomplete": "off"}

    def clean_asking_price(self) -> AskingPrice | None:
        """What is asked, with its currency; None where nothing was typed."""
        try:
            return asking_typed(self.cleaned_data["asking_price"], self.business)
        except NotAllowedError as error:
            raise refused(error) from None


_ASKED = re.compile(r"(?P<before>[A-Za-z]{3})?\s*(?P<figure>[^A-Za-z]*?)\s*(?P<after>[A-Za-z]{3})?", re.ASCII)
_LEAST_ASKED = 100.0
"""Below it one mark before three digits is a thousands mark: no machine is asked 48.125 for. Our own."""


def asking_typed(text: str, business: Business) -> AskingPrice | None:
    """An asking price from what was typed; without a currency in that of the price list. None where nothing was typed.

    Raises
    ------
    NotAllowedError
        No amount above 0, or no currency to be had.
    """
    if not text.strip():
        return None
    found = _ASKED.fullmatch(text.strip())
    if found is None or not found["figure"]:
        raise NotAllowedError("asking price", text, "an amount, such as EUR 48000", "Type it again.")
    amount = number_of(figure_text(found["figure"], business.numbers, _LEAST_ASKED, MOST), "asking price", 48000.0)
    code = (found["before"] or found["after"] or "").upper()
    if not code:
        file = newest_prices(business)
        code = prices_of(file).currency if file is not None else ""
    if not code:
        step = translated("No price list is entered to take it from: type it, such as EUR.")
        raise NotAllowedError("asking price", text, "an amount with its currency", step)
    return AskingPrice(amount, code)


def plain_text(text: str, field: str) -> str:
    """The text, when it can be shown everywhere.

    Raises
    ------
    ValidationError
        It holds control characters.
    """
    try:
        return text_of(text.strip(), field)
    except NotAllowedError as error:
        raise refused(error) from None


def said_field(label: str, help_text: str = "", *, required: bool = False) -> forms.CharField:
    """A name or a few words about a machine."""
    return forms.CharField(max_length=MOST_NAME, required=required, label=label, help_text=help_text)


class KnownByForm(AskingForm):
    """Name and kind, what tells a machine from others of its name, whose it is, where it stands, what is asked for it."""

    kind = forms.ChoiceField(
        choices=[(key, later(said)) for key, said in KINDS],
        label=later("Kind"),
        help_text=later("Decides what is asked of its running gear, and how much it is taken to travel."),
    )
    name = said_field(later("Name"), later("What lists, papers and quotes call it."), required=True)
    serial_number = said_field(
        later("Serial number"),
        later("From its plate. Papers and quotes carry it, so that two of one name are told apart."),
    )
    year_built = forms.CharField(
        max_length=4, required=False, label=later("Year built"), help_text=later("Such as 2014.")
    )
    owner_number = said_field(
        later("Owner's number"),
        later("What its owner's fleet calls it, often painted on; the list finds it by that too."),
    )
    customer = said_field(
        later("Customer"), later("Stands on quotes; the list can be narrowed to one customer's.")
    )
    place = said_field(later("Site"), later("Where it stands; the list can be narrowed to one site."))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["year_built"].widget.attrs |= {"inputmode": "numeric", "autocomplete": "off"}

    def clean(self) -> dict[str, Any]:
        """Every text one that can be shown."""
        typed = super().clean() or {}
        for name in ("name", "short_name", "serial_number", "owner_number", "customer", "place"):
            if typed.get(name):
                try:
                    typed[name] = plain_text(typed[name], str(self.fields[name].label))
                except forms.ValidationError as error:
                    self.add_error(name, error)
        return typed

    def clean_year_built(self) -> int | None:
        """A year that has begun or is the next; None where nothing was typed."""
        text = self.cleaned_data["year_built"].strip()
        try:
            year = year_of(text) if text else None
            if year is not None and year > today().year + 1:
                allowed = phrase("a year from 1900 to {last}", last=str(today().year + 1))
                raise NotAllowedError("year built", text, allowed, "Type all four digits of the year.")
        except NotAllowedError as error:
            raise refused(error) from None
        return year


class AboutForm(KnownByForm):
    """What stands in a machine's row, without its file."""

    seen_version = version()
    short_name = said_field(
        later("Short name"),
        later(
            "Names its files and stands on printed sheets; what is printed already still carries the one of before."
        ),
    )

    either: ClassVar[tuple[str, ...]] = ("short_name",)
    """Left empty it stays as it is."""
    GROUPS: ClassVar[tuple[tuple[str, str, tuple[str, ...]], ...]] = (
        ("kind", later("Kind and name"), ("kind", "name", "short_name")),
        ("which", later("Which one it is"), ("serial_number", "year_built", "owner_number")),
        ("whose", later("Customer and site"), ("customer", "place")),
        ("asked", later("Asking price"), ("asking_price",)),
    )

    @property
    def groups(self) -> list[tuple[str, str, list[forms.BoundField]]]:
        """Its fields in groups, each with its mark and its heading."""
        return [(mark, head, [self[name] for name in names]) for mark, head, names in self.GROUPS]


def about_start(machine: Machine) -> dict[str, Any]:
    """What the form begins with."""
    names = ("name", "kind", "short_name", "customer", "place", *WHICH_ONE)
    asked = machine.asking_price.said if machine.asking_price else ""
    return {name: getattr(machine, name) for name in names} | {
        "asking_price": asked,
        "seen_version": machine.version,
    }
