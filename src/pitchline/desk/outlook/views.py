"""The outlook page: everything in its address, nothing kept until somebody says so."""

import uuid
from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.bridge.figures import verdict_seen
from pitchline.desk.bridge.unpriced import unpriced
from pitchline.desk.constants import judged_learned
from pitchline.desk.gearbook.queries import anything_in
from pitchline.desk.machine.actions import OldVersionError
from pitchline.desk.machine.judging import is_outdated, judge_machine
from pitchline.desk.machine.missing import missing_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.queries import dossier_of, machine_of
from pitchline.desk.outlook import actions
from pitchline.desk.outlook.comparison import moved_page
from pitchline.desk.outlook.question import asked_of
from pitchline.desk.people.who import DeskRequest, prices_seen
from pitchline.desk.posts import Reason, as_sent
from pitchline.desk.prices import judged_prices, newest_prices
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.versions import version_of
from pitchline.judge import judge
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.ground import GroundClass
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict
from pitchline.words import in_english, translated
from pitchline.words.labels import label
from pitchline.words.names import EXAMPLES

FIRST_TIME = in_english("entered for the first time")
"""The reason that stands in the form while nothing was entered."""


def judged(request: DeskRequest, machine: Machine) -> Judgement | None:
    """The newest judgement; made now where the machine is marked for it and the worker has not been there yet."""
    if machine.to_judge:
        judge_machine(request.actor, machine.pk)
        machine.refresh_from_db()
    return machine.judgement


def judged_today(request: DeskRequest, machine: Machine) -> Judgement | None:
    """The judgement for today; made now where the newest is for a past day or by an earlier method."""
    judgement = judged(request, machine)
    if judgement is None or not is_outdated(judgement):
        return judgement
    judge_machine(request.actor, machine.pk)
    machine.refresh_from_db()
    return machine.judgement


@require_safe
def outlook(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Hours a week, ground and booking window as the address says, and what moves."""
    machine = machine_of(request.actor.business, machine_id)
    return _page(request, machine, as_sent(request))


@require_POST
def keep(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """The hours and grounds of the form into the machine; the whole is judged anew."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    typed = as_sent(request)
    dossier = dossier_of(machine)
    if dossier is None:
        return redirect("outlook", machine.pk)
    asked = asked_of(dossier, typed, machine.business.numbers)
    if asked.dossier is None:
        return _page(request, machine, typed, status=400)
    try:
        why, seen = Reason.of(request)["why"], version_of(request)
        kept = None
        if asked.anything:
            kept = actions.keep(actor, machine_id=machine.pk, seen_version=seen, wanted=asked.dossier, why=why)
    except (InputError, NotAllowedError) as error:
        return _page(request, machine, typed, problems=problems_of(error), status=400)
    except OldVersionError as error:
        return _page(request, error.now, typed, now=error.now, status=409)
    if kept is None:
        messages.success(request, translated("Nothing was changed."))
        return redirect("outlook", machine.pk)
    judgement = judge_machine(actor, machine.pk)
    tell_undo(request, translated("Kept; the machine is judged anew.") if judgement else translated("Kept."), kept)
    return redirect("outlook" if judgement else "machine", machine.pk)


def _page(
    request: DeskRequest,
    machine: Machine,
    typed: Mapping[str, str],
    *,
    problems: tuple[Problem, ...] = (),
    now: Machine | None = None,
    status: int | None = None,
) -> HttpResponse:
    judgement = judged_today(request, machine) if typed else judged(request, machine)
    prices = newest_prices(machine.business)
    context: dict[str, Any] = {"machine": machine, "judgement": judgement, "now": now, "why": typed.get("why", "")}
    dossier = dossier_of(machine)
    if judgement is None or dossier is None:
        missing = missing_of(
            dossier, machine.last_walk_on is not None, prices is not None, anything_in(machine.business)
        )
        context["missing"] = [one for one in missing if one.goal != "outlook"]  # that is this page
        context["new_sheet"] = uuid.uuid4()
    if dossier is None:
        return render(request, "outlook/outlook.html", context, status=status or 200)
    asked = asked_of(dossier, typed, machine.business.numbers)
    problems = problems or asked.problems
    context |= {
        "asked": asked,
        "problems": problems,
        "grounds": [(label(each), translated(EXAMPLES[each])) for each in GroundClass],
    }
    if not dossier.ground_entered or dossier.utilisation is None:
        context["why"] = context["why"] or translated(FIRST_TIME)
    if judgement is None:
        return render(request, "outlook/outlook.html", context, status=status or (400 if problems else 200))
    before = verdict_seen(judgement)
    if asked.dossier is not None:
        after = before if not asked.anything else _as_asked(judgement, asked.dossier)
        context["shown"] = moved_page(before, after)
    return render(request, "outlook/outlook.html", context, status=status or (400 if problems else 200))


def _as_asked(judgement: Judgement, wanted: Dossier) -> Verdict:
    """The machine judged as asked, on the prices and for the day of its newest judgement."""
    found = judge(
        wanted,
        judged_prices(judgement),
        judgement.as_of,
        UnitSystem(judgement.units),
        learned=judged_learned(judgement),
    )
    return found if prices_seen() else unpriced(found)
