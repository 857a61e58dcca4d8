"""By the door for phones comes a phone that was let in, and reaches what a phone is for; anybody else sees the door alone."""

from collections.abc import Callable
from http import HTTPStatus
from typing import Any, cast

from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from pitchline.desk.people.who import Actor, DeskRequest
from pitchline.desk.phones.actions import seen
from pitchline.desk.phones.models import Phone
from pitchline.desk.phones.queries import phone_by

BY_THE_DOOR = "pitchline.by_the_door_for_phones"
"""A key of a WSGI request that no header can set."""
COOKIE = "__Host-pitchline-phone"
"""By its name browsers keep it for this one address and never send it in the clear (RFC 6265bis, from memory)."""
COOKIE_S = 180 * 24 * 3600
AT_THE_DOOR = frozenset(("ask-in", "alive", "icon"))
"""What a phone sees before it is let in."""
FOR_PHONES = AT_THE_DOOR | {
    "yard", "add", "machine", "gear", "limits", "part", "changes", "blank-sheet", "paper", "ground-fit", "outlook",
    "begin", "go-on", "walk-round", "walk-round-at", "save", "finish", "reopen", "put-away", "settle",
    "photos", "send-photos", "attachment", "attachment-file", "attachment-caption", "attachment-remove", "undoable", "undo",
    "sheet-code", "printed-sheet",
}  # fmt: skip
"""What it reaches then: the yard and its machines to read, walk-rounds and photos to write, a new machine; no prices, no
settings, no files in or lists out, no people, nothing for programs."""


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
        if BY_THE_DOOR not in request.META:
            return None
        match = request.resolver_match
        name = match.view_name if match is not None else ""
        if getattr(request, "phone", None) is None:
            return None if name in AT_THE_DOOR else redirect("ask-in")
        if name in FOR_PHONES:
            return None
        return render(request, "phones/not-from-a-phone.html", status=HTTPStatus.FORBIDDEN)


def _let(request: HttpRequest, phone: Phone) -> None:
    asked = cast(DeskRequest, request)
    request.phone = phone  # type: ignore[attr-defined]
    if settings.LOGIN:
        if phone.user is None:  # let in before people signed in here
            request.user = AnonymousUser()
            del request.phone  # type: ignore[attr-defined]
            return
        request.user = phone.user
    asked.actor = Actor(phone.business, phone.person, is_person=True)


def keep(response: HttpResponse, secret: str) -> None:
    """Nothing comes out; the phone that gets this answer keeps its secret."""
    response.set_cookie(COOKIE, secret, max_age=COOKIE_S, secure=True, httponly=True, samesite="Strict")
