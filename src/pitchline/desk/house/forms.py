"""The settings' form: what was typed stays as typed, and each figure is checked by the core."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from django import forms

from pitchline.desk.bridge.machines import by_keys_of_now, tool_from
from pitchline.desk.machine.forms import plain_text, refused
from pitchline.desk.people.models import Business
from pitchline.desk.posts import MOST_NAME, Cell, Post, switch, too_long, version
from pitchline.desk.spoken import later
from pitchline.desk.thousands import length_text, number_text
from pitchline.exchange.figures import number_of, text_of
from pitchline.trade.calls import CallRule
from pitchline.trade.errors import NotAllowedError, Problem, phrase
from pitchline.trade.readings import DEFAULT_TOOLS
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import LOCALES, PATTERNS, Writing, as_day, as_figure, writing
from pitchline.words import in_english, translated
from pitchline.words.catalogue import languages

UNITS = [
    (UnitSystem.METRIC.value, later("metric: millimetres")),
    (UnitSystem.IMPERIAL.value, later("imperial: inches")),
]
TOOL_FIELDS = {
    "name": later("Short name"),
    "label": later("Name for reading"),
    "resolution": later("Smallest step"),
    "permitted_error": later("Permitted error, ±"),
    "repeatability": later("Spread of one reading"),
}
"""Each with its column."""
_CALLED = {"name": in_english("short name"), "label": in_english("name for reading")}
"""What a refusal calls a field, where that is not its name."""
EMPTY_ROWS = 2
MOST_TOOLS = 40
MOST_TOOL_M = 0.1
"""What a tool's figures can be at most, to tell 1,250 mm from 1.250 mm."""


def _numbers() -> Iterator[tuple[str, str]]:
    for key in LOCALES:
        with writing(Writing(numbers=key)):
            yield key, as_figure(1234.5, ",.1f")


def _days() -> Iterator[tuple[str, str]]:
    for key in PATTERNS:
        with writing(Writing(days=key)):
            yield key, as_day(dt.date(2026, 11, 12))


def _languages() -> Iterator[tuple[str, str]]:
    from babel import Locale, UnknownLocaleError  # 0.1 s that only a desk with another language pays for

    for code in languages():
        try:
            yield code, Locale.parse(code, sep="-").get_display_name() or code
        except (UnknownLocaleError, ValueError):
            yield code, code


MOST_TOOL_TEXT = 60
"""Letters in a field of a tool."""


class FeedOff(Post):
    """Whether the calendar feed is switched off."""

    off = switch(later("off"))


class SettingsForm(forms.Form):
    """Everything but the tools and the feed."""

    seen_version = version()
    paper_name = forms.CharField(
        max_length=MOST_NAME,
        required=False,
        label=later("Name of the business on papers"),
        help_text=later("Stands on quotes and papers."),
    )
    units = forms.ChoiceField(choices=UNITS, label=later("Sizes are shown in"))
    numbers = forms.ChoiceField(choices=_numbers, label=later("Numbers look like"))
    days = forms.ChoiceField(choices=_days, label=later("Days look like"))
    language = forms.ChoiceField(choices=_languages, label=later("Language"))
    booking_window_weeks = forms.CharField(
        max_length=20,
        required=False,
        label=later("Booking window, weeks"),
    )

    def __init__(self, *args: Any, standing: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if len(languages()) == 1:
            del self.fields["language"]
        self.standing = standing
        usual = as_figure(CallRule().booking_window_weeks, "g")
        self.fields["booking_window_weeks"].help_text = translated(
            "How far ahead work is booked, for machines whose file names none. Empty takes {usual}."
        ).format(usual=usual)
        self.fields["booking_window_weeks"].widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}
        for name, field in self.fields.items():
            if field.help_text:
                field.widget.attrs["aria-describedby"] = f"id_{name}_helptext"

    def clean_paper_name(self) -> str:
        """A name that can be shown."""
        return plain_text(self.cleaned_data["paper_name"], "name on papers")

    def clean_booking_window_weeks(self) -> float | None:
        """Weeks the core takes, or nothing."""
        text = number_text(self.cleaned_data["booking_window_weeks"], self.standing, "weeks")
        if not text:
            return None
        try:
            return CallRule(number_of(text, "booking window")).booking_window_weeks
        except NotAllowedError as error:
            raise refused(error) from None


