"""Pages of a machine list: what it would change, how far it is, and the yard's list as a file."""

import uuid
from collections import Counter
from typing import Any

from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_POST, require_safe

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.who import Actor, DeskRequest
from pitchline.desk.posts import as_sent
from pitchline.desk.undo.actions import standing
from pitchline.desk.uploads import Upload
from pitchline.desk.yard import listing, queries
from pitchline.desk.yard.forms import wanted_in
from pitchline.desk.yard.lists import begin_list, list_of, order_list
from pitchline.desk.yard.models import MachineList
from pitchline.desk.yard.worker import Progress, at_work
from pitchline.exchange.machine_list import OWN_COLUMNS, Cell, machine_list_csv, machine_list_xlsx
from pitchline.trade.calls import Stake
from pitchline.trade.errors import InputError
from pitchline.words import in_english, label, translated, worded

SHOWN = 100
TABLES = (".csv", ".xlsx", ".tsv", ".txt")
KINDS = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
_WHAT = {
    listing.REFUSED: (in_english("{n} refused"), in_english("Rows that are refused"), in_english("No row is refused.")),
    listing.CHANGED: (in_english("{n} changed"), in_english("Rows that are changed"), in_english("No row is changed.")),
    listing.NEW: (in_english("{n} new"), in_english("Rows that are new"), in_english("No row is new.")),
    listing.UNCHANGED: (
        in_english("{n} unchanged"), in_english("Rows that are unchanged"), in_english("No row is unchanged."),
    ),
}  # fmt: skip
"""Of each kind of row its tab, the caption of its table, and what stands there where there is none."""


def is_list(sent: list[Upload]) -> bool:
    """Whether what was sent can only be a list of machines: one table by itself that is no price list."""
    return len(sent) == 1 and sent[0].ending in TABLES and not sent[0].name.lower().startswith("prices")


def start_list(actor: Actor, sent: Upload) -> HttpResponse:
    """Read a list, and lead to what it would change."""
    one = begin_list(actor, sent)
    at_work(one)
    return redirect("machine-list", one.pk)


@require_safe
def shown(request: DeskRequest, list_id: uuid.UUID) -> HttpResponse:
    """What a list would change; or how far it is, or what became of it."""
    actor = request.actor
    one = list_of(actor.business, list_id)
    if one.state in MachineList.AT_WORK:
        done, of = Progress(one.pk).look()
        return render(request, "yard/list-at-work.html", {"one": one, "done": done, "of": of})
    counts = Counter(step["what"] for step in one.steps)
    wanted = request.GET.get("what", "")
    what = wanted if wanted in _WHAT else next((each for each in _WHAT if counts[each]), listing.NEW)
    steps = [step for step in one.steps if step["what"] == what]
    context: dict[str, Any] = {
        "one": one,
        "tabs": [(each, worded(tab, n=counts[each])) for each, (tab, *_) in _WHAT.items()],
        "caption": translated(_WHAT[what][1]),
        "none": translated(_WHAT[what][2]),
        "to_do": counts[listing.NEW] + counts[listing.CHANGED],
        "new": counts[listing.NEW],
        "changed": counts[listing.CHANGED],
        "refused": counts[listing.REFUSED],
        "what": what,
        "page": Paginator(steps, SHOWN).get_page(request.GET.get("page", "1")),
        "can_undo": one.undo_id is not None and any(each.pk == one.undo_id for each in standing(actor)),
    }
    return render(request, "yard/list.html", context)


@require_POST
def apply(request: DeskRequest, list_id: uuid.UUID) -> HttpResponse:
    """Change exactly what was shown, or say that the yard changed meanwhile."""
    actor = request.actor
    one = list_of(actor.business, list_id)
    order_list(actor, one)
    at_work(one)
    return redirect("machine-list", one.pk)


def _cells(machine: Machine) -> list[Cell]:
    return [
        machine.short_name, machine.name, machine.kind_label, machine.hours_h, machine.customer, machine.place,
        machine.serial_number, machine.year_built, machine.owner_number,
        machine.call_label, label(Stake(machine.stake)) if machine.stake else "",
        machine.due_said, machine.due_cautious_h, machine.due_middle_h, machine.due_hopeful_h, machine.due_on,
        machine.money_low, machine.money_usual, machine.money_high,
        machine.worth_low, machine.worth_usual, machine.worth_high, machine.currency,
        machine.asking_amount, machine.asking_currency, machine.last_walk_on,
        machine.judged_for, machine.carried_h,
        machine.looked_at, machine.looked_of,
        "archived" if machine.archived_at else "", "invented" if machine.invented else "",
    ]  # fmt: skip


def list_csv(machines: list[Machine]) -> bytes:
    """Machines as the list's file has them."""
    return machine_list_csv([_cells(one) for one in machines])


@require_safe
def export(request: DeskRequest, ending: str) -> HttpResponse:
    """The list that is looked at, every page of it, as a file."""
    if ending not in KINDS:
        raise Http404("A list is given as CSV or XLSX.")
    wanted = wanted_in(as_sent(request))
    if wanted.problems:
        raise InputError(wanted.problems)
    rows = [_cells(one) for one in queries.found(request.actor.business, wanted)]
    content = machine_list_csv(rows) if ending == "csv" else machine_list_xlsx(rows)
    return _file(content, ending, "machines")


@require_safe
def blank(request: DeskRequest, ending: str) -> HttpResponse:
    """An empty list with the columns that can be brought in."""
    if ending not in KINDS:
        raise Http404("A list is given as CSV or XLSX.")
    content = machine_list_csv([], OWN_COLUMNS) if ending == "csv" else machine_list_xlsx([], OWN_COLUMNS)
    return _file(content, ending, "machines blank")


def _file(content: bytes, ending: str, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=KINDS[ending])
    response.headers["Content-Disposition"] = content_disposition_header(True, f"{name}.{ending}") or "attachment"
    response.headers["Cache-Control"] = "private, no-store"
    return response
