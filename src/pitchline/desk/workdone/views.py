"""The page of a machine's work, the form that writes work down, and the record as a table."""

import uuid
from collections.abc import Mapping
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.clock import today
from pitchline.desk.downloads import sent_file
from pitchline.desk.machine.actions import OldVersionError
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.page_facts import told
from pitchline.desk.machine.queries import dossier_of, machine_of
from pitchline.desk.machine.shelved import TO_TAKE
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.posts import as_sent, why_typed
from pitchline.desk.prices import judged_prices, newest_prices, prices_of
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.versions import version_of
from pitchline.desk.walkround.day_and_hours import hours_by_day
from pitchline.desk.workdone import actions, history
from pitchline.desk.workdone.forms import DoneForm, TakeOut, WorkRowForm
from pitchline.desk.workdone.record import work_of, written_before
from pitchline.desk.workdone.rows import Begun, begun, sizes_of
from pitchline.desk.workdone.table import table_of
from pitchline.desk.workplan.queries import decided_plan
from pitchline.desk.workplan.stored import planned
from pitchline.papers.stop import planned_stops
from pitchline.papers.words import first_up
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.work_done import RENEWING, doable_on
from pitchline.trade.writing import writing
from pitchline.words import worded
from pitchline.words.labels import plural


@require_safe
def work(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """What was done, planned and left open, and what it cost so far."""
    return _history(request, machine_of(request.actor.business, machine_id))


def _history(
    request: DeskRequest,
    machine: Machine,
    *,
    problems: tuple[Problem, ...] = (),
    now: Machine | None = None,
    wrong: str = "",
    status: int = 200,
) -> HttpResponse:
    context: dict[str, Any] = {
        "machine": machine,
        "problems": problems,
        "now": now,
        "wrong": wrong,
        "why": why_typed(request),
    }
    try:
        dossier = dossier_of(machine)
    except (InputError, NotAllowedError) as error:
        context["problems"] = problems or problems_of(error)
        return render(request, "workdone/work.html", context, status=status)
    if dossier is not None:
        context |= {
            "done": history.done_lines(dossier),
            "costs": history.costs_of(dossier, today()),
            "checks": history.to_check(dossier),
            "since": _done_since(dossier),
            "new_sheet": uuid.uuid4(),
            "on_shelf": bool(told(TO_TAKE, machine)),
        }
        judgement = machine.judgement
        if judgement is not None and not machine.to_judge:
            verdict = verdict_of(judgement)
            with writing(verdict.writing):
                context |= {"judgement": judgement, "open": history.open_lines(verdict)}
        context |= _planned(machine, dossier)
    return render(request, "workdone/work.html", context, status=status)


def _done_since(dossier: Dossier) -> bool:
    """Whether anything was done that no walk-round has looked at yet."""
    last = dossier.last_walk_round
    return any(last is None or one.follows(last) for one in dossier.work)


def _planned(machine: Machine, dossier: Dossier) -> dict[str, Any]:
    kept = decided_plan(machine)
    if kept is None:
        return {}
    verdict, _ = planned(kept)
    prices = judged_prices(kept.plan.judgement)
    with writing(verdict.writing):
        stops = planned_stops(verdict, prices, today())
        return {"kept": kept, "planned": history.planned_lines(verdict, stops, dossier, verdict.as_of)}


@require_http_methods(["GET", "HEAD", "POST"])
def done(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Write down a job, the jobs of a lay-up, or work on a part somebody chooses."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    dossier = dossier_of(machine)
    if dossier is None:
        return redirect("machine", machine.pk)
    form = begun(machine, dossier, as_sent(request))
    if request.method != "POST" or not form.rows:
        return _form(request, machine, dossier, form, *_forms(machine, dossier, form, None))
    sent = as_sent(request)
    head, rows = _forms(machine, dossier, form, sent)
    if written_before(head, dossier):
        return redirect("work", machine.pk)
    found = work_of(head, rows, dossier)
    if not found:
        return _form(request, machine, dossier, form, head, rows, status=400)
    try:
        said = actions.write_down(
            actor, machine_id=machine.pk, seen_version=head.cleaned_data["seen_version"], work=found
        )
    except OldVersionError as error:
        head, rows = _forms(error.now, dossier, form, sent | {"seen_version": str(error.now.version)})
        return _form(request, error.now, dossier, form, head, rows, now=error.now, status=409)
    judge_soon()
    if said is not None:
        tell_undo(request, worded("Written down: {what}.", what=said.before["told"]), said)
    renewed = any(one.did in RENEWING for one in found)
    return redirect("shelf-take" if renewed and told(TO_TAKE, machine) else "work", machine.pk)


def _forms(
    machine: Machine, dossier: Dossier, form: Begun, sent: Mapping[str, str] | None
) -> tuple[DoneForm, list[WorkRowForm]]:
    numbers, prices = machine.business.numbers, newest_prices(machine.business)
    currency = prices_of(prices).currency if prices is not None else ""
    start = {
        "seen_version": machine.version,
        "work_id": uuid.uuid4(),
        "day": today().isoformat(),
        "hours": _hours_now(dossier),
    }
    head = DoneForm(sent, initial=start, numbers=numbers, currency=currency)
    rows = [
        WorkRowForm(
            sent,
            row=row,
            sizes=sizes_of(dossier, row),
            numbers=numbers,
            currency=currency,
            alone=len(form.rows) == 1,
            prefix=f"job{number}",
        )
        for number, row in enumerate(form.rows, 1)
    ]
    return head, rows


def _hours_now(dossier: Dossier) -> str:
    """What the meter shows today as far as that is known, to be read and corrected; empty where nothing was ever read."""
    day = today()
    if not dossier.walk_rounds or dossier.walk_rounds[-1].date > day:
        return ""
    return f"{hours_by_day(dossier, day)[0]:g}"


def _form(
    request: DeskRequest,
    machine: Machine,
    dossier: Dossier,
    form: Begun,
    head: DoneForm,
    rows: list[WorkRowForm],
    *,
    now: Machine | None = None,
    status: int = 200,
) -> HttpResponse:
    kinds = dict.fromkeys(place.part for place in dossier.gear.places())
    context = {
        "machine": machine,
        "now": now,
        "form": head,
        "rows": rows,
        "begun": form,
        "kinds": [(kind.value, first_up(plural(kind))) for kind in kinds if doable_on(kind)],
        "back": reverse("work", args=[machine.pk]),
    }
    return render(request, "workdone/done.html", context, status=status)


@require_safe
def work_csv(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Every record of work of one machine, as a table."""
    machine = machine_of(request.actor.business, machine_id)
    dossier = dossier_of(machine)
    if dossier is None:
        return redirect("work", machine.pk)
    return sent_file(table_of(dossier), "text/csv; charset=utf-8", f"{machine.short_name} work done.csv")


@require_POST
def take_out(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """A record that is wrong, out of the machine's history; undoable for a day."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    try:
        what = TakeOut.of(request)
        said = actions.take_out(
            actor, machine_id=machine.pk, seen_version=version_of(request), key=what["key"], why=what["why"]
        )
    except OldVersionError as error:
        return _history(request, error.now, now=error.now, status=409)
    except (InputError, NotAllowedError) as error:
        wrong = as_sent(request).get("key", "")
        return _history(request, machine, problems=problems_of(error), wrong=wrong, status=400)
    judge_soon()
    tell_undo(request, worded("Taken out: {what}.", what=said.before["told"]), said)
    return redirect("work", machine.pk)
