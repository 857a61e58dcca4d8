"""How tries to sign in are counted and held (django-axes asks these): by name and by address.

Whoever signed in before in the same browser is counted apart, so that nobody locks a right person out by trying at their name.
"""

import secrets
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.crypto import salted_hmac

COOKIE = "pitchline-known"
COOKIE_S = 180 * 24 * 3600
MOST = 20
"""Wrong tries in a quarter of an hour at one name, or from one address; 80 an hour (ASVS 4.0.3, 2.2.1: at most 100)."""
MINUTES = 15
_SALT = "pitchline.desk.staff.guessing"


def _name(request: HttpRequest, credentials: dict[str, Any] | None) -> str:
    typed = (credentials or {}).get("username") or request.POST.get("login") or ""
    return str(typed).strip().casefold().replace("\x00", "")[:150]


def _stand(user: User) -> str:
    """What of a person's password is in the cookie: a new password makes every browser unknown."""
    return salted_hmac(_SALT, user.password).hexdigest()[:16]


def _device(request: HttpRequest, name: str) -> str:
    """The mark of a browser in which this person signed in before; empty for any other."""
    try:
        known = signing.loads(request.COOKIES.get(COOKIE, ""), salt=_SALT, max_age=COOKIE_S)
        user = User.objects.filter(pk=known["user"]).first()
        if user is not None and user.get_username().casefold() == name and known["stand"] == _stand(user):
            return str(known["device"])
    except (signing.BadSignature, KeyError, TypeError, ValueError):
        pass
    return ""


def name_of(request: HttpRequest, credentials: dict[str, Any] | None = None) -> str:
    """Under what name a try counts: that of the person, and of a known browser apart."""
    name = _name(request, credentials)
    device = _device(request, name)
    return f"{name} {device}" if device else name


def address_of(request: HttpRequest) -> str:
    """From where a try counts."""
    return str(request.META.get("REMOTE_ADDR") or "0.0.0.0")  # noqa: S104  nowhere, and nothing listens there


def counted_by(request: Any, credentials: dict[str, Any] | None = None) -> list[str]:
    """Names and addresses each have their own count; a known browser is not held for what its address does."""
    if isinstance(request, HttpRequest) and _device(request, _name(request, credentials)):
        return ["username"]
    return ["username", "ip_address"]


def held(
    request: HttpRequest, credentials: dict[str, Any] | None = None, *_: object, **__: object
) -> HttpResponse:
    """The page that says so."""
    response = render(request, "staff/held.html", {"minutes": MINUTES}, status=429)
    response.headers["Retry-After"] = str(MINUTES * 60)
    return response


def know(request: HttpRequest, response: HttpResponse, user: User) -> None:
    """Nothing comes out; from now on this browser is one in which this person signed in."""
    device = _device(request, user.get_username().casefold()) or secrets.token_urlsafe(9)
    value = signing.dumps({"user": user.pk, "device": device, "stand": _stand(user)}, salt=_SALT)
    response.set_cookie(
        COOKIE, value, max_age=COOKIE_S, httponly=True, samesite="Lax", secure=settings.SESSION_COOKIE_SECURE
    )
