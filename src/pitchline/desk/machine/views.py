"""Pages of one machine."""

import json
import uuid
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import F
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.bridge.machines import (
    entered_dossier,
    file_text_of,
    known_dossier,
    text_without_walk_rounds,
)
from pitchline.desk.bridge.sheet_rows import Sheet
from pitchline.desk.clock import today
from pitchline.desk.downloads import sent_file
from pitchline.desk.machine.actions import (
    About,
    OldVersionError,
    change_file,
    keep_about,
    keep_file,
    without_walk_rounds,
)
from pitchline.desk.machine.archiving import archive_several
from pitchline.desk.machine.forms import AboutForm, FileForm, about_start
from pitchline.desk.machine.forms import refused as refused_at
from pitchline.desk.machine.gear_drawn import drawn_from
from pitchline.desk.machine.gear_form import GearForm, start_of
from pitchline.desk.machine.judged_pages import gear_piece, judged_piece, part_piece
from pitchline.desk.machine.judging import is_outdated, judge_machine, take_from
from pitchline.desk.machine.looked import YES, LookedForm, answer, asked_of, looks_of
from pitchline.desk.machine.missing import may_enter, missing_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.page_facts import told
from pitchline.desk.machine.pages import read_lines, seen_lines
from pitchline.desk.machine.papers import kind_of, not_for, paper_of
from pitchline.desk.machine.queries import dossier_of, judgements_of, machine_of, sheets_at
from pitchline.desk.machine.record import eras_of, with_former
from pitchline.desk.machine.sheet_code import printed_code
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.rights import CHANGE, MONEY, RIGHTS
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import Archived, as_sent, lines_sent, why_typed
from pitchline.desk.prices import newest_prices
from pitchline.desk.problems import problems_of
from pitchline.desk.trail.pages import told_by_day
from pitchline.desk.trail.queries import changes_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.versions import version_of
from pitchline.exchange.sheet import sheet_rows
from pitchline.papers.sheet_paper import sheet_pdf
from pitchline.trade.errors import InputError, NotAllowedError, Problem, phrase
from pitchline.trade.machine import MachineKind
from pitchline.trade.parts import Place, Side
from pitchline.trade.units import UnitSystem
from pitchline.words import translated
from pitchline.words.catalogue import refused

CHANGES = 100
"""Changes on one page of the trail."""


def _judged(request: DeskRequest, machine: Machine) -> Judgement | None:
    """The newest judgement; made now where the machine is marked for it and the worker has not been there yet."""
    if machine.to_judge:
        judge_machine(request.actor, machine.pk)
        machine.refresh_from_db()
    return machine.judgement


