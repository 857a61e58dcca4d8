"""Machines over the API: the list, one, a new one, changes, archiving, and the machine file in and out."""

import uuid

from django.db.models import BooleanField, Case, Value, When
from django.http import HttpResponse
from ninja import Path, Query, Router
from ninja.responses import Status

from pitchline.desk.api import showing
from pitchline.desk.api.base import JSON, machine_here, told, too_late
from pitchline.desk.api.bodies import Archive, FileChange, LookedForSaid, MachineChange, NewMachine, Search
from pitchline.desk.api.once import key_of
from pitchline.desk.api.refused import RefusedError, not_found, of_form, unusable
from pitchline.desk.api.shapes import Brought, Machine, MachineList, Yard
from pitchline.desk.bridge.machines import WHICH_ONE, file_text_of, known_dossier
from pitchline.desk.machine.actions import (
    About,
    OldVersionError,
    add_machine,
    change_about,
    change_file,
)
from pitchline.desk.machine.archiving import archive_several
from pitchline.desk.machine.forms import AboutForm
from pitchline.desk.machine.looked import answer
from pitchline.desk.machine.models import Machine as Row
from pitchline.desk.machine.queries import dossier_of, machine_of, machines_of
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.people.who import Actor, DeskRequest, prices_seen
from pitchline.desk.yard.forms import AddMachineForm
from pitchline.desk.yard.importing import SentFiles, bring_in
from pitchline.desk.yard.queries import SORTS, Wanted, found, tally_of
from pitchline.exchange.machine_file import machine_from_json, machine_json
from pitchline.exchange.text_in import LARGEST_BYTES, decode
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import translated

router = Router(tags=["machines"])
FILE = {"content": {JSON: {"schema": {"$ref": "#/components/schemas/MachineFile"}}}, "required": True}
FILE_OUT = {200: {"description": "The machine file.", "content": FILE["content"]}}
_ABOUT = ("name", "kind", "customer", "place", "asking_price", *WHICH_ONE)


@router.get("/yard", response=Yard, tags=["yard"], openapi_extra=told())
def yard(request: DeskRequest) -> Yard:
    """The yard in a few figures."""
    tally, seen = tally_of(request.actor.business), prices_seen()
    return Yard(
        machines=tally.all,
        stop=tally.stop,
        book=tally.book,
        run=tally.run,
        not_judged=tally.none + tally.unseen,
        looked_at_in_part=tally.in_part,
        waiting=tally.waiting,
        money=tally.money if seen else None,
        running_gear_worth=tally.worth if seen else None,
        currency=tally.currency if seen else "",
    )


@router.get("/machines", response=MachineList, openapi_extra=told(422))
def machines(request: DeskRequest, wanted: Query[Search]) -> dict[str, object]:
    """The machines of the yard, looked for and sorted as on its page, 50 at a time."""
    asked = Wanted(
        text=wanted.text.strip(),
        kind=wanted.kind.value if wanted.kind else "",
        call=wanted.call or "",
        customer=wanted.customer.strip(),
        place=(wanted.site or wanted.place).strip(),
        sort=wanted.sort,
        archived=wanted.archived,
    )
    gear = Case(When(file_text="", then=Value(False)), default=Value(True), output_field=BooleanField())
    rows = found(request.actor.business, asked).defer(None).defer("file_text").annotate(has_gear=gear)
    return showing.page_of(rows.order_by(*SORTS[asked.sort][1], "pk"), wanted, showing.machine)


@router.post("/machines", response={201: Machine}, openapi_extra=told(409, 422))
def add_a_machine(request: DeskRequest, asked: NewMachine) -> Status[Machine]:
    """A new machine from kind, name and hours; its id is the Idempotency-Key."""
    actor, machine_id = request.actor, key_of(request)
    typed = asked.model_dump(mode="json") | {"machine_id": machine_id, "place": asked.site or asked.place}
    form = AddMachineForm(typed, business=actor.business)
    if not form.is_valid():
        raise of_form(form.errors.get_json_data(), typed)
    clean = form.cleaned_data
    try:
        machine = add_machine(
            actor,
            machine_id=machine_id,
            short_name=f"m-{machine_id.hex[:8]}",
            about=About(*(clean[name] for name in _ABOUT)),
            hours_text=clean["hours"],
            hours_h=form.hours_h,
        )
    except NotAllowedError as error:
        raise unusable(error, 409) from None
    return Status(201, showing.machine(machine_here(request, machine.pk)))


@router.get("/machines/{machine_id}", response=Machine, openapi_extra=told(404, 422))
def machine(request: DeskRequest, machine_id: Path[uuid.UUID]) -> Machine:
    """One machine; judged first where something was changed since."""
    return showing.machine(machine_here(request, machine_id))


