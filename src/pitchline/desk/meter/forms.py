"""Hours typed, answers to what is asked about them, whose a name is, and where hours are fetched from."""

import datetime as dt
from collections.abc import Callable
from typing import Any, TypeVar

from django import forms

from pitchline.desk.clock import today
from pitchline.desk.machine.forms import refused
from pitchline.desk.meter.fetching import FetchError, checked_address
from pitchline.desk.meter.models import Feed
from pitchline.desk.posts import MOST_FIGURE, MOST_REASON, Post, reason, sent_id, switch, version, words
from pitchline.desk.spoken import later
from pitchline.desk.thousands import number_text
from pitchline.exchange.figures import date_of, hours_of
from pitchline.exchange.hours_rows import MOST_HOURS
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.writing import as_day, as_figure
from pitchline.words import translated

T = TypeVar("T")


def _day() -> forms.CharField:
    return forms.CharField(
        max_length=MOST_FIGURE, label=later("Day"), widget=forms.DateInput(attrs={"type": "date"})
    )


def _hours(label: str) -> forms.CharField:
    return forms.CharField(
        max_length=MOST_FIGURE,
        label=label,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )


class _Figures(forms.Form):
    """Days and hours as the business writes them."""

    def __init__(self, *args: Any, numbers: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.numbers = numbers

    def _read(self, step: Callable[[], T]) -> T:
        try:
            return step()
        except NotAllowedError as error:
            raise refused(error) from None

    def _hours(self, name: str) -> float:
        return self._read(lambda: _few(hours_of(number_text(self.cleaned_data[name], self.numbers, "h"))))

    def clean_day(self) -> dt.date:
        """A day that has been."""
        return self._read(lambda: _been(date_of(self.cleaned_data["day"], "day")))


def _few(hours_h: float) -> float:
    if hours_h > MOST_HOURS:
        allowed = phrase("0 to {most} h", most=as_figure(MOST_HOURS, ","))
        raise NotAllowedError("hours", as_figure(hours_h, ",.10g"), allowed, "Read the meter again.")
    return hours_h


def _been(day: dt.date) -> dt.date:
    if day > today():
        allowed = phrase("today, {today:day}, or earlier", today=today().isoformat())
        raise NotAllowedError("day", as_day(day), allowed, "Type the day the meter was read.")
    return day


class MeterForm(_Figures):
    """What somebody read off the meter."""

    day = _day()
    hours = _hours(later("Hours on the meter"))

    def clean_hours(self) -> float:
        """Hours as typed."""
        return self._hours("hours")


class ChangedForm(_Figures):
    """The meter was changed: when, and what the two showed."""

    seen_version = version()
    day = _day()
    old_h = _hours(later("Old meter showed last"))
    new_h = _hours(later("New meter showed first"))
    why = forms.CharField(max_length=MOST_REASON, required=False, label=later("Why"))

    def clean_old_h(self) -> float:
        """Hours as typed."""
        return self._hours("old_h")

    def clean_new_h(self) -> float:
        """Hours as typed."""
        return self._hours("new_h")


class LeaveOut(Post):
    """Hours that are wrong, out; or looked at again. Without a row, all that are asked about."""

    row = forms.IntegerField(min_value=1, max_value=2**63 - 1, required=False, label=later("hours"))
    left, why = switch(later("left out")), reason()


class Whose(Post):
    """Whose hours come under a name."""

    name = words(later("name"))
    machine = sent_id()
    ignored = switch(later("none of this yard"))


class FeedForm(forms.Form):
    """Where hours are fetched from, how to sign in there, and how often."""

    seen_version = version()
    name = forms.CharField(max_length=200, label=later("What you call it"))
    address = forms.CharField(
        max_length=2000,
        label=later("Address of the fleet’s snapshot"),
        help_text=later("As its sender gives it to you; it answers by ISO 15143-3."),
    )
    sign_in = forms.ChoiceField(
        label=later("It asks for"),
        choices=[
            (Feed.NONE, later("nothing")),
            (Feed.BASIC, later("a name and a password")),
            (Feed.TOKEN, later("a token")),
            (Feed.CLIENT, later("a client’s id and secret, for which it gives a token")),
        ],
    )
    user = words(later("Name, or client’s id"))
    secret = forms.CharField(
        max_length=4000,
        required=False,
        strip=False,
        label=later("Password, token or secret"),
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )
    token_address = forms.CharField(max_length=2000, required=False, label=later("Address of the token"))
    every_h = forms.IntegerField(
        min_value=1, max_value=168, initial=24, label=later("Every so many hours"), help_text=later("1 to 168.")
    )

    def __init__(self, *args: Any, has_secret: bool, **more: Any) -> None:
        super().__init__(*args, **more)
        self.has_secret = has_secret
        if has_secret:
            self.fields["secret"].help_text = translated("One is kept. Leave it empty to keep that one.")

    def clean_address(self) -> str:
        """A web address."""
        return self._checked("address")

    def clean_token_address(self) -> str:
        """A web address, or none."""
        return self._checked("token_address") if self.cleaned_data["token_address"] else ""

    def _checked(self, name: str) -> str:
        try:
            return checked_address(self.cleaned_data[name].strip())
        except (FetchError, ValueError):
            said = translated("“{seen}” cannot be used. Allowed: {allowed}. {next_step}")
            allowed = translated(
                "an address that begins with https:// or http://, without a name or password in it"
            )
            step = translated("Copy it from what its sender told you.")
            raise forms.ValidationError(
                said.format(seen=self.cleaned_data[name][:60], allowed=allowed, next_step=step)
            ) from None

    def clean(self) -> dict[str, Any]:
        """What the chosen way to sign in needs."""
        typed = super().clean() or self.cleaned_data
        kind, needed = typed.get("sign_in"), {
            Feed.BASIC: ("user", "secret"), Feed.TOKEN: ("secret",), Feed.CLIENT: ("user", "secret", "token_address"),
        }  # fmt: skip
        for name in needed.get(str(kind), ()):
            kept = name == "secret" and self.has_secret
            if not typed.get(name) and not kept and name not in self.errors:
                self.add_error(name, translated("Nothing is entered here, and it is needed."))
        return typed
