"""The worth page: another asking price in its address, nothing kept until somebody says so."""

import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.actions import OldVersionError
from pitchline.desk.machine.forms import AskingForm
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.outlook.views import judged_today
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.prices import newest_prices, prices_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.versions import version_of
from pitchline.desk.worth.actions import keep_asking
from pitchline.money.bid import with_asking
from pitchline.papers.worth_told import part_worths, told_worth, with_tax_said
from pitchline.trade.asking import AskingPrice
from pitchline.words import translated


@require_safe
def worth(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """What the running gear is worth, and an offer at the asking price the address says, or at the machine's own."""
    machine = machine_of(request.actor.business, machine_id)
    form = AskingForm(request.GET if "asking_price" in request.GET else None, business=machine.business)
    return _page(request, machine, form)


@require_POST
def keep(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The asking price that was tried into the machine."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    form = AskingForm(request.POST, business=machine.business)
    asking = form.cleaned_data["asking_price"] if form.is_valid() else None
    if asking is None:
        if form.is_valid():
            form.add_error("asking_price", translated("Type what is asked."))
        return _page(request, machine, form, status=400)
    try:
        kept = keep_asking(actor, machine_id=machine.pk, seen_version=version_of(request), asking=asking)
    except OldVersionError as error:
        return _page(request, error.now, form, now=error.now, status=409)
    if kept is None:
        messages.success(request, translated("That is the asking price already."))
    else:
        judge_machine(actor, machine.pk)
        tell_undo(request, translated("Kept as asking price: {told}.").format(told=asking.told), kept)
    return redirect("worth", machine.pk)


def _page(
    request: DeskRequest, machine: Machine, form: AskingForm, *, now: Machine | None = None, status: int = 200
) -> HttpResponse:
    judgement = judged_today(request, machine)
    standing = machine.asking_price
    asking = standing
    if form.is_bound:
        asking = form.cleaned_data["asking_price"] if form.is_valid() else None
        status = status if form.is_valid() or status != 200 else 400
    else:
        form = AskingForm(initial={"asking_price": standing.said if standing else ""}, business=machine.business)
    context: dict[str, Any] = {
        "machine": machine,
        "now": now,
        "form": form,
        "asking": asking,
        "tried": asking is not None and asking != standing,
        "priced": newest_prices(machine.business) is not None,
    }
    if judgement is not None:
        context |= _shown(judgement, asking)
    return render(request, "worth/worth.html", context, status=status)


def _shown(judgement: Judgement, asking: AskingPrice | None) -> dict[str, Any]:
    """The judged worth at an asking price; the parts are as they were judged."""
    verdict = verdict_of(judgement)
    context: dict[str, Any] = {"judgement": judgement}
    if verdict.worth is None:
        return context
    worth, offer = with_asking(verdict.worth, asking)
    context |= {"worth": told_worth(worth, offer), "parts": part_worths(worth, verdict.gear, verdict.parts)}
    context["assumed"] = any(part.assumed_limit for part in verdict.parts)
    context["currency"] = worth.as_new.currency
    rate = prices_of(judgement.prices).tax_rate if judgement.prices else None
    if offer is not None and rate:
        context["taxed"] = with_tax_said(offer, rate)
    return context
