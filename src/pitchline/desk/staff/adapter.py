"""How the library that signs people in is bent to this desk: nobody signs up by themselves, words are ours."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from django.conf import settings
from django.http import HttpRequest, HttpResponse

from pitchline.desk.spoken import later
from pitchline.desk.staff.events import FACTOR, record
from pitchline.desk.staff.guessing import know
from pitchline.picture.square import square_svg

WRONG = later("Name and password do not go together. Type both again.")
TOO_MANY = later("Too many tries. Wait some minutes.")


class DeskAccountAdapter(DefaultAccountAdapter):  # type: ignore[misc]
    """Sign-in by name and password; tries are counted by `guessing.py` alone."""

    error_messages = DefaultAccountAdapter.error_messages | {
        "account_inactive": later("This person was put out."),
        "username_password_mismatch": WRONG,
        "invalid_login": WRONG,
        "too_many_login_attempts": TOO_MANY,
        "rate_limited": TOO_MANY,
        "incorrect_password": later("This is not your password. Type it again."),
        "enter_current_password": later("This is not your password. Type it again."),
        "incorrect_code": later("This is not the code. Type the one that shows now."),
        "invalid_or_expired_key": later("The link is used or too old."),
        "invalid_password_reset": later("The link is used or too old."),
        "same_as_current": later("It was so already."),
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Somebody new comes by a link of an owner."""
        return False

    def pre_authenticate(self, request: HttpRequest, **credentials: Any) -> None:
        """Counting is axes'."""

    def _rollback_login_failed_rl_usage(self) -> None:
        """Nothing was counted."""

    def add_message(self, *args: Any, **kwargs: Any) -> None:
        """What happened shows on the page that follows."""

    def send_notification_mail(self, *args: Any, **kwargs: Any) -> None:
        """Told at the desk, in the list of what happened at the sign-in."""

    def post_login(self, request: HttpRequest, user: Any, **kwargs: Any) -> HttpResponse:
        """Where it goes on; this browser is known from now on."""
        response: HttpResponse = super().post_login(request, user, **kwargs)
        know(request, response, user)
        return response


class DeskMFAAdapter(DefaultMFAAdapter):  # type: ignore[misc]
    """Second factors; their secrets are kept encrypted by the desk's key."""

    error_messages = DefaultMFAAdapter.error_messages | {
        "incorrect_code": later("This is not the code. Type the one that shows now."),
    }

    def get_totp_issuer(self) -> str:
        """What an app for codes calls this desk."""
        return "pitchline"

    def build_totp_svg(self, url: str) -> str:
        """The square code, by the library that draws all others: the other one names SVG anew for the whole process."""
        return square_svg(url)

    def encrypt(self, text: str) -> str:
        """Kept so that a copy of the database alone gives no codes."""
        return str(_fernet().encrypt(text.encode()).decode())

    def decrypt(self, encrypted_text: str) -> str:
        """Counter part of `encrypt`."""
        return str(_fernet().decrypt(encrypted_text.encode()).decode())

    def send_notification_mail(self, template_prefix: str, user: Any, *args: Any, **kwargs: Any) -> None:
        """Told at the desk, in the list of what happened at the sign-in."""
        record(FACTOR, user.get_username(), None)


def _fernet() -> Any:
    import base64
    import hashlib

    from cryptography.fernet import Fernet

    key = hashlib.sha256(b"pitchline second factor " + str(settings.SECRET_KEY).encode()).digest()
    return Fernet(base64.urlsafe_b64encode(key))
