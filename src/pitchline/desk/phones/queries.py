"""Reading the door and the phones."""

from django.db.models import QuerySet
from django.utils import timezone

from pitchline.desk.people.models import Business
from pitchline.desk.phones.codes import mark_of
from pitchline.desk.phones.models import Asking, Door, Phone


def the_door() -> Door:
    """The desk's one door."""
    return Door.objects.get_or_create(pk=1)[0]


def phones_of(business: Business) -> QuerySet[Phone]:
    """Those that are in, in the order they came."""
    return Phone.objects.filter(business=business, ended_at=None)


def asking_of(business: Business, who: str) -> Asking | None:
    """The newest code somebody made, while it is good for anything."""
    live = (Asking.OPEN, Asking.ASKED)
    return Asking.objects.filter(business=business, who=who, state__in=live, ends_at__gt=timezone.now()).first()


def phone_by(secret: str) -> Phone | None:
    """The phone that has a secret, while it is in; None for anybody else, and where its person may no longer sign in."""
    found = (
        Phone.objects.select_related("business", "user__member")
        .filter(mark=mark_of(secret), ended_at=None)
        .first()
    )
    if found is None or (found.user is not None and not found.user.is_active):
        return None
    return found


def is_put_out(secret: str) -> bool:
    """Whether a secret was a phone's that was in, and is out by now."""
    return bool(secret) and Phone.objects.filter(mark=mark_of(secret)).exists()


def asking_by(secret: str) -> Asking | None:
    """What a phone asked and waits for."""
    return Asking.objects.filter(mark=mark_of(secret)).first() if secret else None
