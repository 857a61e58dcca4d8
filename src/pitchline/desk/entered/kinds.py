"""Kinds of field of a machine file: how what stands in the file is shown in a form, and how what is typed goes back.

What is left as it stood goes back exactly as it stood: a bare number of millimetres stays one, a text keeps every letter.
"""

import copy
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from string import Formatter
from typing import Any, ClassVar

from django import forms
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from pitchline.desk.machine.forms import refused
from pitchline.desk.posts import MOST_FIGURE, MOST_NAME
from pitchline.desk.spoken import later
from pitchline.desk.thousands import length_text, number_text
from pitchline.exchange.figures import date_of, exact_number, number_of, typed_length
from pitchline.picture.asked import asked_svg
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.ground import GroundClass
from pitchline.trade.units import parse_mass
from pitchline.trade.writing import as_day, as_figure
from pitchline.words import translated, worded

MOST_LENGTH_M = 1000.0


class Offered(forms.TextInput):
    """A field that offers words while one types, and keeps whatever is typed."""

    def __init__(self, words: Sequence[str]) -> None:
        super().__init__()
        self.words = words

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        """The field, and its words beside it."""
        field = super().render(name, value, {**(attrs or {}), "list": f"{name}-words"}, renderer)
        offers = format_html_join("", "<option>{}</option>", ((word,) for word in self.words))
        return format_html('{}<datalist id="{}-words">{}</datalist>', field, name, offers)


class Text(forms.CharField):
    """A few words, kept as typed."""

    def __init__(
        self, label: str, help_text: str = "", *, key: str = "", most: int = MOST_NAME, **more: Any
    ) -> None:
        super().__init__(label=label, help_text=help_text, required=False, max_length=most, **more)
        self.key = key
        self.widget.attrs["autocomplete"] = "off"

    def shown(self, raw: Any) -> str:
        """What stands in the file, as it stands in the form."""
        return "" if raw is None else str(raw)

    def said(self, raw: Any) -> str:
        """What stands in the file, for a reader."""
        return self.shown(raw)

    def kept(self, text: str, numbers: str) -> Any:
        """What goes into the file; what is typed with thousands marks goes without them."""
        return text


class Length(Text):
    """A length with its unit."""

    def __init__(
        self, label: str, help_text: str = "", *, least_m: float = 0.0, most_m: float = 2.5, **more: Any
    ) -> None:
        super().__init__(label, help_text, most=MOST_FIGURE, **more)
        self.least_m, self.most_m = least_m, most_m

    def shown(self, raw: Any) -> str:
        """A bare number is millimetres."""
        return f"{exact_number(raw)} mm" if isinstance(raw, int | float) else super().shown(raw)

    def kept(self, text: str, numbers: str) -> str:
        """As typed, where a length of this kind can be so."""
        bare = length_text(text, numbers, "mm", self.least_m, self.most_m)
        if not self.least_m <= typed_length(bare, "mm", "length").si <= self.most_m:
            allowed = translated("{least_m} to {most_m} mm").format(
                least_m=as_figure(self.least_m * 1000.0, "g"), most_m=as_figure(self.most_m * 1000.0, ",g")
            )
            raise NotAllowedError("length", text, allowed, "Measure again, and type the unit.")
        return bare


class Mass(Text):
    """A mass with its unit."""

    def shown(self, raw: Any) -> str:
        """A bare number is kilograms."""
        return f"{exact_number(raw)} kg" if isinstance(raw, int | float) else super().shown(raw)

    def kept(self, text: str, numbers: str) -> str:
        """As typed, where it is a mass."""
        bare = number_text(text, numbers)
        parse_mass(bare, "kg", "mass")
        return bare


class Figure(Text):
    """A number; in the file it is `per` times smaller."""

    def __init__(
        self,
        label: str,
        help_text: str = "",
        *,
        unit: str = "h",
        per: float = 1.0,
        example: float = 8.0,
        **more: Any,
    ) -> None:
        super().__init__(label, help_text, most=MOST_FIGURE, **more)
        self.unit, self.per, self.example = unit, per, example
        self.widget.attrs["inputmode"] = "decimal"

    def shown(self, raw: Any) -> str:
        """Such as "8150", or percent of a share."""
        return exact_number(round(raw * self.per, 9)) if isinstance(raw, int | float) else ""

    def said(self, raw: Any) -> str:
        """With its unit."""
        figure = as_figure(round(raw * self.per, 9), ",.12g")
        return f"{figure}\N{NO-BREAK SPACE}{self.unit}" if self.unit in ("h", "%") else figure

    def kept(self, text: str, numbers: str) -> float | int:
        """A whole number without a decimal point, as people write it."""
        figure = number_of(number_text(text, numbers, self.unit), str(self.label).lower(), self.example) / self.per
        return int(figure) if figure.is_integer() else round(figure, 12)