def first_of(business: Business) -> dict[str, object]:
    """What the form begins with."""
    weeks = business.booking_window_weeks
    names = ("paper_name", "units", "numbers", "days", *(("language",) if len(languages()) > 1 else ()))
    return {name: getattr(business, name) for name in names} | {
        "booking_window_weeks": "" if weeks is None else f"{weeks:g}",
        "seen_version": business.version,
    }


def tool_rows(rows: list[dict[str, str]]) -> list[tuple[Cell, ...]]:
    """The tools as rows of the form, with empty ones to write in."""
    return [
        _cells(by_keys_of_now(row), number) for number, row in enumerate((*rows, *({} for _ in range(EMPTY_ROWS))))
    ]


def _cells(row: Mapping[str, str], number: int) -> tuple[Cell, ...]:
    return tuple(
        Cell(
            f"tool-{number}-{field}",
            head,
            translated("{column}, tool {n}").format(column=head.removesuffix(", ±"), n=number + 1),
            phrase("tool {n}, {field}", n=number + 1, field=_CALLED.get(field, field.replace("_", " "))),
            tool_called(row.get(field, "")) if field == "name" else row.get(field, ""),
            MOST_TOOL_TEXT,
        )
        for field, head in TOOL_FIELDS.items()
    )


def tool_called(name: str) -> str:
    """A tool's short name as it is written here: of the desk's own their name for reading, of others with spaces for _."""
    own = DEFAULT_TOOLS.get(name)
    return translated(own.label) if own is not None else name.replace("_", " ")


def _key_of(called: str) -> str:
    """The short name as files have it."""
    by_label = {translated(tool.label): name for name, tool in DEFAULT_TOOLS.items()}
    return by_label.get(" ".join(called.split()), "_".join(called.split()))


def typed_tools(post: Mapping[str, str], numbers: str) -> tuple[list[dict[str, str]], tuple[Problem, ...]]:
    """The tools in a form, and everything wrong with them.

    Parameters
    ----------
    post : mapping of str to str
        Fields called "tool-0-name", "tool-0-permitted_error" and so on.
    numbers : str
        How the business writes numbers.
    """
    rows, problems, seen = [], list[Problem](), set()
    for number in range(MOST_TOOLS):
        row = {field: post.get(f"tool-{number}-{field}", "").strip() for field in TOOL_FIELDS}
        if not any(row.values()):
            continue
        row["name"] = _key_of(row["name"])
        row |= {field: length_text(row[field], numbers, "mm", 0.0, MOST_TOOL_M) for field in list(TOOL_FIELDS)[2:]}
        rows.append(row)
        if wrong := too_long(_cells(row, len(rows) - 1)):
            problems += wrong
            continue
        try:
            if not row["name"] or not row["name"].replace("_", "").isalnum():
                allowed = in_english("a short name of letters, digits and spaces, such as calliper 2")
                raise NotAllowedError("short name", tool_called(row["name"]) or translated("nothing"), allowed)
            if row["name"] in seen:
                again = translated("{name} again").format(name=tool_called(row["name"]))
                raise NotAllowedError("short name", again, "each short name once", "Delete one of the two.")
            seen.add(row["name"])
            text_of(row["label"], "name for reading")
            tool_from(row)
        except NotAllowedError as error:
            field = error.problem.field.rpartition(", ")[2]  # without the tool's own name, which its row has
            problems.append(replace(error.problem, field=phrase("tool {n}, {field}", n=len(rows), field=field)))
    return rows, tuple(problems)


def known_tools() -> list[str]:
    """Names of the desk's own tools."""
    return [tool_called(name) for name in DEFAULT_TOOLS]
