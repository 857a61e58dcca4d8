"""The page on which links for buyers are made, and what a buyer sees."""

import uuid
from typing import Any

from django import forms
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.buyer.actions import counted, link_by, make_link, take_back
from pitchline.desk.buyer.models import BuyerLink
from pitchline.desk.downloads import sent_file
from pitchline.desk.machine.judging import is_outdated, judge_machine, take_from
from pitchline.desk.machine.models import Judgement
from pitchline.desk.machine.papers import PDF, paper_of
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import Actor, DeskRequest, asked_by
from pitchline.desk.photos.layer import layer_over
from pitchline.desk.photos.queries import names_on, photo_jpeg, photos_of
from pitchline.desk.posts import MOST_NAME, Post
from pitchline.desk.spoken import later
from pitchline.desk.undo.messages import tell_undo
from pitchline.trade.writing import writing
from pitchline.words import translated

DAYS = {7: later("7 days"), 14: later("14 days"), 30: later("30 days"), 90: later("90 days")}


class BuyerForm(forms.Form):
    """Who gets it, and until when."""

    buyer = forms.CharField(
        required=False,
        max_length=MOST_NAME,
        label=later("For whom"),
        help_text=later("For your list; the buyer does not see it."),
    )
    lasts = forms.TypedChoiceField(
        choices=[(str(days), said) for days, said in DAYS.items()],
        coerce=int,
        initial="30",
        label=later("Ends after"),
    )


class BackForm(Post):
    """A button and no more."""


@require_http_methods(["GET", "HEAD", "POST"])
def links(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The links of one machine, and a form for another; a new one is shown once."""
    machine = machine_of(request.actor.business, machine_id)
    form = BuyerForm(request.POST if request.method == "POST" else None)
    context: dict[str, Any] = {"machine": machine, "form": form, "links": machine.buyer_links.all()[:50]}
    if request.method != "POST":
        return render(request, "buyer/links.html", context)
    if not form.is_valid() or machine.judgement is None:
        return render(request, "buyer/links.html", context, status=400)
    secret, done = make_link(
        request.actor, machine, called=form.cleaned_data["buyer"], days=form.cleaned_data["lasts"]
    )
    context["link"] = request.build_absolute_uri(reverse("for-a-buyer", args=[secret]))
    context |= {"form": BuyerForm(), "done": done}
    return render(request, "buyer/links.html", context)


@require_POST
def back(request: DeskRequest, link_id: uuid.UUID) -> HttpResponse:
    """One link taken back."""
    BackForm.of(request)
    link = get_object_or_404(
        BuyerLink.objects.select_related("machine"), business=request.actor.business, pk=link_id
    )
    done = take_back(request.actor, link)
    tell_undo(request, translated("The link leads nowhere now."), done)
    return redirect("buyer-links", link.machine_id)


def _shown(request: HttpRequest, secret: str, *, opening: bool = False) -> BuyerLink | HttpResponse:
    """The link, or what is said where it leads nowhere or was asked too often."""
    link = link_by(secret)
    if link is None:
        return _alone(render(request, "buyer/nowhere.html", status=404))
    if not counted(link, opening=opening):
        response = _alone(render(request, "buyer/nowhere.html", {"too_often": True}, status=429))
        response.headers["Retry-After"] = "60"
        return response
    return link


def _alone(response: HttpResponse) -> HttpResponse:
    """No search engine keeps it, no page it leads to learns its address."""
    response.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["Cache-Control"] = "private, no-store"
    return response


def _judged(link: BuyerLink) -> Judgement:
    """The newest judgement, for today where the newest is outdated."""
    machine = link.machine
    if machine.judgement is None:
        raise Http404("Nothing was judged.")
    if machine.to_judge or is_outdated(machine.judgement):
        return judge_machine(Actor(link.business), machine.pk) or machine.judgement
    return machine.judgement


@require_safe
@login_not_required
def opened(request: HttpRequest, secret: str) -> HttpResponse:
    """What a buyer sees: which machine, its paper, its photos."""
    link = _shown(request, secret, opening=request.method == "GET")
    if isinstance(link, HttpResponse):
        return link
    with writing(link.business.writing), asked_by(Actor(link.business)):
        photos = photos_of(link.machine)
        names = names_on(photos)
        context = {
            "machine": link.machine,
            "seller": link.business.paper_name,
            "secret": secret,
            "until": link.ends_at,
            "photos": [(one, layer_over(one, names[one.pk])) for one in photos],
            "judged_for": link.machine.judged_for,
            "language": link.business.language,
        }
        return _alone(render(request, "buyer/opened.html", context))


@require_safe
@login_not_required
def paper(request: HttpRequest, secret: str) -> HttpResponse:
    """The buyer's paper, as it stands today."""
    link = _shown(request, secret)
    if isinstance(link, HttpResponse):
        return link
    with writing(link.business.writing), asked_by(Actor(link.business)):
        judgement = _judged(link)
        take_from(judgement)
        return _alone(sent_file(paper_of(judgement, "buyer.pdf"), PDF, f"{link.machine.name}.pdf"))


@require_safe
@login_not_required
def photo(request: HttpRequest, secret: str, attachment_id: uuid.UUID) -> HttpResponse:
    """One photo of that machine, without the place it was taken at."""
    link = _shown(request, secret)
    if isinstance(link, HttpResponse):
        return link
    with asked_by(Actor(link.business)):
        found = next((one for one in photos_of(link.machine) if one.pk == attachment_id), None)
        if found is None:
            raise Http404("No such photo.")
        return _alone(HttpResponse(photo_jpeg(found), content_type="image/jpeg"))
