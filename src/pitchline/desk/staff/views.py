"""The page of people, the page of one's own sign-in, and what a link opens."""

import datetime as dt
import uuid
from typing import Any

from django.apps import apps
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.api.models import Token
from pitchline.desk.api.tokens import end_token, make_token
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.models import Depot, Member
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.phones.forms import Nothing
from pitchline.desk.phones.models import Phone
from pitchline.desk.posts import as_sent, ids_sent
from pitchline.desk.staff import actions
from pitchline.desk.staff.events import SAID, events_of
from pitchline.desk.staff.forms import (
    DepotForm,
    InviteForm,
    OutForm,
    PersonForm,
    ResetForm,
    StandAt,
    TokenForm,
    WelcomeForm,
)
from pitchline.desk.staff.models import Invitation
from pitchline.desk.staff.names import FOR, ROLE_NAMES, rights_table
from pitchline.desk.undo.messages import tell_undo
from pitchline.trade.errors import NotAllowedError, Problem
from pitchline.words import translated

EVENTS = 50


@require_safe
def people(request: DeskRequest) -> HttpResponse:
    """Who works here as what, who is invited, the depots, what each role may, what happened at the sign-in."""
    return _people(request)


def _people(
    request: DeskRequest, *, problems: tuple[Problem, ...] = (), status: int = 200, **more: Any
) -> HttpResponse:
    business = request.actor.business
    members = Member.objects.filter(business=business).select_related("user").prefetch_related("depots")
    context: dict[str, Any] = {
        "people": [
            (
                one,
                ROLE_NAMES[one.role],
                PersonForm(prefix=f"p{one.pk}", initial={"role": one.role}),
                [each.pk for each in one.depots.all()],
            )
            for one in members.order_by("user__username")
        ],
        "invitations": Invitation.objects.filter(business=business, used_at=None, ends_at__gt=timezone.now()),
        "invite_form": InviteForm(),
        "depots": Depot.objects.filter(business=business),
        "invited_to": (),
        "depot_form": DepotForm(),
        "roles": [(name, translated(FOR[role])) for role, name in ROLE_NAMES.items()],
        "rights": rights_table(),
        "events": [(one, translated(SAID[one.what])) for one in events_of(business)[:EVENTS]],
        "problems": problems,
        "me": request.user.pk,
    }
    return render(request, "staff/people.html", context | more, status=status)


@require_POST
def invite(request: DeskRequest) -> HttpResponse:
    """A link for somebody new, shown once."""
    form = InviteForm(request.POST)
    if not form.is_valid():
        return _people(request, invite_form=form, status=400)
    typed = form.cleaned_data
    depots = _depots(request)
    secret = actions.invite(request.actor, called=typed["called"], role=typed["role"], depots=depots)
    return _people(request, link=_link(request, secret), link_for=typed["called"])


def _depots(request: DeskRequest) -> list[Depot]:
    return list(Depot.objects.filter(business=request.actor.business, pk__in=ids_sent(request, "depot")))


def _link(request: HttpRequest, secret: str) -> str:
    return request.build_absolute_uri(reverse("welcome", args=[secret]))


@require_POST
def uninvite(request: DeskRequest, invitation_id: uuid.UUID) -> HttpResponse:
    """A link taken back."""
    Nothing.of(request)
    found = get_object_or_404(Invitation, business=request.actor.business, pk=invitation_id)
    actions.take_back(request.actor, found)
    messages.success(request, translated("The link leads nowhere now."))
    return redirect("people")


def _member(request: DeskRequest, member_id: int) -> Member:
    return get_object_or_404(Member.objects.select_related("user"), business=request.actor.business, pk=member_id)


@require_POST
def person(request: DeskRequest, member_id: int) -> HttpResponse:
    """Another role, other depots."""
    member = _member(request, member_id)
    form = PersonForm(request.POST, prefix=f"p{member.pk}")
    if not form.is_valid():
        told = " ".join(str(each) for errors in form.errors.values() for each in errors)
        return _people(request, problems=(Problem("role", "", told, "Choose one of them."),), status=400)
    typed = form.cleaned_data
    try:
        actions.change_person(request.actor, member, role=typed["role"], depots=_depots(request))
    except NotAllowedError as error:
        return _people(request, problems=(error.problem,), status=409)
    messages.success(request, translated("Saved."))
    return redirect("people")


@require_POST
def out(request: DeskRequest, member_id: int) -> HttpResponse:
    """Put out, or let in again."""
    member, is_out = _member(request, member_id), OutForm.of(request)["out"]
    try:
        actions.put_out(request.actor, member, out=is_out)
    except NotAllowedError as error:
        return _people(request, problems=(error.problem,), status=409)
    name = member.user.get_username()
    said = (
        translated("{name} is out: sessions, tokens and phones ended.")
        if is_out
        else translated("{name} can sign in again.")
    )
    messages.success(request, said.format(name=name))
    return redirect("people")


