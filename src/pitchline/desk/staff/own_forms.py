"""The library's forms in our own words."""

from typing import Any

from allauth.account import forms as account
from allauth.account.models import EmailAddress
from allauth.mfa.base.forms import AuthenticateForm, ReauthenticateForm
from allauth.mfa.totp.forms import ActivateTOTPForm
from allauth.mfa.webauthn.forms import AddWebAuthnForm, EditWebAuthnForm
from django.core.validators import MaxLengthValidator
from django.forms import CharField

from pitchline.desk.posts import MOST_NAME
from pitchline.desk.spoken import later


def _ours(form: Any, **labels: Any) -> Any:
    """The same form with our labels and limits, and no words inside a field that go when somebody types."""

    class Ours(form):  # type: ignore[misc]
        def __init__(self, *args: Any, **more: Any) -> None:
            super().__init__(*args, **more)
            for name, field in self.fields.items():
                field.widget.attrs.pop("placeholder", None)
                if name in labels:
                    field.label, field.help_text = labels[name], ""
                    if isinstance(field, CharField):
                        field.validators.append(MaxLengthValidator(MOST_NAME))

    return Ours


class ForgottenForm(_ours(account.ResetPasswordForm, email=later("Your mail address"))):  # type: ignore[misc]
    """Only where somebody confirmed the address: one that was typed wrong is somebody else's, who must not get in by it."""

    users: list[Any]

    def clean_email(self) -> str:
        """The address; whom it is confirmed for, if anybody, is not told."""
        typed: str = super().clean_email()
        confirmed = set(
            EmailAddress.objects.filter(email=typed.lower(), verified=True).values_list("user", flat=True)
        )
        self.users = [one for one in self.users if one.pk in confirmed]
        return typed


_CODE = later("Code, or a spare code")
_PASSKEY = later("A name for this passkey")
_NEW, _AGAIN = later("New password"), later("New password once more")
SignInForm = _ours(account.LoginForm, login=later("Name"), password=later("Password"))
OwnPasswordForm = _ours(
    account.ChangePasswordForm, oldpassword=later("Your password now"), password1=_NEW, password2=_AGAIN
)
MailForm = _ours(account.AddEmailForm, email=later("Mail address"))
NewPasswordForm = _ours(account.ResetPasswordKeyForm, password1=_NEW, password2=_AGAIN)
OnceMoreForm = _ours(account.ReauthenticateForm, password=later("Your password once more"))
SecondForm = _ours(AuthenticateForm, code=_CODE)
SecondAgainForm = _ours(ReauthenticateForm, code=_CODE)
CodesForm = _ours(ActivateTOTPForm, code=later("Code that the app shows"))
PasskeyForm = _ours(AddWebAuthnForm, name=_PASSKEY, passwordless=later("Signs in without name and password"))
PasskeyNameForm = _ours(EditWebAuthnForm, name=_PASSKEY)
