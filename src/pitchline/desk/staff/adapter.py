"""How the library that signs people in is bent to this desk: nobody signs up by themselves, words are ours."""

import datetime as dt
from contextlib import nullcontext
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from django.conf import settings
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone

from pitchline.desk.people.models import Member
from pitchline.desk.spoken import later
from pitchline.desk.staff.events import FACTOR, record
from pitchline.desk.staff.guessing import know
from pitchline.desk.telling.letters import write_letter
from pitchline.desk.telling.worker import WORKER
from pitchline.picture.square import square_svg
from pitchline.trade.writing import writing
from pitchline.words import translated

LETTER_LASTS = dt.timedelta(hours=12)
"""How long a letter with a link is tried: a link for a password is good for a day."""
MOST_ADDRESS = 254
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
        "duplicate_email": later("It is your address already, or waits to be confirmed."),
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

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """A letter in the language of its reader's yard, sent in the background: no answer takes longer for somebody known."""
        user = context["user"]
        member = Member.objects.select_related("business").filter(user=user).first()
        with writing(member.business.writing) if member is not None else nullcontext():
            mail = self.render_mail(template_prefix, email, context)
        write_letter(user, email, str(mail.subject), str(mail.body), now=timezone.now(), lasts=LETTER_LASTS)
        WORKER.wake()

    def get_email_verification_redirect_url(self, email_address: object) -> str:
        """Where a confirmed address stands."""
        return reverse("account_email")

    def clean_email(self, email: str) -> str:
        """No longer than its column."""
        if len(email) > MOST_ADDRESS:
            raise ValidationError(translated("{most} letters at most").format(most=MOST_ADDRESS))
        return email

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
