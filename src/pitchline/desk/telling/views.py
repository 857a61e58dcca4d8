"""The page of one's own letters, the link that ends them, and the page of hooks."""

import uuid
from contextlib import nullcontext
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_POST

from pitchline.desk.meter.feeds import failed_said
from pitchline.desk.people.models import Member
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.phones.forms import Nothing
from pitchline.desk.posts import as_sent
from pitchline.desk.spoken import later
from pitchline.desk.telling import digests
from pitchline.desk.telling import hooks as telling
from pitchline.desk.telling.forms import NONE, DigestForm, HookForm, HookOff
from pitchline.desk.telling.models import LEFT, SENDING, SENT, UNKNOWN, WAITING, Delivery, Digest, Hook
from pitchline.desk.telling.worker import WORKER
from pitchline.trade.writing import writing
from pitchline.words import translated

SHOWN = 20
"""Deliveries of a hook its page lists."""
STATES = {
    WAITING: later("waits to be sent"),
    SENDING: later("is being sent"),
    SENT: later("sent"),
    LEFT: later("given up"),
    UNKNOWN: later("may have been sent, so it is not sent again"),
}
OFF = {
    Hook.BY_HAND: later("off"),
    Hook.FAILED: later("off: nothing usable came back for five days"),
    Hook.GONE: later("off: the address says that it wants no more"),
}


@require_http_methods(["GET", "HEAD", "POST"])
def digest(request: DeskRequest) -> HttpResponse:
    """Whether one gets letters of what is due, and how often."""
    members = Member.objects.select_related("user")
    member = members.filter(user=request.user).first() if isinstance(request.user, User) else None
    known = Digest.objects.select_related("letter").filter(member=member).first() if member else None
    sent = as_sent(request) if request.method == "POST" else None
    form = DigestForm(sent, initial={"letters": known.every if known else NONE})
    if sent is not None and form.is_valid() and member is not None:
        root = request.build_absolute_uri("/")[:300]
        every = form.cleaned_data["letters"]
        digests.order(member, "" if every == NONE else every, root, timezone.now())
        messages.success(request, translated("Saved."))
        return redirect("digest")
    context: dict[str, Any] = {
        "form": form,
        "digest": known,
        "person": member.user if member else None,
        "letter_said": STATES[known.letter.state] if known is not None and known.letter is not None else "",
        "mail": settings.MAIL,
    }
    return render(request, "telling/digest.html", context, status=400 if form.errors else 200)


@csrf_exempt  # a mail program sends it without having seen a page (RFC 8058); the address is the secret
@require_http_methods(["GET", "HEAD", "POST"])
@login_not_required
def digest_end(request: HttpRequest, secret: str) -> HttpResponse:
    """What the link in a letter opens: a button that ends them. Looking alone ends nothing, for programs look, too."""
    found = digests.ended(secret)
    done = found is None
    if found is not None and request.method == "POST":
        found.delete()
        done = True
    with writing(found.member.business.writing) if found is not None else nullcontext():
        answer = render(request, "telling/digest-end.html", {"done": done})
    answer.headers["Referrer-Policy"] = "no-referrer"
    answer.headers["Cache-Control"] = "private, no-store"
    return answer


@require_http_methods(["GET", "HEAD", "POST"])
def hooks(request: DeskRequest) -> HttpResponse:
    """Which programs hear of changed verdicts, and what was sent to them; POST adds one."""
    if request.method != "POST":
        return _hooks(request)
    form = HookForm(as_sent(request))
    if not form.is_valid():
        return _hooks(request, form=form, status=400)
    hook, secret = telling.add_hook(request.actor, form.cleaned_data["send_to"])
    return _hooks(request, secret=secret, secret_of=hook.address)


def _hooks(request: DeskRequest, *, status: int = 200, **more: Any) -> HttpResponse:
    rows = list(Hook.objects.filter(business=request.actor.business))
    sent = [(hook, _shown(Delivery.objects.filter(hook=hook)[:SHOWN])) for hook in rows]
    shown = [(hook, OFF.get(hook.off_why, ""), deliveries) for hook, deliveries in sent]
    context: dict[str, Any] = {"hooks": shown, "form": HookForm(), "shown": SHOWN}
    return render(request, "telling/hooks.html", context | more, status=status)


def _shown(deliveries: Any) -> list[tuple[Delivery, str, str]]:
    return [
        (one, STATES[one.state], failed_said(one.said) if one.said else "")
        for one in deliveries.select_related("machine")
    ]


def _hook(request: DeskRequest, hook_id: uuid.UUID) -> Hook:
    return get_object_or_404(Hook, business=request.actor.business, pk=hook_id)


@require_POST
def hook_off(request: DeskRequest, hook_id: uuid.UUID) -> HttpResponse:
    """Nothing more is sent there, or again."""
    telling.switch_hook(request.actor, _hook(request, hook_id), off=HookOff.of(request)["off"])
    WORKER.wake()
    return redirect("hooks")


@require_POST
def hook_try(request: DeskRequest, hook_id: uuid.UUID) -> HttpResponse:
    """Something that tells nothing is sent, to see whether it arrives."""
    Nothing.of(request)
    telling.try_out(_hook(request, hook_id))
    WORKER.wake()
    messages.success(request, translated("It is on its way. Look again in a moment."))
    return redirect("hooks")


@require_POST
def hook_secret(request: DeskRequest, hook_id: uuid.UUID) -> HttpResponse:
    """Another secret, shown once."""
    Nothing.of(request)
    hook = _hook(request, hook_id)
    return _hooks(request, secret=telling.renew_secret(request.actor, hook), secret_of=hook.address)


@require_POST
def hook_remove(request: DeskRequest, hook_id: uuid.UUID) -> HttpResponse:
    """Gone, with the list of what went there."""
    Nothing.of(request)
    telling.remove_hook(request.actor, _hook(request, hook_id))
    messages.success(request, translated("Removed."))
    return redirect("hooks")
