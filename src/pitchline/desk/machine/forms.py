"""Forms of one machine: what is said about it, its running gear, its sizes and limits."""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from django import forms

from pitchline.desk.bridge.machines import WHICH_ONE
from pitchline.desk.clock import today
from pitchline.desk.machine.models import KINDS, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.posts import MOST_NAME, Cell, Post, reason, too_long, version
from pitchline.desk.prices import newest_prices, prices_of
from pitchline.desk.problems import in_language
from pitchline.desk.spoken import later
from pitchline.desk.thousands import figure_text, length_text
from pitchline.exchange.figures import number_of, text_of
from pitchline.exchange.limits_file import LimitTyped
from pitchline.exchange.machine_list import year_of
from pitchline.trade.asking import MOST, AskingPrice
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, phrase
from pitchline.trade.measurands import MEASURANDS, Measurand, Role
from pitchline.trade.parts import PARTS, PartKind
from pitchline.words import translated


def refused(error: NotAllowedError) -> forms.ValidationError:
    """A core error beside its field."""
    problem = in_language(error.problem)
    return forms.ValidationError(
        translated("“{seen}” cannot be used. Allowed: {allowed}. {next_step}").format(
            seen=problem.seen, allowed=problem.allowed, next_step=problem.next_step
        )
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
    amount = number_of(figure_text(found["figure"], business.numbers, _LEAST_ASKED, MOST), "asking price")
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


_PITCHES = (Measurand.PITCH, Measurand.RUBBER_PITCH)


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One quantity that wears on this machine, with the yard's sizes as entered.

    Parameters
    ----------
    key, label, part : str
        Its name in the form, the quantity, the part.
    new, limit, source : str
        As entered; empty where nothing was.
    was : str
        What stands, where something else was typed or brought in; empty where nothing differs.
    """

    key: str
    label: str
    part: str
    new: str
    limit: str
    source: str
    was: str = ""

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Its three fields."""
        columns = (
            ("new", translated("New"), translated("New"), 10),
            ("limit", translated("Wear limit"), translated("Limit"), 10),
            ("source", translated("From which manual"), translated("Source"), None),
        )
        return tuple(
            Cell(
                f"{self.key}~{name}",
                head,
                translated("{column}, {what} of {part}").format(column=brief, what=self.label, part=self.part),
                phrase("{what} of {part}, {column}", what=self.label, part=self.part, column=name),
                getattr(self, name),
                MOST_NAME,
                size,
            )
            for name, head, brief, size in columns
        )


def _wearing(dossier: Dossier) -> list[tuple[PartKind, Measurand]]:
    kinds = dict.fromkeys(place.part for place in dossier.gear.places())
    return [
        (part, measurand)
        for part in kinds
        for measurand, words in MEASURANDS.items()
        if part in words.parts
        and words.role is Role.WEAR
        and (measurand is not Measurand.GROUSER_HEIGHT or dossier.gear.has_grousers)
    ]


def _entered(whole: Mapping[str, Any], part: PartKind, measurand: Measurand) -> dict[str, Any]:
    for entry in whole.get("limits", []):
        if (entry.get("part"), entry.get("measurand")) == (part.value, measurand.value):
            return dict(entry)
    return {}


def limit_lines(dossier: Dossier, file_text: str, typed: Mapping[str, str] | None = None) -> list[LimitLine]:
    """Every quantity that wears on this machine, with what was typed just now, or else entered before."""
    whole = json.loads(file_text)
    lines = []
    for part, measurand in _wearing(dossier):
        entry, key = _entered(whole, part, measurand), f"{part.value}:{measurand.value}"
        if measurand in _PITCHES and not entry and not dossier.gear.pitch_measured:
            entry = {"new": whole["running_gear"]["pitch"]}  # said once, with the running gear
        stands = [str(entry.get(name, "") or "") for name in ("new", "limit", "source")]
        texts = [typed.get(f"{key}~{name}", "") for name in ("new", "limit", "source")] if typed else stands
        was = " · ".join(text or translated("nothing") for text in stands) if texts != stands else ""
        new, limit, source = texts
        words = MEASURANDS[measurand].of_one, PARTS[part].singular
        lines.append(LimitLine(key, *words, new, limit, source, was))
    return lines


def typed_limits(post: Mapping[str, str], numbers: str) -> dict[str, str]:
    """The fields of the limits form with their sizes free of thousands marks."""
    typed = dict(post)
    for name, text in post.items():
        key, _, field = name.rpartition("~")
        measurand = next((each for each in MEASURANDS if each.value == key.partition(":")[2]), None)
        if measurand is not None and field in ("new", "limit"):
            words = MEASURANDS[measurand]
            typed[name] = length_text(text, numbers, "mm", words.least_m, words.most_m)
    return typed


def brought_in(dossier: Dossier, file_text: str, table: Sequence[LimitTyped]) -> dict[str, str]:
    """The fields of the limits form with a table's lines in place of what stands; the rest stays.

    Raises
    ------
    NotAllowedError
        A line for a part or quantity this machine does not have.
    """
    typed: dict[str, str] = {}
    for line in limit_lines(dossier, file_text):
        typed |= {f"{line.key}~new": line.new, f"{line.key}~limit": line.limit, f"{line.key}~source": line.source}
    for one in table:
        key = f"{one.part.value}:{one.measurand.value}"
        if f"{key}~new" not in typed:
            seen = translated("{most} of {most2}").format(
                most=MEASURANDS[one.measurand].label, most2=PARTS[one.part].singular
            )
            raise NotAllowedError("quantity", seen, "one that wears on this machine", "Delete the row.")
        typed |= {f"{key}~new": one.new, f"{key}~limit": one.limit, f"{key}~source": one.source}
    return typed


def as_table(dossier: Dossier, file_text: str) -> list[LimitTyped]:
    """Every quantity that wears on this machine as lines of a table, with what is entered."""
    pairs = zip(_wearing(dossier), limit_lines(dossier, file_text), strict=True)
    return [LimitTyped(part, measurand, line.new, line.limit, line.source) for (part, measurand), line in pairs]


def with_limits(dossier: Dossier, file_text: str, typed: Mapping[str, str]) -> str:
    """The machine file with these sizes; whatever else a limit holds stays as it was.

    Raises
    ------
    InputError
        With every field that is too long.
    """
    if wrong := too_long(cell for line in limit_lines(dossier, file_text, typed) for cell in line.cells):
        raise InputError(wrong)
    whole = json.loads(file_text)
    whole.pop("walk_rounds", None)
    handled = {(part.value, measurand.value) for part, measurand in _wearing(dossier)}
    kept = [one for one in whole.get("limits", []) if (one.get("part"), one.get("measurand")) not in handled]
    for part, measurand in _wearing(dossier):
        key = f"{part.value}:{measurand.value}"
        new, limit, source = (typed.get(f"{key}~{name}", "").strip() for name in ("new", "limit", "source"))
        entry = _entered(whole, part, measurand)
        if not new:
            continue
        if measurand in _PITCHES and dossier.gear.pitch_measured:  # the new pitch is known from now on
            whole["running_gear"] = {**whole["running_gear"], "pitch": new}
            whole["running_gear"].pop("pitch_measured")
        entry |= {"part": part.value, "measurand": measurand.value, "new": new}
        for name, text in (("limit", limit), ("source", source)):
            entry.pop(name, None)
            if text:
                entry[name] = text
        kept.append(entry)
    whole["limits"] = kept
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
