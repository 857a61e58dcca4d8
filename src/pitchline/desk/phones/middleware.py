"""By the door for phones comes a phone that was let in, and reaches what a phone is for; anybody else sees the door alone."""

from collections.abc import Callable
from dataclasses import replace
from http import HTTPStatus
from typing import Any, cast

from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from pitchline.desk.people.rights import OF_A_PHONE, asked_by_address
from pitchline.desk.people.who import Actor, DeskRequest, member_as_actor
from pitchline.desk.phones.actions import seen
from pitchline.desk.phones.models import Phone
from pitchline.desk.phones.queries import is_put_out, phone_by
from pitchline.words import in_english, translated

BY_THE_DOOR = "pitchline.by_the_door_for_phones"
"""A key of a WSGI request that no header can set."""
COOKIE = "__Host-pitchline-phone"
"""By its name browsers keep it for this one address and never send it in the clear (RFC 6265bis, from memory)."""
COOKIE_S = 180 * 24 * 3600
AT_THE_DOOR = frozenset((
    "ask-in", "alive", "icon", "pocket", "pocket-worker", "pocket-manifest", "pocket-script", "pocket-sheet",
))  # fmt: skip
"""What a phone sees before it is let in; the app itself holds no data."""
FOR_THE_APP = frozenset(("pocket-hello", "pocket-yard", "pocket-machine", "pocket-send"))
"""What the app on a phone asks by script: whoever may not is told why, and never led on to another page."""


class PhoneMiddleware:
    """Finds the phone behind a request that came in by the door for phones."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer; the phone's cookie lives on from its last sign of life."""
        if BY_THE_DOOR not in request.META:
            return self.get_response(request)
        secret = request.COOKIES.get(COOKIE, "")
        phone = phone_by(secret) if secret else None
        if phone is not None:
            _let(request, phone)
        else:
            request.user = AnonymousUser()  # a session made at the desk counts for nothing here
        response = self.get_response(request)
        if phone is not None and seen(phone, str(request.META.get("REMOTE_ADDR", ""))):
            keep(response, secret)
        return response

    def process_view(self, request: HttpRequest, view: Any, args: object, kwargs: object) -> HttpResponse | None:
        """The door where nobody was let in; a page that says so where a phone has no business."""
        match = request.resolver_match
        name = match.view_name if match is not None else ""
        if BY_THE_DOOR not in request.META:
            signed_out = settings.LOGIN and name in FOR_THE_APP and not request.user.is_authenticated
            return _told_why("signed out", reverse("sign-in")) if signed_out else None
        if getattr(request, "phone", None) is None:
            if name in FOR_THE_APP:
                was_in = is_put_out(request.COOKIES.get(COOKIE, ""))
                return _told_why("put out" if was_in else "not let in", reverse("ask-in"))
            return None if name in AT_THE_DOOR else redirect("ask-in")
        if name in AT_THE_DOOR or asked_by_address(name, request.method or "") in OF_A_PHONE:
            return None
        return render(request, "desk/not-yours.html", status=HTTPStatus.FORBIDDEN)


_WHY = {
    "not let in": in_english(
        "This phone is not let in here. Ask at the desk for a code; what waits on the phone stays."
    ),
    "put out": in_english(
        "This phone was put out. Ask at the desk to be let in again; what waits on the phone stays."
    ),
    "signed out": in_english("Sign in again; what waits here stays until then."),
}


def _told_why(why: str, href: str) -> JsonResponse:
    told = JsonResponse({"why": why, "href": href, "said": translated(_WHY[why])}, status=HTTPStatus.UNAUTHORIZED)
    told.headers["Cache-Control"] = "no-store"
    return told


def _let(request: HttpRequest, phone: Phone) -> None:
    asked = cast(DeskRequest, request)
    request.phone = phone  # type: ignore[attr-defined]
    if settings.LOGIN:
        if phone.user is None:  # let in before people signed in here
            request.user = AnonymousUser()
            del request.phone  # type: ignore[attr-defined]
            return
        request.user = phone.user
        who = replace(member_as_actor(phone.user.member), name=phone.person)
    else:
        who = Actor(phone.business, phone.person, is_person=True)
    asked.actor = who.within(OF_A_PHONE)


def keep(response: HttpResponse, secret: str) -> None:
    """Nothing comes out; the phone that gets this answer keeps its secret."""
    response.set_cookie(COOKIE, secret, max_age=COOKIE_S, secure=True, httponly=True, samesite="Strict")
