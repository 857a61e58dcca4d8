"""Limits and lines of one machine: the form, a table in and out with a dry run, curves, what was learned, who changed what."""

import tempfile
import uuid
from pathlib import Path

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.downloads import sent_file
from pitchline.desk.gearbook.forms import ToBook
from pitchline.desk.gearbook.queries import fit_of, learned_here
from pitchline.desk.machine.actions import OldVersionError, change_file
from pitchline.desk.machine.limit_forms import as_table, brought_in, limits_shown, replaced, with_limits
from pitchline.desk.machine.lines import lines_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import Reason, lines_sent, why_typed
from pitchline.desk.problems import problems_of
from pitchline.desk.trail.pages import told_changes
from pitchline.desk.trail.queries import changes_of
from pitchline.desk.uploads import sent_files
from pitchline.desk.versions import version_of
from pitchline.exchange.limits_file import read_limits, write_limits
from pitchline.exchange.machine_file import machine_from_json
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.units import UnitSystem
from pitchline.words import translated


@require_http_methods(["GET", "HEAD", "POST"])
def limits(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The yard's own new sizes and wear limits for this machine."""
    actor = request.actor
    one = machine_of(actor.business, machine_id)
    dossier = known_dossier(one)
    if dossier is None:
        return redirect("gear", one.pk)
    if request.method != "POST":
        return limits_page(request, one, dossier)
    typed = lines_sent(request)
    try:
        why = Reason.of(request)["why"]
        text = with_limits(dossier, one.file_text, typed, actor.business.numbers)
        change_file(actor, machine_id=one.pk, seen_version=version_of(request), text=text, why=why)
        messages.success(request, translated("Sizes and limits saved."))
        for moved in replaced(one.file_text, text):
            messages.success(request, moved)
        return redirect("machine", one.pk)
    except (InputError, NotAllowedError) as error:
        return limits_page(request, one, dossier, typed, problems_of(error), status=400)
    except OldVersionError as error:
        now = known_dossier(error.now) or dossier
        return limits_page(request, error.now, now, typed, now=error.now, status=409)


def limits_page(
    request: DeskRequest,
    one: Machine,
    dossier: Dossier,
    typed: dict[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
    now: Machine | None = None,
    status: int = 200,
    tried: str = "",
    name: str | None = None,
) -> HttpResponse:
    """Everything about a machine's limits, with what was typed and what stands in its way."""
    business = request.actor.business
    learned = learned_here(business)
    shown = limits_shown(dossier, one.file_text, typed, compare=bool(tried or now))
    context = {
        "machine": one,
        **shown,
        "moved": sum(bool(line.was) for line in shown["lines"]),
        "wear_lines": lines_of(dossier, learned[1] if learned else None, UnitSystem(business.units)),
        "learned": learned,
        "fit": fit_of(one),
        "changes": told_changes(changes_of(business, one.pk).filter(what="machine file")[:20]),
        "problems": problems,
        "now": now,
        "tried": tried,
        "why": translated("from {tried}").format(tried=tried) if tried else why_typed(request),
        "to_book": ToBook(initial={"name": one.name if name is None else name}, auto_id="book-%s"),
        "new_entry": uuid.uuid4(),
    }
    return render(request, "gearbook/machine-limits.html", context, status=status)


@require_POST
def bring_limits(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """A table of limits, tried: the form shows what would change, and nothing is changed before it is saved."""
    one = machine_of(request.actor.business, machine_id)
    dossier = known_dossier(one)
    if dossier is None:
        raise Http404("The running gear is not entered yet.")
    try:
        sent = sent_files(request)[0]
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / sent.name
            path.write_bytes(sent.content)
            typed = brought_in(dossier, one.file_text, read_limits(path))
    except (InputError, NotAllowedError) as error:
        return limits_page(request, one, dossier, problems=problems_of(error), status=400)
    try:
        machine_from_json(with_limits(dossier, one.file_text, typed, request.actor.business.numbers), sent.name)
    except (InputError, NotAllowedError) as error:
        return limits_page(request, one, dossier, typed, problems_of(error), status=400)
    return limits_page(request, one, dossier, typed, tried=sent.name)


@require_safe
def limits_table(request: DeskRequest, machine_id: uuid.UUID, ending: str) -> HttpResponse:
    """The limits as a table to fill in or keep."""
    one = machine_of(request.actor.business, machine_id)
    dossier = known_dossier(one)
    if dossier is None or ending not in ("csv", "xlsx"):
        raise Http404("The running gear is not entered yet.")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"limits.{ending}"
        write_limits(path, one.short_name, as_table(dossier, one.file_text))
        content = path.read_bytes()
    kinds = {"csv": "text/csv", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}
    return sent_file(content, kinds[ending], f"{one.short_name} limits.{ending}")