class Count(Figure):
    """A whole number."""

    def kept(self, text: str, numbers: str) -> int:
        """Refused where it is none."""
        figure = super().kept(text, numbers)
        if not isinstance(figure, int):
            raise NotAllowedError(str(self.label).lower(), text, "a whole number", "Count again.")
        return figure


class Day(Text):
    """A day."""

    def __init__(self, label: str, help_text: str = "", **more: Any) -> None:
        super().__init__(
            label, help_text, most=MOST_FIGURE, widget=forms.DateInput(attrs={"type": "date"}), **more
        )

    def said(self, raw: Any) -> str:
        """As the business writes days."""
        return as_day(date_of(raw, "day"))

    def kept(self, text: str, numbers: str) -> str:
        """As the file writes days."""
        return date_of(text, "day").isoformat()


class Points(Text):
    """Sizes with the share of life used there, such as "152 mm = 30 %; 149 mm = 60 %"."""

    _PAIR = re.compile(r"(?P<size>[^=]+)=(?P<used>[^=%]+)%?\s*")

    def shown(self, raw: Any) -> str:
        """One after another."""
        return "; ".join(
            f"{Length.shown(_SIZE, one['size'])} = {exact_number(round(100 * one['life_used'], 9))} %"
            for one in raw or ()
        )

    def said(self, raw: Any) -> str:
        """Each share with its size."""
        return ", ".join(
            worded(
                "{used} % at {size}", used=as_figure(100 * one["life_used"], ".9g"), size=_SIZE.shown(one["size"])
            )
            for one in raw
        )

    def kept(self, text: str, numbers: str) -> list[dict[str, Any]]:
        """Each size as typed."""
        found = [self._PAIR.fullmatch(one) for one in text.split(";") if one.strip()]
        if not all(found):
            step = translated(
                "Write a size, =, and the percent of life used there; between two such pairs a semicolon."
            )
            raise NotAllowedError(
                "points between", text, "sizes and shares, such as 152 mm = 30 %; 149 mm = 60 %", step
            )
        return [
            {
                "size": _SIZE.kept(one["size"].strip(), numbers),
                "life_used": round(number_of(number_text(one["used"], numbers, "%"), "life used") / 100, 12),
            }
            for one in found
            if one is not None
        ]


_SIZE = Length("size")


class Word(forms.ChoiceField):
    """One of several words; the file may say it otherwise, as people do."""

    def __init__(
        self,
        label: str,
        choices: Sequence[tuple[str, Any]],
        help_text: str = "",
        *,
        key: str = "",
        means: Callable[[object], Any] | None = None,
    ) -> None:
        super().__init__(label=label, help_text=help_text, required=False, choices=list(choices))
        self.key, self._means = key, means

    def shown(self, raw: Any) -> str:
        """The key of the word."""
        if raw is None or self._means is None:
            return str(raw or "")
        meant = self._means(raw)
        return str(meant.code if isinstance(meant, GroundClass) else meant.value)

    def said(self, raw: Any) -> str:
        """The word."""
        return next(str(word) for key, word in self.choices if key == self.shown(raw))  # type: ignore[union-attr,misc]

    def kept(self, text: str, numbers: str) -> str:
        """The key."""
        return text


class YesNo(forms.BooleanField):
    """A box; what the file says without it is `otherwise`."""

    def __init__(
        self, label: str, help_text: str = "", *, key: str = "", otherwise: bool = False, ticked: bool = True
    ) -> None:
        super().__init__(label=label, help_text=help_text, required=False)
        self.key, self.otherwise, self.ticked = key, otherwise, ticked

    def shown(self, raw: Any) -> bool:
        """Whether it is ticked."""
        return (self.otherwise if raw is None else bool(raw)) is self.ticked

    def said(self, raw: Any) -> str:
        """That it is so."""
        return translated("yes")

    def kept(self, typed: bool, numbers: str) -> bool | None:
        """Nothing where that is what is taken without it."""
        says = self.ticked if typed else not self.ticked
        return None if says is self.otherwise else says


NOT_FILLED = later("It is empty. Fill it in, or empty the whole line.")


