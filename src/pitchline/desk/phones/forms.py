"""What is sent at the desk and from a phone."""

from typing import Any

from django import forms
from django.contrib.auth.models import AbstractBaseUser

from pitchline.desk.phones.codes import typed_code
from pitchline.desk.posts import MOST_NAME, Post, switch
from pitchline.desk.spoken import later
from pitchline.words import translated

PORTS = (1024, 65534)


class DoorForm(forms.Form):
    """Whether the door stands open, and at which port."""

    is_open = switch(later("the door"))
    port = forms.IntegerField(
        min_value=PORTS[0],
        max_value=PORTS[1],
        label=later("Port"),
        help_text=later("Part of the address phones keep. Change it only where another program holds it."),
    )


class CodeForm(forms.Form):
    """A new code; where people sign in, their password once more."""

    def __init__(self, *args: Any, user: AbstractBaseUser | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        if user is not None:
            self.fields["password"] = forms.CharField(
                max_length=MOST_NAME,
                strip=False,
                label=later("Your password once more"),
                widget=forms.PasswordInput,
            )
            self.fields["password"].widget.attrs["autocomplete"] = "current-password"

    def clean(self) -> dict[str, Any]:
        """A password that is theirs."""
        typed = super().clean() or {}
        if self.user is not None and "password" in typed and not self.user.check_password(typed["password"]):
            self.add_error("password", translated("This is not your password. Type it again."))
        return typed


class Answer(Post):
    """Let in, or not."""

    let_in = switch(later("let in"))


class Nothing(Post):
    """A button and no more."""


class AskForm(forms.Form):
    """What a phone sends: the code, whose it is, and a name for it."""

    code = forms.CharField(
        max_length=20, label=later("Code"), help_text=later("Eight letters, as the desk shows them.")
    )
    person = forms.CharField(
        max_length=MOST_NAME,
        label=later("Your name"),
        help_text=later("Walk-rounds made on this phone are signed so."),
    )
    name = forms.CharField(
        max_length=MOST_NAME,
        label=later("A name for this phone"),
        help_text=later("So that it can be told from others."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["code"].widget.attrs |= {
            "autocomplete": "off",
            "autocapitalize": "characters",
            "spellcheck": "false",
        }
        self.fields["person"].widget.attrs |= {"autocomplete": "name"}

    def clean_code(self) -> str:
        """The code's letters; what can be no code counts as a wrong one."""
        return typed_code(self.cleaned_data["code"])
