"""Mail: written in the database with what it tells of, sent in the background, tried again where it surely did not go out.

No request waits for a mail server: whether an address is known cannot be told by how long an answer takes.
"""

import datetime as dt
import logging
import smtplib
from collections.abc import Mapping
from contextlib import suppress

from django.conf import settings
from django.contrib.auth.models import User
from django.core.mail import EmailMessage, get_connection

from pitchline.desk.meter.sealed import opened, sealed
from pitchline.desk.people.models import Business
from pitchline.desk.spoken import later
from pitchline.desk.telling.models import LEFT, SENDING, SENT, UNKNOWN, WAITING, Letter

FIRST_WAIT, LONGEST_WAIT = dt.timedelta(minutes=1), dt.timedelta(hours=2)
"""After a failure it is tried again in a minute, then in two, at most two hours later. Our own choice."""
KEPT = dt.timedelta(days=30)
_LOG = logging.getLogger("pitchline.mail")


def write_letter(
    user: User,
    address: str,
    subject: str,
    text: str,
    *,
    now: dt.datetime,
    lasts: dt.timedelta,
    headers: Mapping[str, str] | None = None,
) -> Letter | None:
    """The letter, which waits to be sent; None where the desk has no mail server."""
    if not settings.MAIL:
        return None
    Letter.objects.filter(made_at__lt=now - KEPT).delete()
    return Letter.objects.create(
        user=user, address=address, subject=" ".join(subject.split())[:400], text_sealed=sealed(text),
        headers=dict(headers or {}), next_at=now, ends_at=now + lasts,
    )  # fmt: skip


def due(now: dt.datetime) -> list[Letter]:
    """Letters whose time has come, and those whose sending broke off."""
    return list(Letter.objects.filter(state__in=(WAITING, SENDING), next_at__lte=now).order_by("next_at")[:200])


def send(letter: Letter, now: dt.datetime) -> None:
    """Nothing comes out; the letter is sent, waits for its next try, or is done with. Nobody else may be at it.

    It is marked before it goes out: where the desk or the line breaks off after the mail server may have taken it, it is not sent
    again. Rather once too few than twice.
    """
    if letter.state == SENDING:
        _done(letter, UNKNOWN, "broke off")
        return
    if not (text := opened(letter.text_sealed)):  # the desk's key is another by now
        _done(letter, LEFT, "another key")
        return
    Letter.objects.filter(pk=letter.pk, state=WAITING).update(state=SENDING)
    connection = get_connection()
    mail = EmailMessage(
        letter.subject, text, None, [letter.address],
        headers=letter.headers | {"Message-ID": f"<{letter.pk}@pitchline>", "Auto-Submitted": "auto-generated"},
        connection=connection,
    )  # fmt: skip
    try:
        connection.open()
    except (OSError, smtplib.SMTPException) as error:
        _again(letter, now, error)
        with suppress(OSError, smtplib.SMTPException):
            connection.close()
        return
    try:
        connection.send_messages([mail])
        _done(letter, SENT)
    except (smtplib.SMTPResponseException, smtplib.SMTPRecipientsRefused) as error:  # it answered: not taken
        _again(letter, now, error)
    except (OSError, smtplib.SMTPException, ValueError) as error:
        _done(letter, UNKNOWN, type(error).__name__)
    finally:
        connection.close()


_WHY = {
    "SSLCertVerificationError": later(
        "Mail does not go out: the certificate of the mail server is not to be believed."
    ),
    "SMTPAuthenticationError": later(
        "Mail does not go out: the mail server does not take the name and password it was given."
    ),
    "SMTPNotSupportedError": later("Mail does not go out: the mail server offers no TLS, or no way to sign in."),
}
_NOT_REACHED = later("Mail does not go out: the mail server does not answer as one.")
_OF_ONE_LETTER = ("SMTPRecipientsRefused", "SMTPSenderRefused", "SMTPDataError")
"""What says nothing of the next letter."""


def held_up(business: Business) -> str:
    """Why the mail server takes nothing just now, in words; empty where it does, or nothing waits."""
    if not settings.MAIL:
        return ""
    waits = Letter.objects.filter(user__member__business=business, state=WAITING, tries__gt=0)
    seen = waits.exclude(seen__in=_OF_ONE_LETTER).order_by("-next_at").values_list("seen", flat=True).first()
    return "" if seen is None else str(_WHY.get(seen, _NOT_REACHED))


def _again(letter: Letter, now: dt.datetime, error: Exception) -> None:
    at = now + min(LONGEST_WAIT, FIRST_WAIT * 2 ** min(letter.tries, 10))
    # Its name alone: what a mail server says may repeat whom the letter is for.
    seen = type(error).__name__
    _LOG.warning("mail: %s", seen)
    if at > letter.ends_at:
        _done(letter, LEFT, seen)
        return
    Letter.objects.filter(pk=letter.pk).update(state=WAITING, tries=letter.tries + 1, next_at=at, seen=seen)


def _done(letter: Letter, state: str, seen: str = "") -> None:
    Letter.objects.filter(pk=letter.pk).update(
        state=state, tries=letter.tries + 1, text_sealed="", headers={}, seen=seen
    )