class EntryForm(forms.Form):
    """One entry of a machine file as a form: begun from what stands, and put back with what was typed.

    Parameters
    ----------
    numbers : str
        How the business writes numbers.
    was : mapping
        The entry as it stands; empty for a new one.
    about : str
        What the line is about, for a reader who cannot see it.
    """

    must: ClassVar[tuple[str, ...]] = ()
    """Fields of a line that may not stay empty where any is filled in."""
    head: ClassVar[tuple[str, ...]] = ()
    """Ways to call a line that stands, the fullest first; else it is called by what it is about."""
    says: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """What a line says: of each clause the ways to say it, the fullest first."""
    also_at: ClassVar[dict[str, str]] = {}
    """Where a problem is told that the core finds under another name."""

    def __init__(
        self, *args: Any, numbers: str, was: Mapping[str, Any] | None = None, about: str = "", **more: Any
    ) -> None:
        self.numbers, self.was, self.about = numbers, self.begun(copy.deepcopy(dict(was or {}))), about
        fields: dict[str, Any] = dict(self.base_fields)
        more["initial"] = {name: field.shown(self._stood(name, field)) for name, field in fields.items()}
        super().__init__(*args, **more)
        for name, field in self.fields.items() if about else ():
            label = translated("{column}, {what}").format(column=field.label, what=about)
            field.widget.attrs |= {"aria-label": label, "aria-describedby": f"wrong-{self.add_prefix(name)}"}

    @property
    def picture(self) -> SafeString:
        """The small picture of what is measured; empty where there is none."""
        return mark_safe(asked_svg(str(self.was.get("measurand", ""))))  # noqa: S308  our own drawing

    def begun(self, was: dict[str, Any]) -> dict[str, Any]:
        """The entry in the shape the fields know."""
        return was

    def ended(self, entry: dict[str, Any]) -> dict[str, Any]:
        """The entry in the shape the file knows."""
        return entry

    def _stood(self, name: str, field: Any) -> Any:
        at: Any = self.was
        for step in (field.key or name).split("."):
            at = at.get(step) if isinstance(at, dict) else None
        return at

    def clean(self) -> dict[str, Any]:
        """Each field as the file has it; what was left as it stood is what stood."""
        typed = super().clean() or {}
        for name, field in self.fields.items():
            if name in self.errors:
                continue
            said = typed.get(name)
            try:
                if said == self.initial.get(name):
                    typed[name] = self._stood(name, field)
                else:
                    typed[name] = None if said == "" else field.kept(said, self.numbers)  # type: ignore[attr-defined]
            except NotAllowedError as error:
                self.add_error(name, refused(error))
        if not self.is_empty:
            for name in self.must:
                if name not in self.errors and typed.get(name) is None:
                    self.add_error(name, NOT_FILLED)
        return typed

    @property
    def is_empty(self) -> bool:
        """Whether nothing is typed in it."""
        return not any(str(self[name].value() or "").strip() for name in self.fields)

    @property
    def entry(self) -> dict[str, Any]:
        """The entry as it goes into the file; keys no field asks for stay."""
        whole = copy.deepcopy(self.was)
        for name, field in self.fields.items():
            *way, last = (field.key or name).split(".")  # type: ignore[attr-defined]
            at = whole
            for step in way:
                at = at.setdefault(step, {})
            if self.cleaned_data.get(name) is None:
                at.pop(last, None)
            else:
                at[last] = self.cleaned_data[name]
        return self.ended({key: each for key, each in whole.items() if each not in ({}, [])})

    def tell(self, key: str, error: NotAllowedError) -> None:
        """A problem the core found under a key of the file, at its field; at the first where no field has that key."""
        keys = {(field.key or name): name for name, field in self.fields.items()}  # type: ignore[attr-defined]
        key = self.also_at.get(key, key)
        name = next((name for one, name in keys.items() if one == key or one.startswith(f"{key}.")), None)
        self.add_error(name or next(iter(self.fields)), refused(error))

    @property
    def stands(self) -> dict[str, str]:
        """What stands, in words."""
        fields: dict[str, Any] = dict(self.fields)
        return {
            name: str(field.said(self._stood(name, field)))
            for name, field in fields.items()
            if self.initial.get(name)
        }

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """What stands, each with its label."""
        return [(str(self.fields[name].label).removesuffix(", %"), said) for name, said in self.stands.items()]

    @property
    def called(self) -> str:
        """What a line that stands is about."""
        return next(iter(self._told(self.head)), self.about)

    @property
    def clauses(self) -> list[str]:
        """What a line says, in the order of its clauses."""
        return [said for ways in self.says for said in self._told(ways)[:1]]

    def _told(self, ways: Iterable[str]) -> list[str]:
        """Those of several ways to say something for which everything stands."""
        stands = self.stands
        asked = [(way, {name for _, name, _, _ in Formatter().parse(way) if name}) for way in ways]
        return [worded(way, **stands) for way, names in asked if names <= stands.keys()]