@require_POST
def new_password(request: DeskRequest, member_id: int) -> HttpResponse:
    """A link with which somebody sets a new password, shown once to whoever owns the yard."""
    Nothing.of(request)
    member = _member(request, member_id)
    name = member.user.get_username()
    secret = actions.invite(request.actor, called=name, role=member.role, depots=(), user=member.user)
    return _people(request, link=_link(request, secret), link_for=name)


@require_POST
def add_depot(request: DeskRequest) -> HttpResponse:
    """One depot more."""
    form = DepotForm(request.POST)
    if not form.is_valid():
        return _people(request, depot_form=form, status=400)
    actions.add_depot(request.actor, form.cleaned_data["name"])
    return redirect("people")


@require_POST
def remove_depot(request: DeskRequest, depot_id: uuid.UUID) -> HttpResponse:
    """One depot less."""
    Nothing.of(request)
    try:
        actions.remove_depot(request.actor, get_object_or_404(Depot, business=request.actor.business, pk=depot_id))
    except NotAllowedError as error:
        return _people(request, problems=(error.problem,), status=409)
    return redirect("people")


@require_POST
def stand_at(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Another depot, or none; whoever is held to depots gives one of theirs."""
    actor, machine = request.actor, machine_of(request.actor.business, machine_id)
    wanted = StandAt.of(request)["depot"]
    depot = next((one for one in actions.depots_of(actor) if one.pk == wanted), None)
    if (wanted is not None or actor.depots is not None) and depot is None:
        raise Http404("No such depot.")
    done = actions.stand_at(actor, machine, depot)
    tell_undo(request, translated("Saved.") if done else translated("Nothing was changed."), done)
    return redirect("machine", machine.pk)


@require_safe
def own(request: DeskRequest) -> HttpResponse:
    """One's own sign-in: password, second factor, sessions, phones, tokens."""
    return _own(request)


def _own(request: DeskRequest, *, status: int = 200, **more: Any) -> HttpResponse:
    user = request.user if isinstance(request.user, User) else None
    context: dict[str, Any] = {
        "person": user,
        "tokens": Token.objects.filter(user=user, ended_at=None) if user is not None else (),
        "token_form": TokenForm(),
        "phones": Phone.objects.filter(user=user, ended_at=None) if user is not None else (),
        "now": timezone.now(),
        "signs_in": settings.LOGIN and apps.is_installed("allauth.account"),
    }
    return render(request, "staff/own.html", context | more, status=status)


@require_POST
def add_token(request: DeskRequest) -> HttpResponse:
    """A token, shown once."""
    form = TokenForm(request.POST)
    if not form.is_valid() or not isinstance(request.user, User):
        return _own(request, token_form=form, status=400)
    typed = form.cleaned_data
    ends = timezone.now() + dt.timedelta(days=typed["lasts"])
    secret = make_token(request.user, request.actor, typed["purpose"], scope=typed["scope"], ends_at=ends)
    return _own(request, secret=secret)


@require_POST
def drop_token(request: DeskRequest, token_id: int) -> HttpResponse:
    """A token ended."""
    Nothing.of(request)
    end_token(request.actor, get_object_or_404(Token, user_id=request.user.pk, pk=token_id))
    messages.success(request, translated("The token opens nothing any more."))
    return redirect("own")


@require_http_methods(["GET", "HEAD", "POST"])
@login_not_required
def welcome(request: HttpRequest, secret: str) -> HttpResponse:
    """What a link opens: somebody new chooses name and password, somebody known a new password."""
    link = actions.invitation_by(secret)
    if link is None:
        return _kept_by_nobody(render(request, "staff/welcome.html", {}, status=404))
    sent = as_sent(request) if request.method == "POST" else None
    form: WelcomeForm | ResetForm = WelcomeForm(sent) if link.user is None else ResetForm(sent)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            actions.accept(secret, name=typed.get("name", ""), password=typed["password"])
            messages.success(request, translated("Sign in with your new password."))
            return redirect(settings.LOGIN_URL if settings.LOGIN else "yard")
        except NotAllowedError as error:
            field = error.problem.field if error.problem.field in form.fields else None
            form.add_error(field, str(error.problem.next_step))
    context = {"form": form, "link": link, "role": ROLE_NAMES[link.role]}
    return _kept_by_nobody(render(request, "staff/welcome.html", context, status=400 if form.errors else 200))


def _kept_by_nobody(response: HttpResponse) -> HttpResponse:
    # Not "no-referrer": under that a browser sends "Origin: null" with the form (Fetch Standard, 3.2), and that is refused.
    response.headers["Cache-Control"] = "private, no-store"
    return response
