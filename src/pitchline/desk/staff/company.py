"""Sign-in by a company's own (OpenID Connect): whoever it lets in works for the desk's own business, as what the owner set."""

from typing import Any

from allauth.core.exceptions import ImmediateHttpResponse
from allauth.socialaccount.adapter import DefaultSocialAccountAdapter
from django.conf import settings
from django.http import HttpRequest
from django.shortcuts import render

from pitchline.desk.people.middleware import local_actor
from pitchline.desk.people.models import Member
from pitchline.desk.people.rights import OWNER, READER, ROLES
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.actions import Told, note
from pitchline.trade.errors import phrase


class CompanyAdapter(DefaultSocialAccountAdapter):  # type: ignore[misc]
    """A person is known by the company's own mark of them (`sub`), never by a name or a mail address they could have chosen."""

    def is_open_for_signup(self, request: HttpRequest, sociallogin: Any) -> bool:
        """Whom the company lets in, this desk does."""
        return True

    def is_auto_signup_allowed(self, request: HttpRequest, sociallogin: Any) -> bool:
        """Nothing more is asked."""
        return True

    def pre_social_login(self, request: HttpRequest, sociallogin: Any) -> None:
        """Mail addresses are left out: another's would stand in the way of somebody the company lets in."""
        sociallogin.email_addresses.clear()
        if not sociallogin.is_existing:
            sociallogin.user.email = ""

    def save_user(self, request: HttpRequest, sociallogin: Any, form: Any = None) -> Any:
        """The person, new, without a password of their own."""
        user = super().save_user(request, sociallogin, form)
        role = settings.COMPANY["role"] or READER
        if role not in ROLES or role == OWNER:  # nobody becomes an owner by being sent here
            role = READER
        business = local_actor().business
        Member.objects.create(user=user, business=business, role=role)
        who = Actor(business, user.get_username(), is_person=True)
        note(who, None, [Told(phrase("came in by the company's sign-in"))])
        return user

    def on_authentication_error(self, request: HttpRequest, *args: Any, **kwargs: Any) -> None:
        """A page of ours that says so."""
        raise ImmediateHttpResponse(render(request, "staff/company-refused.html", status=403))

    def send_notification_mail(self, *args: Any, **kwargs: Any) -> None:
        """Told at the desk."""
