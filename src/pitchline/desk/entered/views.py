"""All that is said of a machine: every section with what stands in it, and the form of one."""

import json
import uuid
from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from pitchline.desk.bridge.machines import entered_dossier
from pitchline.desk.entered.sections import BY_SLUG, SECTIONS, Filled, Section
from pitchline.desk.machine.actions import OldVersionError, keep_file
from pitchline.desk.machine.forms import AboutForm, about_start
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.next_page import next_address
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import Reason, as_sent, lines_sent, why_typed
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.versions import version_of
from pitchline.papers.names import gear_said
from pitchline.papers.words import amount
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.units import UnitSystem
from pitchline.words import counted, translated


@dataclass(frozen=True, slots=True)
class Shown:
    """A section on the page of all of them.

    Parameters
    ----------
    section : Section
        The section.
    address : str
        Its form; empty where the running gear comes first.
    pairs : list of (str, str)
        What stands in it.
    """

    section: Section
    address: str
    pairs: list[tuple[str, str]]


def file_as_it_stands(machine: Machine) -> dict[str, Any]:
    """The machine file by the keys of now, without the walk-rounds it was brought in with: the desk keeps those as sheets."""
    whole: dict[str, Any] = json.loads(machine.file_text)
    whole.pop("walk_rounds", None)
    if "bands" in whole:
        whole["ranges"] = whole.pop("bands")
    return whole


def address_of(section: Section, machine: Machine) -> str:
    """Where a section is filled in."""
    if section.page:
        return reverse(section.page, args=[machine.pk]) + (f"#{section.mark}" if section.mark else "")
    return reverse("all-section", args=[machine.pk, section.slug])


@require_safe
def everything(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Every section in order, with what stands in it and what filling it in gives."""
    machine = machine_of(request.actor.business, machine_id)
    dossier = entered_dossier(machine)
    shown = [_shown(one, machine, dossier) for one in SECTIONS]
    return render(request, "entered/all.html", {"machine": machine, "shown": shown})


def _shown(section: Section, machine: Machine, dossier: Dossier | None) -> Shown:
    about = section.page == "about"
    if about:
        form = AboutForm(initial=about_start(machine), business=machine.business)
        names = next(names for mark, _, names in form.GROUPS if mark == section.mark)
        said = {name: form.initial.get(name) or "" for name in names} | {"kind": machine.kind_label}
        if said.get("asking_price") and machine.asking_price is not None:
            said["asking_price"] = amount(machine.asking_price.amount, machine.asking_price.currency)
        return Shown(
            section,
            address_of(section, machine),
            [(str(form[name].label), str(said[name])) for name in names if said[name]],
        )
    if dossier is None:
        return Shown(section, address_of(section, machine) if section.page == "gear" else "", [])
    if section.page == "gear":
        pairs = [(translated("It has"), " · ".join(gear_said(dossier.gear, UnitSystem(machine.business.units))))]
    elif section.page == "limits":
        many = len(dossier.limits)
        told = counted("{n} quantity with its new size", "{n} quantities with their new size", many).format(n=many)
        pairs = [(translated("Entered"), told)] if many else []
    else:
        pairs = Filled(section, file_as_it_stands(machine), dossier, machine.business.numbers).pairs
    return Shown(section, address_of(section, machine), pairs)


@require_http_methods(["GET", "HEAD", "POST"])
def section(request: DeskRequest, machine_id: uuid.UUID, slug: str) -> HttpResponse:
    """One section's form."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    known = BY_SLUG.get(slug)
    if known is None:
        raise Http404("No such section.")
    dossier = entered_dossier(machine)
    if known.page or dossier is None:
        return redirect(address_of(known, machine) if known.page else reverse("gear", args=[machine.pk]))
    whole, numbers = file_as_it_stands(machine), actor.business.numbers
    if request.method != "POST":
        return _page(request, machine, Filled(known, whole, dossier, numbers))
    sent = as_sent(request)
    filled = Filled(known, whole, dossier, numbers, sent)
    if sent.get("more"):
        lines_sent(request)  # refuses what no field takes: nothing else is asked before more lines are shown
        return _page(request, machine, Filled(known, whole, dossier, numbers, sent))
    try:
        if not filled.is_valid:
            return _page(request, machine, filled, status=400)
        why, seen = Reason.of(request)["why"] or str(known.title), version_of(request)
        kept = keep_file(
            actor, machine_id=machine.pk, seen_version=seen, text=filled.text, why=why, what=str(known.title)
        )
    except (InputError, NotAllowedError) as error:
        left = filled.take(error) if filled.is_valid else problems_of(error)
        return _page(request, machine, filled, left, status=400)
    except OldVersionError as error:
        return _page(request, error.now, filled, now=error.now, status=409)
    judge_soon()
    tell_undo(request, translated("Saved.") if kept else translated("Nothing was changed."), kept)
    if sent.get("then"):
        return redirect(_after(known, machine))
    return redirect(next_address(request, _in_all(known, machine)))


def _in_all(section: Section, machine: Machine) -> str:
    return f"{reverse('all-about', args=[machine.pk])}#{section.slug}"


def _after(section: Section, machine: Machine) -> str:
    return address_of(SECTIONS[(SECTIONS.index(section) + 1) % len(SECTIONS)], machine)


def _page(
    request: DeskRequest,
    machine: Machine,
    filled: Filled,
    problems: tuple[Problem, ...] = (),
    now: Machine | None = None,
    status: int = 200,
) -> HttpResponse:
    at = SECTIONS.index(filled.section)
    context = {
        "machine": machine,
        "filled": filled,
        "section": filled.section,
        "after": SECTIONS[(at + 1) % len(SECTIONS)],
        "problems": problems,
        "wrong": sum(len(one.errors) for one in filled.forms) if status == 400 else 0,
        "now": now,
        "why": why_typed(request),
        "next": next_address(request, ""),
        "leave": next_address(request, _in_all(filled.section, machine)),
    }
    return render(request, "entered/section.html", context, status=status)