@router.patch("/machines/{machine_id}", response=Machine, openapi_extra=told(404, 409, 422))
def change_a_machine(request: DeskRequest, machine_id: Path[uuid.UUID], asked: MachineChange) -> Machine:
    """Name, kind, customer, site and asking price. Where somebody else was faster, 409 with the machine as it is now."""
    actor = request.actor
    now = machine_of(actor.business, machine_id)
    typed = {name: getattr(now, name) for name in _ABOUT} | {
        "asking_price": now.asking_price.said if now.asking_price else ""
    }
    typed |= asked.model_dump(mode="json", exclude_none=True)
    typed["place"] = typed.get("site", typed["place"])
    form = AboutForm(typed, business=actor.business)
    if not form.is_valid():
        raise of_form(form.errors.get_json_data(), typed)
    clean = form.cleaned_data
    try:
        about = About(*(clean[name] for name in _ABOUT))
        change_about(actor, machine_id=machine_id, seen_version=asked.seen_version, about=about)
    except OldVersionError as error:
        raise too_late(error, asked.seen_version) from None
    return showing.machine(machine_of(actor.business, machine_id))


@router.post("/machines/{machine_id}/archive", response=Machine, openapi_extra=told(404, 422))
def archive_a_machine(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Archive) -> Machine:
    """Out of the yard's list, or back in it. Nothing is deleted."""
    actor = request.actor
    found = machine_of(actor.business, machine_id)
    archive_several(actor, machine_ids=[found.pk], archived=asked.archived)
    return showing.machine(machine_of(actor.business, machine_id))


@router.post("/machines/{machine_id}/looked-for", response=Machine, openapi_extra=told(404, 409, 422))
def looked_for(request: DeskRequest, machine_id: Path[uuid.UUID], said: LookedForSaid) -> Machine:
    """What somebody found who looked for a cause or a sign of wear: evidence in the verdict.

    409 where the machine has no running gear yet.
    """
    known = machine_of(request.actor.business, machine_id)
    if not known.file_text:
        raise RefusedError(409, Problem("running gear", "nothing", "a running gear", "Enter it first."))
    try:
        answer(request.actor, known, said.about, said.there, said.note)
    except (InputError, NotAllowedError) as error:
        raise unusable(error) from None
    judge_soon()
    return showing.machine(machine_of(request.actor.business, machine_id))


@router.get("/machines/{machine_id}/file", response={200: None}, openapi_extra=told(404, 409, 422, ok=FILE_OUT))
def machine_file(request: DeskRequest, machine_id: Path[uuid.UUID], walk_rounds: bool = True) -> HttpResponse:
    """The machine file, as the shell reads it. Byte for byte as it was brought in, where nothing was changed since."""
    row = machine_of(request.actor.business, machine_id)
    try:
        dossier = dossier_of(row) if walk_rounds else known_dossier(row)
        if dossier is None:
            raise not_found("its running gear is not entered yet")
        text = file_text_of(dossier)
        if machine_json(machine_from_json(row.file_text, "machine file")) == text:
            text = row.file_text
    except (InputError, NotAllowedError) as error:
        raise unusable(error, 409) from None
    return HttpResponse(text.encode(), content_type=JSON)


@router.put("/machines/{machine_id}/file", response=Machine, openapi_extra=told(404, 409, 422, body=FILE))
def change_the_file(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[FileChange]) -> Machine:
    """The machine file without walk-rounds, in place of what is entered; running gear, limits and history stand in it."""
    actor = request.actor
    try:
        text = _sent_text(request)
        change_file(
            actor, machine_id=machine_id, seen_version=asked.seen_version, text=text, why=asked.why, whole=True
        )
    except OldVersionError as error:
        raise too_late(error, asked.seen_version) from None
    except (InputError, NotAllowedError) as error:
        raise unusable(error) from None
    return showing.machine(machine_of(actor.business, machine_id))


@router.post("/machine-files", response={201: Brought}, openapi_extra=told(409, 422, body=FILE))
def bring_a_machine(request: DeskRequest) -> Status[Brought]:
    """A machine file, walk-rounds included, becomes a machine of the yard. The same one again changes nothing."""
    actor = request.actor
    try:
        text = _sent_text(request)
        dossier = machine_from_json(text, "machine file")
    except (InputError, NotAllowedError) as error:
        raise unusable(error) from None
    brought = _brought(actor, text, dossier.machine.machine_id, SentFiles(machines=[(text, dossier)]))
    return Status(201, Brought(machine=showing.machine(machine_here(request, brought[0].pk)), added=brought[1]))


def _brought(actor: Actor, text: str, short_name: str, found_in: SentFiles) -> tuple[Row, bool]:
    try:
        brought = bring_in(actor, found_in)
    except InputError as error:
        raise unusable(error, 409) from None
    except NotAllowedError as error:
        raise unusable(error) from None
    judge_soon()
    return machines_of(actor.business).get(short_name=short_name), bool(brought.added)


def _sent_text(request: DeskRequest) -> str:
    """The body as text, by the same guarded reading as a file."""
    if len(request.body) > LARGEST_BYTES:
        allowed = translated("up to {most} MB").format(most=LARGEST_BYTES // 1024**2)
        raise RefusedError(
            413,
            Problem("body", translated("{n} bytes").format(n=len(request.body)), allowed, "Send less at a time."),
        )
    return decode(request.body, "machine file")
