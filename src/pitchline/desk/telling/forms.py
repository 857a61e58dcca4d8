"""Forms of digests and hooks."""

from django import forms

from pitchline.desk.meter.fetching import FetchError, checked_address
from pitchline.desk.posts import Post, switch
from pitchline.desk.spoken import later
from pitchline.desk.telling.models import Digest
from pitchline.words import translated

NONE = "none"


class DigestForm(forms.Form):
    """How often somebody wants to be told."""

    letters = forms.ChoiceField(
        label=later("A letter of what is due"),
        choices=[
            (NONE, later("none")),
            (Digest.DAY, later("every morning")),
            (Digest.WEEK, later("on Monday mornings")),
        ],
    )


class HookForm(forms.Form):
    """Where to send."""

    send_to = forms.CharField(
        max_length=2000,
        label=later("Address of your program"),
        help_text=later("Begins with https:// or http://; nothing follows to another address."),
    )

    def clean_send_to(self) -> str:
        """A web address."""
        typed: str = self.cleaned_data["send_to"].strip()
        try:
            return checked_address(typed)
        except (FetchError, ValueError):
            said = translated("“{seen}” cannot be used. Allowed: {allowed}. {next_step}")
            allowed = translated(
                "an address that begins with https:// or http://, without a name or password in it"
            )
            step = translated("Copy it from your program.")
            raise forms.ValidationError(said.format(seen=typed[:60], allowed=allowed, next_step=step)) from None


class HookOff(Post):
    """Nothing more is sent there, or again."""

    off = switch(later("off"))
