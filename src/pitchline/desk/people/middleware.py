"""Every request gets its business; whoever has none sees nothing."""

from collections.abc import Callable
from typing import cast

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from pitchline.desk.people.models import LOCAL, Business, Member
from pitchline.desk.people.rights import RIGHTS, asked_by_address
from pitchline.desk.people.who import Actor, DeskRequest, asked_by, member_as_actor
from pitchline.trade.writing import writing
from pitchline.words import translated


class BusinessMiddleware:
    """Finds the business a request is for, before any view runs, and has everything said its way."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """The answer for this person's business."""
        known = getattr(request, "actor", None)  # a phone that was let in
        actor = known or (signed_in(request) if settings.LOGIN else local_actor())
        if actor is None:
            return self.get_response(request)
        cast(DeskRequest, request).actor = actor
        with writing(actor.business.writing), asked_by(actor):
            return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: object, args: object, kwargs: object
    ) -> HttpResponse | None:
        """Refuse a person without a business, except where they sign in or out, and whoever has not the right it asks."""
        named = settings.LOGIN and request.user.is_authenticated
        actor = getattr(request, "actor", None)
        if not getattr(view, "login_required", True):
            return None
        if actor is None:
            if named:
                raise PermissionDenied(translated("This person belongs to no business yet."))
            return None
        match = request.resolver_match
        if match is None or not match.url_name:  # an address of before, led on to one that has a name
            return None
        right = asked_by_address(match.view_name, request.method or "")
        if right == "" or right in actor.rights:
            return None
        return render(
            request, "desk/not-yours.html", {"right": translated(RIGHTS.get(str(right), ""))}, status=403
        )


def local_actor() -> Actor:
    """The one person of a desk without login."""
    business, _ = Business.objects.get_or_create(pk=LOCAL, defaults={"name": "This yard"})
    return Actor(business)


def signed_in(request: HttpRequest) -> Actor | None:
    """The person who signed in, with their business; None where there is none."""
    if not request.user.is_authenticated:
        return None
    member = Member.objects.select_related("business", "user").filter(user_id=request.user.pk).first()
    return member_as_actor(member) if member else None