@require_safe
def machine(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """One machine: drawing, hours and money, calls with reasons, jobs, history, papers."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    judgement = _judged(request, one)
    units = UnitSystem(actor.business.units)
    priced = newest_prices(actor.business) is not None
    dossier = known_dossier(one)
    rounds = list(one.sheets.order_by(F("date").desc(nulls_first=True), "-created_at"))
    draft = max(
        (each for each in rounds if each.state == Sheet.DRAFT), key=lambda each: each.last_written, default=None
    )
    context: dict[str, object] = {
        "machine": one,
        "draft": draft,
        "other_drafts": [each for each in rounds if each.state == Sheet.DRAFT and each != draft],
        "round_today": any(each.state == Sheet.FINISHED and each.date == today() for each in rounds),
        "judgement": judgement,
        "is_past": judgement is not None and judgement.as_of < today(),
        "is_by_another": judgement is not None and is_outdated(judgement),
        "sheets": [each for each in rounds if each.state != Sheet.PUT_AWAY],
        "put_away": [each for each in rounds if each.state == Sheet.PUT_AWAY],
        "judgements": judgements_of(one)[:20],
        "missing": may_enter(
            missing_of(
                dossier,
                one.last_walk_on is not None,
                priced,
                dossier is None and bool(told("anything in the book", one)),
                draft is not None,
            ),
            actor.rights,
        ),
        "new_sheet": uuid.uuid4(),
        "depots": told("depots", actor) if CHANGE in actor.rights else (),
        "decided_plan": told("plan decided on", one),
        "brought": told("brought by phones", one),
        "hours_doubted": told("hours asked about", one),
        "priced": priced,
    }
    if judgement is not None:
        side = {"left": Side.LEFT, "right": Side.RIGHT}.get(request.GET.get("side", ""))
        context["judged"] = judged_piece(one, judgement, side, units, priced)
    else:
        context["gear_drawn"] = gear_piece(one, dossier, units) if dossier is not None else ""
    return render(request, "machine/machine.html", context)


@require_safe
def part(request: DeskRequest, machine_id: uuid.UUID, key: str) -> HttpResponse:
    """One part: wear record, readings, why these figures, and correcting a reading."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    judgement = _judged(request, one)
    if judgement is None:
        raise Http404("This machine is not judged yet.")
    try:
        place = Place.from_key(key)
    except NotAllowedError:
        raise Http404("No such part.") from None
    dossier, units = known_dossier(one), UnitSystem(actor.business.units)
    if dossier is None:
        raise Http404("This machine has no such part.")
    sheets = sheets_at(one, place)
    with_former(sheets, place)
    there = dossier_of(one, sheets) or dossier
    context: dict[str, object] = {
        **part_piece(one, judgement, place, dossier, units),
        "machine": one,
        "key": place.key,
        "kind": place.part.value,
        "read": read_lines(sheets, dossier, units),
        "seen": seen_lines(sheets, dossier),
        "hows": [(row.measurand, row.how) for row in sheet_rows(dossier) if row.place == place and row.measurand],
        "eras": eras_of(there, place, units),
        "writer": uuid.uuid4(),
    }
    return render(request, "machine/part.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def about(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Kind and name, what tells it from others, customer, site and asking price."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    if request.method != "POST":
        form = AboutForm(initial=about_start(one), business=actor.business)
        return render(request, "machine/about.html", {"machine": one, "form": form})
    form = AboutForm(request.POST, business=actor.business)
    if not form.is_valid():
        return render(request, "machine/about.html", {"machine": one, "form": form}, status=400)
    typed = dict(form.cleaned_data)
    seen = typed.pop("seen_version")
    try:
        changed = keep_about(actor, machine_id=one.pk, seen_version=seen, about=About(**typed))
    except NotAllowedError as error:
        form.add_error("short_name", refused_at(error))
        return render(request, "machine/about.html", {"machine": one, "form": form}, status=400)
    except OldVersionError as error:
        again = AboutForm(
            initial=typed
            | {"asking_price": request.POST.get("asking_price", ""), "seen_version": error.now.version},
            business=actor.business,
        )
        context = {"machine": one, "form": again, "now": error.now}
        return render(request, "machine/about.html", context, status=409)
    tell_undo(request, translated("Saved.") if changed else translated("Nothing was changed."), changed)
    return redirect("machine", one.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def gear(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The running gear: entered for the first time, or changed. With "draw" it is drawn, and nothing is kept."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    stood = json.loads(one.file_text)["running_gear"] if one.file_text else {}
    start: dict[str, Any] = start_of(stood) if stood else {"slew_ring": one.kind == MachineKind.EXCAVATOR.value}
    numbers, sent = actor.business.numbers, as_sent(request) if request.method == "POST" else None
    draws = sent is not None and bool(sent.get("draw"))
    start["seen_version"] = one.version
    if draws and sent is not None:
        lines_sent(request)  # refuses what no field takes
        form = GearForm(
            initial=start | sent | {"slew_ring": "slew_ring" in sent}, numbers=numbers, is_new=not stood
        )
        return _gear_page(request, one, form)
    form = GearForm(sent, initial=start, numbers=numbers, is_new=not stood)
    if sent is None:
        return _gear_page(request, one, form)
    if not form.is_valid():
        return _gear_page(request, one, form, status=400)
    seen, why = form.cleaned_data["seen_version"], phrase("running gear entered")
    try:
        if stood:
            text = form.changed_text(without_walk_rounds(one.file_text))
            what, why = translated("running gear"), phrase("running gear")
            kept = keep_file(actor, machine_id=one.pk, seen_version=seen, text=text, why=why, what=what)
            tell_undo(request, translated("Saved.") if kept else translated("Nothing was changed."), kept)
            return redirect(f"{reverse('all-about', args=[one.pk])}#gear")
        text = form.file_text(one.short_name, one.name, one.kind)
        change_file(actor, machine_id=one.pk, seen_version=seen, text=text, why=why)
        return redirect("limits", one.pk)
    except (InputError, NotAllowedError) as error:
        problems = form.tell(error) if isinstance(error, InputError) else problems_of(error)
        return _gear_page(request, one, form, problems, status=400)
    except OldVersionError as error:
        form = GearForm(
            (sent or {}) | {"seen_version": str(error.now.version)},
            initial=start,
            numbers=numbers,
            is_new=not stood,
        )
        return _gear_page(request, error.now, form, now=error.now, status=409)


def _gear_page(
    request: DeskRequest,
    one: Machine,
    form: GearForm,
    problems: tuple[Problem, ...] = (),
    now: Machine | None = None,
    status: int = 200,
) -> HttpResponse:
    context = {"machine": one, "form": form, "problems": problems, "now": now, "drawn": drawn_from(form.typed)}
    return render(request, "machine/gear.html", context, status=status)


@require_safe
def gear_drawn(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The drawing of what is typed so far; nothing is kept."""
    one = machine_of(request.actor.business, machine_id)
    return render(request, "machine/gear-typed.html", {"machine": one, "drawn": drawn_from(as_sent(request))})


@require_http_methods(["GET", "HEAD", "POST"])
def machine_file(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The machine file as text, to be changed with a reason."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    dossier = entered_dossier(one)
    if dossier is None:
        return redirect("gear", one.pk)
    text, why, now, status = text_without_walk_rounds(dossier), "", None, 200
    problems: tuple[Problem, ...] = ()
    if request.method == "POST":
        text, why = as_sent(request).get("text", ""), why_typed(request)
        try:
            typed, seen = FileForm.of(request), version_of(request)
            wanted, reason = typed["text"], typed["why"]
            if change_file(actor, machine_id=one.pk, seen_version=seen, text=wanted, why=reason, whole=True):
                messages.success(request, translated("The machine file is changed; the machine is judged anew."))
            return redirect("machine", one.pk)
        except (InputError, NotAllowedError) as error:
            problems, status = problems_of(error), 400
        except OldVersionError as error:
            now, status = error.now, 409
    context = {"machine": now or one, "text": text, "why": why, "problems": problems, "now": now}
    return render(request, "machine/file.html", context, status=status)


@require_safe
def machine_download(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The machine file with every finished walk-round, as the shell reads it."""
    one = machine_of(request.actor.business, machine_id)
    dossier = dossier_of(one)
    if dossier is None:
        raise Http404("The running gear is not entered yet.")
    return sent_file(file_text_of(dossier).encode(), "application/json", f"{one.short_name}.json")


@require_safe
def blank_sheet(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The blank sheet to print, for exactly this machine's parts."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    dossier = dossier_of(one)
    if dossier is None:
        raise Http404("The running gear is not entered yet.")
    pdf = sheet_pdf(
        sheet_rows(dossier),
        dossier,
        UnitSystem(actor.business.units),
        actor.business.paper_name,
        printed_code(request, one),
    )
    return sent_file(pdf, "application/pdf", f"{one.short_name} sheet.pdf")


@require_POST
def archive(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Out of the list, or back in it; the page that follows offers the way back."""
    actor = request.actor
    archived = Archived.of(request)["archived"]
    one = machine_of(actor.business, machine_id)
    done = archive_several(actor, machine_ids=[one.pk], archived=archived)
    tell_undo(request, done.said if done is not None else translated("It was so already."), done)
    return redirect("machine", machine_id)


@require_http_methods(["GET", "HEAD", "POST"])
def looked(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """What a workshop found that looked for a cause or a sign of wear."""
    one = machine_of(request.actor.business, machine_id)
    dossier = dossier_of(one)
    if dossier is None:
        return redirect("machine", one.pk)
    problems: tuple[Problem, ...] = ()
    if request.method == "POST":
        form = LookedForm(as_sent(request))
        try:
            sent = form.read()
            if not sent["about"] or not sent["there"]:
                raise NotAllowedError("what was looked for", "nothing", "what, and whether it was found")
            done = answer(request.actor, one, sent["about"], sent["there"] == YES, sent["note"])
        except (InputError, NotAllowedError) as error:
            problems = problems_of(error)
        else:
            judge_soon()
            tell_undo(request, translated("Saved.") if done else translated("Nothing was changed."), done)
            return redirect("looked-for", one.pk)
    signs, causes = asked_of(dossier)
    first = looks_of(one, signs)
    signs = [each for each in signs if each not in first]
    context = {"machine": one, "first": first, "signs": signs, "causes": causes, "problems": problems}
    return render(request, "machine/looked.html", context, status=400 if problems else 200)


@require_safe
def changes(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Every change of one machine."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    page = Paginator(changes_of(actor.business, one.pk), CHANGES).get_page(request.GET.get("page", "1"))
    days = told_by_day(list(page.object_list))
    return render(request, "machine/changes.html", {"machine": one, "page": page, "days": days})


@require_safe
def paper(request: DeskRequest, machine_id: uuid.UUID, judgement_id: uuid.UUID, name: str) -> HttpResponse:
    """One paper of one judgement, newest or old; of one for today where the newest is outdated."""
    one = machine_of(request.actor.business, machine_id)
    judgement = one.judgements.select_related("prices").filter(pk=judgement_id).first()
    if judgement is None or not kind_of(name):
        raise Http404("No such paper.")
    if not_for(name):
        return render(request, "desk/not-yours.html", {"right": translated(RIGHTS[MONEY])}, status=403)
    if judgement.pk == one.judgement_id and is_outdated(judgement):
        judgement = judge_machine(request.actor, one.pk) or judgement
    take_from(judgement)
    try:
        content = paper_of(judgement, name, request.build_absolute_uri(reverse("machine", args=[one.pk])))
    except NotAllowedError as error:
        messages.error(request, refused(error.problem))
        return redirect("machine", one.pk)
    return sent_file(content, kind_of(name), f"{one.short_name} {judgement.as_of} {name}")
