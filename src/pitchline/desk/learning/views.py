"""The page of what is learned from the yard, and the fleet tables out and in."""

import uuid
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.constants import constants_in_force
from pitchline.desk.downloads import sent_file
from pitchline.desk.learning import actions
from pitchline.desk.learning.shown import audit_of, shown
from pitchline.desk.learning.worker import WORKER
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.problems import problems_of
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.uploads import sent_files
from pitchline.exchange.text_in import decode
from pitchline.outlook.fleet import ENOUGH_MACHINES
from pitchline.papers.audit_plot import audit_svg
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.writing import as_figure
from pitchline.words import counted, translated

ENDINGS = ("csv", "parquet")
_WIDTHS = (360, 900)


@require_safe
def learning(request: DeskRequest) -> HttpResponse:
    """What the yard's machines are judged with, what was learned since, and the ways to learn."""
    return _page(request)


def _page(request: DeskRequest, problems: tuple[Problem, ...] = ()) -> HttpResponse:
    business = request.actor.business
    in_force, turn = constants_in_force(business), actions.turn_seen(business)
    kept = list(actions.kept_constants(business))
    proposals = [shown(row, in_force) for row in kept if row.used_at is None]
    context: dict[str, Any] = {
        "in_force": shown(in_force, in_force) if in_force is not None else None,
        "proposals": proposals,
        "earlier": [row for row in kept if row.used_at is not None and row != in_force],
        "turn": turn,
        "enough": ENOUGH_MACHINES,
        "problems": problems,
    }
    return render(request, "learning/learning.html", context, status=400 if problems else 200)


@require_POST
def learn(request: DeskRequest) -> HttpResponse:
    """What the yard's walk-rounds and removals teach, worked out in the background."""
    actions.ask(request.actor)
    WORKER.soon()
    return redirect("learning")


@require_POST
def use(request: DeskRequest, constants_id: uuid.UUID) -> HttpResponse:
    """A set of constants, in use from now on."""
    try:
        actions.use(request.actor, constants_id)
    except NotAllowedError as error:
        return _page(request, problems_of(error))
    judge_soon()
    messages.success(request, translated("In use now. Every machine is judged anew with them, in the background."))
    return redirect("learning")


@require_POST
def take_back(request: DeskRequest) -> HttpResponse:
    """The set before is in use again, or none."""
    try:
        now = actions.take_back(request.actor)
    except NotAllowedError as error:
        return _page(request, problems_of(error))
    judge_soon()
    said = (
        translated("Taken back. The ones before are in use again, and every machine is judged anew with them.")
        if now is not None
        else translated("Taken back. Every machine is judged anew, from typical lives.")
    )
    messages.success(request, said)
    return redirect("learning")


@require_POST
def bring(request: DeskRequest) -> HttpResponse:
    """A constants file, as a proposal."""
    try:
        one = sent_files(request)[0]
        actions.bring_constants(request.actor, name=one.name, text=decode(one.content, one.name))
    except (InputError, NotAllowedError) as error:
        return _page(request, problems_of(error))
    messages.success(request, translated("Kept. Nothing is judged by it before you take it into use."))
    return redirect("learning")


@require_safe
def constants_file(request: DeskRequest, constants_id: uuid.UUID) -> HttpResponse:
    """A set as a constants file, for the command."""
    row = actions.constants_of(request.actor.business, constants_id)
    return sent_file(row.text.encode(), "application/json", row.name or f"constants-{row.learned_on}.json")


@require_safe
def audit_drawing(request: DeskRequest, constants_id: uuid.UUID, width: int) -> HttpResponse:
    """The audit of a set as a drawing."""
    audit = audit_of(actions.constants_of(request.actor.business, constants_id))
    if audit is None or width not in _WIDTHS:
        raise Http404("No such drawing.")
    response = HttpResponse(audit_svg(audit, width).encode(), content_type="image/svg+xml; charset=utf-8")
    response.headers["Cache-Control"] = "private, max-age=3600"
    return response


@require_safe
def fleet_tables(request: DeskRequest, ending: str) -> HttpResponse:
    """The whole yard as fleet tables."""
    from pitchline.desk.learning.tables import (
        yard_zip,
    )  # numpy's tables are loaded where they are needed, not by every page

    if ending not in ENDINGS:
        raise Http404("No such kind of file.")
    return sent_file(yard_zip(request.actor.business, ending), "application/zip", f"fleet-tables-{ending}.zip")


@require_POST
def bring_fleet_tables(request: DeskRequest) -> HttpResponse:
    """Fleet tables become machines with their walk-rounds and their history."""
    from pitchline.desk.learning.tables import bring_tables

    try:
        brought = bring_tables(request.actor, sent_files(request)[0])
    except (InputError, NotAllowedError) as error:
        return _page(request, problems_of(error))
    judge_soon()
    added, there = len(brought.added), len(brought.unchanged)
    said = counted("{n} machine came in.", "{n} machines came in.", added).format(n=as_figure(added, ","))
    if there:
        said += " " + counted("{n} was there already.", "{n} were there already.", there).format(
            n=as_figure(there, ",")
        )
    if brought.undoable is not None:
        tell_undo(request, said, brought.undoable)
    else:
        messages.success(request, said)
    return redirect("learning")
