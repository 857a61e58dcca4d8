"""Work that was done over the API: written down and taken out, by the same form and actions as the pages."""

import uuid
from typing import Any

from django.http import Http404
from ninja import P, Path, PathEx, Query, Router
from ninja.responses import Status

from pitchline.desk.api import showing
from pitchline.desk.api.base import machine_here, told, too_late
from pitchline.desk.api.bodies import NewWork, Paged, WorkOut
from pitchline.desk.api.once import key_of
from pitchline.desk.api.refused import RefusedError, not_found, of_form, unusable
from pitchline.desk.api.shapes import Machine, Work, WorkList
from pitchline.desk.machine.actions import OldVersionError
from pitchline.desk.machine.models import Machine as Row
from pitchline.desk.machine.queries import dossier_of, machine_of
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.prices import newest_prices, prices_of
from pitchline.desk.workdone import actions
from pitchline.desk.workdone.forms import DoneForm, WorkRowForm
from pitchline.desk.workdone.history import in_order
from pitchline.desk.workdone.record import work_of, written_before
from pitchline.desk.workdone.rows import row_of_part, sizes_of
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.part_events import Because

router = Router(tags=["work done"])
_HEAD = ("date", "hours", "by", "note", "currency")
_TOLD = {"day": "date", "did": "what", "because": "removed_because"}


@router.get("/machines/{machine_id}/work", response=WorkList, openapi_extra=told(404, 409, 422))
def work_done(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[Paged]) -> dict[str, object]:
    """The work done on a machine that was written down, the newest first."""
    dossier = _dossier(machine_of(request.actor.business, machine_id))
    return showing.page_of(in_order(dossier.work)[::-1], asked, showing.work)


def _dossier(machine: Row) -> Dossier:
    try:
        dossier = dossier_of(machine)
    except (InputError, NotAllowedError) as error:
        raise unusable(error, 409) from None
    if dossier is None:
        step = "Send its machine file first."
        problem = Problem("running gear", "not entered yet", "a machine whose running gear is entered", step)
        raise RefusedError(409, problem)
    return dossier


@router.post("/machines/{machine_id}/work", response={201: Work}, openapi_extra=told(404, 409, 422))
def write_work_down(request: DeskRequest, machine_id: Path[uuid.UUID], asked: NewWork) -> Status[Work]:
    """One job that was done, to parts of one kind; its id is the Idempotency-Key. The machine is judged anew with it.

    Refused as the page's form refuses it, field by field. It can be undone at the desk for a day.
    """
    actor, key = request.actor, key_of(request)
    machine = machine_of(actor.business, machine_id)
    dossier = _dossier(machine)
    head, row = _forms(machine, dossier, asked, key)
    if not written_before(head, dossier):
        found = work_of(head, [row], dossier)
        if not found:
            raise _refused(head, row, asked)
        try:
            actions.write_down(actor, machine_id=machine.pk, seen_version=asked.seen_version, work=found)
        except OldVersionError as error:
            raise too_late(error, asked.seen_version) from None
        judge_soon()
    now = _dossier(machine_of(actor.business, machine_id))
    return Status(201, showing.work(next(one for one in now.work if one.key == str(key))))


def _forms(machine: Row, dossier: Dossier, asked: NewWork, key: uuid.UUID) -> tuple[DoneForm, WorkRowForm]:
    try:
        row = row_of_part(dossier, asked.places[0])
    except Http404 as error:
        raise RefusedError(422, _problem("places", asked.places[0], str(error))) from None
    prices, sizes = newest_prices(machine.business), sizes_of(dossier, row)
    currency = prices_of(prices).currency if prices is not None else ""
    fields = {
        "did": asked.what.value,
        "because": _because(asked),
        "done": "on",
        "labour": asked.labour,
        "parts": asked.parts,
    }
    fields |= {f"at-{place}": "on" for place in asked.places}
    fields |= {f"right-{one.place}-{one.seen}": "on" for one in asked.put_right}
    fields |= {f"size-{one.place}-{one.measurand}": one.read for one in asked.sizes}
    numbers = machine.business.numbers
    form = WorkRowForm(fields, row=row, sizes=sizes, numbers=numbers, currency=currency, alone=True)
    strange = [name for name in fields if name not in form.fields]
    if strange:
        where, _, what = strange[0].partition("-")
        known = [name.partition("-")[2] for name in form.fields if name.startswith(f"{where}-")]
        said = {"at": "places", "right": "put_right", "size": "sizes"}[where]
        raise RefusedError(422, _problem(said, what, ", ".join(known) or "nothing here"))
    typed: dict[str, Any] = {name: getattr(asked, name) for name in _HEAD}
    typed |= {"day": asked.date, "work_id": str(key), "seen_version": str(asked.seen_version)}
    return DoneForm(typed, numbers=numbers, currency=currency if not asked.currency else ""), form


def _because(asked: NewWork) -> str:
    return "" if asked.removed_because is Because.UNKNOWN else asked.removed_because.value


def _problem(field: str, seen: str, allowed: str) -> Problem:
    return Problem(field, seen, allowed, "Correct it and send it again.")


def _refused(head: DoneForm, row: WorkRowForm, asked: NewWork) -> RefusedError:
    whole = {**head.errors.get_json_data(), **row.errors.get_json_data()}
    named = {_TOLD.get(name, name): found for name, found in whole.items()}
    return of_form(named, asked.model_dump(mode="json"))


@router.post("/machines/{machine_id}/work/{work_id}/take-out", response=Machine, openapi_extra=told(404, 409, 422))
def take_work_out(
    request: DeskRequest,
    machine_id: Path[uuid.UUID],
    work_id: PathEx[str, P(min_length=1, max_length=200)],
    asked: WorkOut,
) -> Machine:
    """A record that is wrong, out of the machine's history, with the reason. It can be undone at the desk for a day."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    if not any(one.key == work_id for one in _dossier(machine).work):
        raise not_found("no such record of work")
    try:
        actions.take_out(actor, machine_id=machine.pk, seen_version=asked.seen_version, key=work_id, why=asked.why)
    except OldVersionError as error:
        raise too_late(error, asked.seen_version) from None
    except (InputError, NotAllowedError) as error:
        raise unusable(error) from None
    judge_soon()
    return showing.machine(machine_here(request, machine_id))
