"""What happens at the sign-in: written down, logged, and told to whoever owns the yard."""

import datetime as dt
import logging

from django.db.models import F, Q, QuerySet
from django.http import HttpRequest
from django.utils import timezone

from pitchline.desk.people.models import LOCAL, Business, Member
from pitchline.desk.staff.models import SignInEvent
from pitchline.words import in_english

IN, OUT, WRONG, HELD, PASSWORD, FACTOR = "in", "out", "wrong", "held", "password", "factor"
SAID = {
    IN: in_english("signed in"),
    OUT: in_english("signed out"),
    WRONG: in_english("wrong name or password"),
    HELD: in_english("held after many wrong tries"),
    PASSWORD: in_english("password changed"),
    FACTOR: in_english("second factor changed"),
}
TOGETHER = dt.timedelta(minutes=15)
"""The same within this time is one line with a count: nobody fills the list by trying."""
KEPT = dt.timedelta(days=180)
_LOG = logging.getLogger("pitchline.sign_in")


def address_of(request: HttpRequest | None) -> str:
    """Where a request comes from."""
    return str(request.META.get("REMOTE_ADDR") or "")[:64] if request is not None else ""


def record(what: str, name: str, request: HttpRequest | None) -> None:
    """Nothing comes out; afterwards it stands in the list of whoever owns the yard of that person, and in the log."""
    name, address, now = name[:200].replace("\x00", ""), address_of(request), timezone.now()
    if what in (WRONG, HELD):
        _LOG.warning("sign-in: %s: %r from %s", SAID[what], name, address)
    else:
        _LOG.info("sign-in: %s: %r from %s", SAID[what], name, address)
    member = Member.objects.filter(user__username=name).first()
    recent = SignInEvent.objects.filter(what=what, at__gt=now - TOGETHER)
    same = recent.filter(name=name, address=address)
    if what == HELD:  # many names from one address, or one name from many, are one story
        same = recent.filter(Q(address=address) | Q(name=name))
    known = same.first()
    if known is not None and what in (WRONG, HELD):
        SignInEvent.objects.filter(pk=known.pk).update(times=F("times") + 1, at=now)
        return
    business_id = member.business_id if member is not None else None
    SignInEvent.objects.create(business_id=business_id, what=what, name=name, address=address, at=now)
    SignInEvent.objects.filter(at__lt=now - KEPT).delete()


def events_of(business: Business) -> QuerySet[SignInEvent]:
    """What happened at the sign-in of this business's people; tries at names nobody has are told to the desk's own."""
    mine = Q(business=business)
    return SignInEvent.objects.filter(mine | Q(business=None) if business.pk == LOCAL else mine)


def held_lately(business: Business) -> bool:
    """Whether tries were held within a day."""
    return events_of(business).filter(what=HELD, at__gt=timezone.now() - dt.timedelta(days=1)).exists()
