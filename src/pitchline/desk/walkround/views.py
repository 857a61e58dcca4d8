"""Pages of a walk-round: the whole sheet as a table, one part at a time, saving, finishing."""

import uuid
from urllib.parse import parse_qsl

from django.apps import apps
from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.html import format_html
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.clock import today
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.queries import dossier_of, drafts_of, machine_of
from pitchline.desk.next_page import next_address
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import PutAway, Reason, as_sent, lines_in, lines_sent, why_typed
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.uploads import sent_files, walk_round_in
from pitchline.desk.walkround import actions, finishing, putting_away
from pitchline.desk.walkround.asides import line_said, settle_aside
from pitchline.desk.walkround.day_and_hours import is_asked_about
from pitchline.desk.walkround.form_lines import entries_of
from pitchline.desk.walkround.forms import ANOTHER_DAY, Begin, Save, Settle
from pitchline.desk.walkround.models import Sheet
from pitchline.desk.walkround.queries import begun_of, finished_on, page_of, sheet_of, what_became_of
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.findings import Severity
from pitchline.words import translated
from pitchline.words.catalogue import refused

END = "end"
"""In the address of a round: after the last part."""


@require_POST
def begin(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """A new walk-round, asked first beside an unfinished one; the form brings its id, so that sending twice begins one only."""
    actor = request.actor
    typed = Begin.of(request)
    sheet_id = typed["sheet_id"] or uuid.uuid4()
    machine = machine_of(actor.business, machine_id)
    drafts, beside = drafts_of(machine), typed["beside"]
    if sheet_id not in {one.pk for one in drafts}:
        twin = finished_on(machine, today()) if not beside else None
        if twin is not None or (drafts and not typed["another"]):
            context = {
                "machine": machine,
                "drafts": begun_of(machine, drafts),
                "new_sheet": sheet_id,
                "twin": twin,
            }
            context["why"] = translated("more is read on the same day")
            return render(request, "walkround/another.html", context)
    day = None if beside == ANOTHER_DAY else today()
    sheet = actions.start_sheet(actor, machine_id=machine_id, sheet_id=sheet_id, day=day)
    return redirect("walk-round", sheet.pk)


@require_safe
def go_on(request: DeskRequest, sheet_id: uuid.UUID) -> HttpResponse:
    """Where one left off: the part last written on, or the whole where there is none."""
    sheet = sheet_of(request.actor.business, sheet_id)
    dossier = known_dossier(sheet.machine)
    if dossier is not None and sheet.left_at in {place.key for place in dossier.gear.places()}:
        return redirect("walk-round-at", sheet.pk, sheet.left_at)
    return redirect("walk-round", sheet.pk)


@require_safe
def table(request: DeskRequest, sheet_id: uuid.UUID) -> HttpResponse:
    """The whole sheet."""
    return _shown(request, sheet_id, None)


@require_safe
def at(request: DeskRequest, sheet_id: uuid.UUID, key: str) -> HttpResponse:
    """One part of the sheet, in walking order; or its end, where what is left stands together."""
    return _shown(request, sheet_id, key)


def _shown(
    request: DeskRequest,
    sheet_id: uuid.UUID,
    key: str | None,
    problems: object = (),
    status: int = 200,
    why: str = "",
) -> HttpResponse:
    sheet = sheet_of(request.actor.business, sheet_id)
    shown, _ = page_of(sheet)
    context: dict[str, object] = {
        "sheet": sheet,
        "machine": sheet.machine,
        "shown": shown,
        "writer": uuid.uuid4(),
        "today": today(),
        "severities": tuple(Severity),
        "asides": [(one, translated(line_said(one.key))) for one in sheet.asides.filter(settled=False)],
        "problems": problems,
        "twin": finished_on(sheet.machine, sheet.date) if shown.head.date_wrong and sheet.date else None,
        "why": why,
        "editable": sheet.state == Sheet.DRAFT,
        "photos": apps.is_installed("pitchline.desk.photos"),
        "way": reverse("walk-round-at", args=[sheet.pk, "-"]).removesuffix("-/"),
    }
    if key is None:
        known = shown.place(sheet.left_at)
        context["round_from"] = (known[1] if known is not None else shown.places[0]).key
        return render(request, "walkround/table.html", context, status=status)
    found = (len(shown.places), None) if key == END else shown.place(key)
    if found is None:
        raise Http404("This machine has no such part.")
    number, place = found
    context |= {
        "place": place,
        "number": number + 1,
        "before": shown.places[number - 1] if number else None,
        "after": shown.places[number + 1] if number < len(shown.places) - 1 else None,
        "name": place.name if place is not None else translated("Still to do"),
    }
    return render(request, "walkround/part.html", context, status=status)


@require_POST
def save(request: DeskRequest, sheet_id: uuid.UUID) -> HttpResponse:
    """Lines of a sheet: from a page that saves on every change, or as an ordinary form."""
    actor = request.actor
    wants_json = request.headers.get("Accept", "").startswith("application/json")
    try:
        typed = Save.of(request)
        lines, writer, why = entries_of(lines_sent(request) | _put(typed["put"])), typed["writer"], typed["why"]
        saved = actions.save_lines(actor, sheet_id=sheet_id, writer=writer, lines=lines, why=why)
    except (InputError, NotAllowedError) as error:
        return _refused(request, error, wants_json)
    sheet = sheet_of(actor.business, sheet_id)
    if sheet.state == Sheet.FINISHED:
        judge_machine(actor, sheet.machine_id)
        messages.success(
            request,
            translated("Corrected; the machine is judged anew. What stood before is under “Every change”."),
        )
    if wants_json:
        return JsonResponse(what_became_of(sheet, saved))
    if any(one.aside for one in saved):
        messages.warning(request, " ".join(one.words for one in saved if one.aside))
    return redirect(next_address(request, reverse("walk-round", args=[sheet_id])))


def _put(put: str) -> dict[str, str]:
    """What the button of a questioned reading puts in place of what was typed: fields of its line."""
    key, _, fields = put.partition("?")
    return lines_in({f"{key}~{name}": text for name, text in parse_qsl(fields)})


def _refused(request: DeskRequest, error: InputError | NotAllowedError, wants_json: bool) -> HttpResponse:
    problems = problems_of(error)
    if wants_json:
        return JsonResponse({"problems": [refused(problem) for problem in problems]}, status=400)
    reason = all(problem.field == "why" for problem in problems)  # then the rest can be sent again as it is
    sent = {name: text for name, text in as_sent(request).items() if name not in ("why", "csrfmiddlewaretoken")}
    context = {"problems": problems, "back": next_address(request, "/"), "why": why_typed(request)}
    return render(request, "walkround/refused.html", context | {"sent": sent if reason else {}}, status=400)


@require_POST
def finish(request: DeskRequest, sheet_id: uuid.UUID) -> HttpResponse:
    """Finished: what is on the form is saved first, then the whole is checked and the machine judged."""
    actor = request.actor
    try:
        typed = Save.of(request)
        lines = entries_of(lines_sent(request) | _put(typed["put"]))
        if lines:
            saved = actions.save_lines(actor, sheet_id=sheet_id, writer=typed["writer"], lines=lines)
            if any(one.aside for one in saved):
                said = translated("Somebody else wrote on this sheet meanwhile: two entries wait at one place.")
                messages.warning(request, said)
                return redirect("walk-round", sheet_id)
        sheet = sheet_of(actor.business, sheet_id)
        asked = is_asked_about(sheet)
        if asked and not typed["head_is_right"]:
            return redirect("walk-round-at", sheet_id, END)  # where it is asked
        with transaction.atomic():
            twin = finished_on(sheet.machine, sheet.date) if typed["instead"] and sheet.date else None
            if twin is not None and twin.pk == typed["instead"]:
                why = translated("another walk-round of that day is in its place")
                putting_away.put_away(actor, sheet_id=twin.pk, why=why)
            finishing.finish_sheet(actor, sheet_id=sheet_id)
    except (InputError, NotAllowedError) as error:
        return _shown(request, sheet_id, END, problems_of(error), 400)
    sheet = sheet_of(actor.business, sheet_id)
    judge_machine(actor, sheet.machine_id)
    undo = format_html(
        '{} <a href="{}#reopen">{}</a>',
        translated("Walk-round finished, machine judged."),
        reverse("walk-round", args=[sheet_id]),
        translated("Take it up again"),
    )
    messages.success(request, undo)
    return redirect("machine", sheet.machine_id)


@require_POST
def reopen(request: DeskRequest, sheet_id: uuid.UUID) -> HttpResponse:
    """A finished walk-round is a draft again, with a reason; the machine is judged without it until it is finished anew."""
    actor = request.actor
    try:
        finishing.reopen_sheet(actor, sheet_id=sheet_id, why=Reason.of(request)["why"])
    except (InputError, NotAllowedError) as error:
        return _shown(request, sheet_id, None, problems_of(error), 400, why=why_typed(request))
    sheet = sheet_of(actor.business, sheet_id)
    judge_machine(actor, sheet.machine_id)
    messages.success(
        request, translated("Taken up again as a draft. The machine is judged without it until it is finished.")
    )
    return redirect("walk-round", sheet_id)


@require_POST
def put_away(request: DeskRequest, sheet_id: uuid.UUID) -> HttpResponse:
    """Out of the way, or back; nothing is deleted."""
    actor = request.actor
    try:
        away, why = PutAway.of(request).values()
    except InputError as error:
        return _shown(request, sheet_id, None, problems_of(error), 400, why=why_typed(request))
    if away:
        done = putting_away.put_away(actor, sheet_id=sheet_id, why=why)
        tell_undo(request, done.said if done is not None else translated("It was put away already."), done)
    else:
        finishing.set_put_away(actor, sheet_id=sheet_id, away=False, why=why)
        messages.success(request, translated("Back as a draft."))
    sheet = sheet_of(actor.business, sheet_id)
    judge_machine(actor, sheet.machine_id)
    return redirect("machine", sheet.machine_id)


@require_POST
def settle(request: DeskRequest, aside_id: int) -> HttpResponse:
    """What was kept aside: taken, or let go."""
    actor = request.actor
    try:
        aside = settle_aside(actor, aside_id=aside_id, take=Settle.of(request)["take"], writer=str(uuid.uuid4()))
    except (InputError, NotAllowedError) as error:
        return _refused(request, error, wants_json=False)
    return redirect("walk-round", aside.sheet_id)


@require_POST
def bring_round(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """A filled sheet from a file."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    dossier = dossier_of(one)
    if dossier is None:
        raise Http404("The running gear is not entered yet.")
    try:
        sent = sent_files(request)
        rounds = [walk_round_in(each, dossier) for each in sent]
        added = sum(finishing.bring_sheet(actor, machine_id=one.pk, walk_round=each) for each in rounds)
    except (InputError, NotAllowedError) as error:
        context = {"machine": one, "problems": problems_of(error)}
        return render(request, "machine/not-brought.html", context, status=400)
    messages.success(
        request, translated("Walk-round added.") if added else translated("That walk-round was there already.")
    )
    return redirect("machine", one.pk)
