"""Forms of people, depots, one's own tokens, and of a link."""

from typing import Any

from django import forms

from pitchline.desk.people.rights import FITTER
from pitchline.desk.posts import MOST_NAME, Post, switch
from pitchline.desk.spoken import later
from pitchline.desk.staff.names import ROLE_CHOICES

TOKEN_DAYS = {30: later("30 days"), 90: later("90 days"), 365: later("365 days")}
SCOPES = [("read", later("Read only")), ("all", later("Everything its person may"))]


class PersonForm(forms.Form):
    """What somebody is; the depots they are held to stand beside it as boxes."""

    role = forms.ChoiceField(choices=ROLE_CHOICES, initial=FITTER, label=later("Role"))


class InviteForm(PersonForm):
    """Whom to invite, as what."""

    called = forms.CharField(
        max_length=MOST_NAME, label=later("Who"), help_text=later("For your list; they choose their own name.")
    )
    field_order = ("called", "role")


class OutForm(Post):
    """Put out, or let in again."""

    out = switch(later("put out"))


class StandAt(Post):
    """Where a machine stands."""

    depot = forms.UUIDField(required=False, label=later("depot"))


class DepotForm(forms.Form):
    """A depot's name."""

    name = forms.CharField(max_length=MOST_NAME, label=later("Name of the depot"))


class TokenForm(forms.Form):
    """A token for one's programs."""

    purpose = forms.CharField(max_length=MOST_NAME, label=later("What it is for"))
    scope = forms.ChoiceField(choices=SCOPES, initial="read", label=later("What it may do"))
    lasts = forms.TypedChoiceField(
        choices=[(str(days), said) for days, said in TOKEN_DAYS.items()],
        coerce=int,
        initial="90",
        label=later("Ends after"),
    )


class _NewPassword(forms.Form):
    """A password typed twice."""

    password = forms.CharField(
        max_length=MOST_NAME,
        strip=False,
        label=later("Password"),
        help_text=later("12 letters or more; a few words in a row are good."),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    again = forms.CharField(
        max_length=MOST_NAME,
        strip=False,
        label=later("Password once more"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean(self) -> dict[str, Any]:
        """Twice the same."""
        typed = super().clean() or {}
        if "again" in typed and typed.get("password") != typed["again"]:
            self.add_error("again", later("The two passwords are not the same. Type both again."))
        return typed


class ResetForm(_NewPassword):
    """A new password for somebody known."""


class WelcomeForm(_NewPassword):
    """The name somebody new signs in with, and their password."""

    name = forms.CharField(
        max_length=150,
        label=later("Name to sign in with"),
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )
    field_order = ("name", "password", "again")
