"""The page of the shelf, an entry's form, the table in and out, and taking parts for a machine."""

import tempfile
import uuid
from pathlib import Path
from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from pitchline.desk.downloads import sent_file
from pitchline.desk.gearbook.queries import entries_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.page_facts import told
from pitchline.desk.machine.papers import XLSX
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.models import Depot
from pitchline.desk.people.who import Actor, DeskRequest, prices_seen
from pitchline.desk.posts import PutAway, as_sent
from pitchline.desk.problems import problems_of
from pitchline.desk.shelf import actions, queries
from pitchline.desk.shelf.forms import Bring, ItemForm, New, TakeForm, as_typed
from pitchline.desk.shelf.models import ShelfItem
from pitchline.desk.undo.messages import tell_undo
from pitchline.desk.uploads import Upload, sent_files
from pitchline.exchange.shelf_file import read_shelf, shelf_file
from pitchline.papers.order_told import shelved_said
from pitchline.papers.words import first_up
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import translated

KINDS = {"csv": "text/csv; charset=utf-8", "xlsx": XLSX}


@require_safe
def shelf(request: DeskRequest) -> HttpResponse:
    """What lies on the shelf, what of it is promised to whom, and what is free."""
    return _shelf(request)


def _shelf(request: DeskRequest, problems: tuple[Problem, ...] = (), status: int = 200) -> HttpResponse:
    business = request.actor.business
    items = list(queries.in_use(business))
    promised = queries.promises(business, items)
    context: dict[str, Any] = {
        "lines": [_line(one, promised.get(str(one.pk), [])) for one in items],
        "away": queries.items_of(business).exclude(put_away_at=None)[:50],
        "any_depot": any(one.depot_id for one in items),
        "prices_seen": prices_seen(),
        "problems": problems,
    }
    return render(request, "shelf/shelf.html", context, status=status)


def _line(one: ShelfItem, promised: list[queries.Promise]) -> dict[str, Any]:
    many = sum(each.count for each in promised)
    what = first_up(shelved_said(one.what))
    return {"item": one, "what": what, "promised": promised, "many": many, "free": one.count - many}


def _form(actor: Actor, data: Any = None, **more: Any) -> ItemForm:
    business, depots = actor.business, told("depots", actor)
    entries = list(entries_of(business).filter(put_away_at=None).only("name"))
    mine: list[Depot] = depots if isinstance(depots, list) else []
    return ItemForm(data, numbers=business.numbers, entries=entries, depots=mine, **more)


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: DeskRequest) -> HttpResponse:
    """Another entry."""
    if request.method != "POST":
        return _item(
            request, _form(request.actor, initial={"seen_version": 0}, is_new=True), None, item_id=uuid.uuid4()
        )
    item_id = New.of(request)["item_id"] or uuid.uuid4()
    return _keep(request, _form(request.actor, as_sent(request), is_new=True), None, item_id)


@require_http_methods(["GET", "HEAD", "POST"])
def item(request: DeskRequest, item_id: uuid.UUID) -> HttpResponse:
    """One entry: counted anew, corrected with a reason, or said more of."""
    row = queries.item_of(request.actor.business, item_id)
    if request.method != "POST":
        return _item(request, _form(request.actor, initial=as_typed(row)), row)
    return _keep(request, _form(request.actor, as_sent(request)), row, item_id)


def _keep(request: DeskRequest, form: ItemForm, row: ShelfItem | None, item_id: uuid.UUID) -> HttpResponse:
    if not form.is_valid():
        return _item(request, form, row, item_id=item_id, status=400)
    said, seen = form.said, form.cleaned_data["seen_version"] if row is not None else None
    if request.actor.depots is not None and said.depot is None:
        form.add_error("depot" if "depot" in form.fields else None, translated("Choose the depot it lies at."))
        return _item(request, form, row, item_id=item_id, status=400)
    try:
        done = actions.keep_item(
            request.actor,
            said,
            form.cleaned_data.get("count_why", ""),
            item_id=item_id,
            seen_version=seen,
        )
    except NotAllowedError as error:
        (problem,) = problems_of(error)
        form.add_error(
            "count_why" if problem.field == "why" else "shelf_number",
            f"{problem.seen}: {problem.allowed}. {problem.next_step}",
        )
        return _item(request, form, row, item_id=item_id, status=400)
    except actions.OldItemError as error:
        return _item(request, form, error.now, now=error.now, status=409)
    if done is not None:
        tell_undo(request, done.said, done)
    return redirect("shelf")


def _item(
    request: DeskRequest, form: ItemForm, row: ShelfItem | None, status: int = 200, **more: Any
) -> HttpResponse:
    return render(request, "shelf/item.html", {"form": form, "row": row} | more, status=status)


@require_POST
def away(request: DeskRequest, item_id: uuid.UUID) -> HttpResponse:
    """An entry off the list, or back on it."""
    row = queries.item_of(request.actor.business, item_id)
    done = actions.set_put_away(request.actor, row, away=PutAway.of(request)["away"])
    if done is not None:
        tell_undo(request, done.said, done)
    return redirect("shelf")


@require_safe
def out(request: DeskRequest, ending: str) -> HttpResponse:
    """The shelf as a table, as it comes back in."""
    if ending not in KINDS:
        raise Http404("No such file.")
    rows = queries.as_table(request.actor.business)
    return sent_file(shelf_file(rows, ending, prices_seen()), KINDS[ending], f"shelf.{ending}")


@require_POST
def bring(request: DeskRequest) -> HttpResponse:
    """A table brought in: what it names is as it says, what it does not name stays."""
    try:
        why = Bring.of(request)["why"]
        rows = _read(request.actor, sent_files(request)[0])
        done = actions.bring(request.actor, rows, why)
    except InputError as error:
        return _shelf(request, error.problems, 400)
    if done is not None:
        tell_undo(request, done.said, done)
    return redirect("shelf")


def _read(actor: Actor, sent: Upload) -> list[actions.Counted]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / sent.name
        path.write_bytes(sent.content)
        rows = read_shelf(path)
    return queries.counted_of(actor.business, rows, told("depots", actor), held=actor.depots is not None)


@require_http_methods(["GET", "HEAD", "POST"])
def take(request: DeskRequest, machine_id: uuid.UUID) -> HttpResponse:
    """Parts taken from the shelf for a machine, after work or before it."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    items = queries.for_machine(machine)
    form = TakeForm(
        request.POST if request.method == "POST" else None, items=items, numbers=actor.business.numbers
    )
    if request.method != "POST":
        return _take(request, machine, form)
    if not form.is_valid():
        return _take(request, machine, form, 400)
    try:
        done = actions.take(actor, machine, form.counts, form.cleaned_data["taken_for"])
    except NotAllowedError as error:
        return _take(request, machine, form, 409, problems=problems_of(error))
    if done is not None:
        tell_undo(request, done.said, done)
    return redirect("work", machine.pk)


def _take(request: DeskRequest, machine: Machine, form: TakeForm, status: int = 200, **more: Any) -> HttpResponse:
    return render(request, "shelf/take.html", {"machine": machine, "form": form} | more, status=status)
