"""The settings' page."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from pitchline.desk.house.actions import (
    Changed,
    SettingsChangedError,
    change_settings,
    renew_feed,
    switch_feed_off,
)
from pitchline.desk.house.forms import (
    FeedOff,
    SettingsForm,
    first_of,
    known_tools,
    tool_rows,
    typed_tools,
)
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import as_sent, lines_sent
from pitchline.desk.trail.models import Change
from pitchline.desk.trail.pages import told_changes
from pitchline.desk.workplan.feed import yard_address
from pitchline.trade.errors import Problem
from pitchline.trade.writing import writing
from pitchline.words import translated


@require_http_methods(["GET", "HEAD", "POST"])
def settings(request: DeskRequest) -> HttpResponse:
    """Units, numbers and days, booking window, tools, name on papers, calendar feed."""
    actor = request.actor
    business = actor.business
    if request.method != "POST":
        return _page(
            request, business, SettingsForm(initial=first_of(business), standing=business.numbers), business.tools
        )
    form = SettingsForm(request.POST, standing=business.numbers)
    rows, problems = typed_tools(lines_sent(request), business.numbers)
    if not form.is_valid() or problems:
        return _page(request, business, form, rows, problems=problems, status=400)
    typed = dict(form.cleaned_data)
    seen = typed.pop("seen_version")
    try:
        changed = change_settings(actor, seen_version=seen, settings=typed | {"tools": rows})
    except SettingsChangedError as error:
        post = as_sent(request) | {"seen_version": str(error.now.version)}
        again = SettingsForm(post, standing=business.numbers)
        return _page(request, error.now, again, rows, now=error.now, status=409)
    if changed.judging:
        with writing(Business.objects.get(pk=business.pk).writing):  # in the new language, where that was changed
            messages.success(request, _judged_anew(changed))
        judge_soon()
    else:
        messages.success(request, translated("Saved.") if changed.anything else translated("Nothing was changed."))
    return redirect("settings")


def _judged_anew(changed: Changed) -> str:
    if changed.figures:
        return translated("Saved. Every machine is judged anew; verdicts given before stay as they were.")
    if changed.units:
        return translated(
            "Saved. Sizes are shown so from now on. No call, figure or plan changes; the reasons that name sizes are written "
            "anew, and until then they stand as they were."
        )
    if changed.language:
        return translated(
            "Saved. Pages speak this language from now on. No call, figure or plan changes; what was written down in another "
            "language is written anew, and until then it stands as it was."
        )
    return translated(
        "Saved. Numbers and days are written so from now on. No call, figure or plan changes; the reasons that name them are "
        "written anew, and until then they stand as they were."
    )


def _page(
    request: DeskRequest,
    business: Business,
    form: SettingsForm,
    tools: list[dict[str, str]],
    *,
    problems: tuple[Problem, ...] = (),
    now: Business | None = None,
    status: int = 200,
) -> HttpResponse:
    context = {
        "form": form,
        "tools": tool_rows(tools),
        "known_tools": ", ".join(known_tools()),
        "problems": problems,
        "now_standing": first_of(now) if now is not None else None,
        "feed": request.build_absolute_uri(yard_address(business)) if business.feed_secret else "",
        "changes": told_changes(Change.objects.filter(business=business, machine_id=None)[:20]),
    }
    return render(request, "house/settings.html", context, status=status)


@require_POST
def feed(request: DeskRequest) -> HttpResponse:
    """A new secret for the calendar feed, or none."""
    actor = request.actor
    if FeedOff.of(request)["off"]:
        switch_feed_off(actor)
        messages.success(request, translated("The calendar feed is switched off. Its addresses lead nowhere now."))
    else:
        renew_feed(actor)
        messages.success(
            request,
            translated("The calendar feed has a new address. Addresses given out before lead nowhere now."),
        )
    return redirect("settings")
