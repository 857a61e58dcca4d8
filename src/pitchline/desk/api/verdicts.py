"""Verdicts, plans of stops and papers over the API: the stored ones byte for byte, and judging now."""

import json
import re
import threading
import uuid
from collections.abc import Iterator
from contextlib import contextmanager

from django.http import HttpResponse
from django.urls import reverse
from django.utils.http import content_disposition_header
from ninja import Path, Query, Router

from pitchline.desk.api import showing
from pitchline.desk.api.base import JSON, machine_here, told
from pitchline.desk.api.bodies import Nothing, Paged, PlanAsked
from pitchline.desk.api.refused import RefusedError, not_found, unusable
from pitchline.desk.api.shapes import VerdictList, VerdictRow
from pitchline.desk.bridge.figures import verdict_of, verdict_text
from pitchline.desk.clock import day_for
from pitchline.desk.constants import constants_in_force, learned_of
from pitchline.desk.machine.judging import judge_machine, take_from
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.papers import EARLIER_NAMES, PAPERS, kind_of, offered, paper_of
from pitchline.desk.machine.queries import dossier_of, judgements_of, machine_of
from pitchline.desk.machine.sheet_code import printed_code
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.prices import newest_prices, priced_machine, prices_of
from pitchline.exchange.sheet import sheet_rows
from pitchline.exchange.verdict_json import verdict_json
from pitchline.judge import judge
from pitchline.papers.sheet_paper import sheet_pdf
from pitchline.stops.settings import PlanSettings
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.trade.units import UnitSystem
from pitchline.words import translated

router = Router(tags=["verdicts"])
AT_ONCE = 2
"""Plans and judgements asked for over the API that are worked out at the same time; the pages keep the other threads."""
_FREE = threading.BoundedSemaphore(AT_ONCE)
_BINARY = {"type": "string", "format": "binary"}


def _ref(name: str) -> dict[str, object]:
    return {JSON: {"schema": {"$ref": f"#/components/schemas/{name}"}}}


@contextmanager
def _a_turn() -> Iterator[None]:
    """One of the few places for long work; 429 where all are taken."""
    if not _FREE.acquire(blocking=False):
        problem = Problem(
            "desk",
            translated("{most} at work").format(most=AT_ONCE),
            "a free place",
            "Wait as long as Retry-After says, and ask again.",
        )
        raise RefusedError(429, problem, wait_s=5)
    try:
        yield
    finally:
        _FREE.release()


@router.get("/machines/{machine_id}/verdicts", response=VerdictList, openapi_extra=told(404, 422))
def verdicts(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[Paged]) -> dict[str, object]:
    """The verdicts of a machine, the newest first; none is ever changed.

    One that only a day's passing made goes after two more days, unless a paper or a plan was made of it, or the call changed.
    """
    machine = machine_of(request.actor.business, machine_id)
    return showing.page_of(judgements_of(machine).order_by("-made_at", "pk"), asked, showing.verdict_row)


@router.post("/machines/{machine_id}/verdicts", response=VerdictRow, openapi_extra=told(404, 409, 422, 429))
def judge_now(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Nothing) -> VerdictRow:
    """The machine is judged for today. The same inputs, judged for the same day by the same version, are the same verdict.

    409 where something is missing.
    """
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    with _a_turn():
        judgement = judge_machine(actor, machine.pk)
    if judgement is None:
        raise _not_judged(machine_of(actor.business, machine_id))
    take_from(judgement)
    return showing.verdict_row(judgement, _papers(judgement))


def _not_judged(machine: Machine) -> RefusedError:
    step = translated("Send what is missing, then ask again.")
    return RefusedError(409, Problem("machine", machine.not_judged_because, "a machine that can be judged", step))


def _papers(judgement: Judgement) -> list[str]:
    return [name for name, _ in offered(verdict_of(judgement), judgement.prices_id is not None)]


def _one(machine: Machine, verdict_id: uuid.UUID) -> Judgement:
    judgement = machine.judgements.select_related("prices").filter(pk=verdict_id).first()
    if judgement is None:
        raise not_found()
    return judgement


@router.get(
    "/machines/{machine_id}/verdict",
    response={200: None},
    openapi_extra=told(404, 409, 422, ok={200: {"description": "The verdict.", "content": _ref("Verdict")}}),
)
def newest_verdict(request: DeskRequest, machine_id: Path[uuid.UUID]) -> HttpResponse:
    """The newest verdict, every figure of it: the same text as `pitchline judge --json` prints, to the last digit.

    Its `as_of` is the day it is for: today, but for the hours after midnight in which the yard is judged anew.
    """
    machine = machine_here(request, machine_id)
    if machine.judgement is None:
        raise _not_judged(machine)
    return HttpResponse(verdict_text(machine.judgement).encode(), content_type=JSON)


@router.get("/machines/{machine_id}/verdicts/{verdict_id}", response=VerdictRow, openapi_extra=told(404, 422))
def verdict(request: DeskRequest, machine_id: Path[uuid.UUID], verdict_id: Path[uuid.UUID]) -> VerdictRow:
    """A stored verdict in short, with the papers it can give; every figure is its paper verdict.json."""
    judgement = _one(machine_of(request.actor.business, machine_id), verdict_id)
    return showing.verdict_row(judgement, _papers(judgement))


def _register_paper(name: str) -> None:
    """An address of its own for each paper: each gives one kind of content."""
    kind = kind_of(name).partition(";")[0]
    content = _ref("Verdict") if kind == JSON else {kind: {"schema": dict(_BINARY)}}

    def act(request: DeskRequest, machine_id: Path[uuid.UUID], verdict_id: Path[uuid.UUID]) -> HttpResponse:
        return _paper(request, machine_id, verdict_id, name)

    act.__name__ = f"paper_{re.sub('[.-]', '_', name)}"
    act.__doc__ = (
        f"The paper {name} of a stored verdict, an old one as it was then. 409 where it has nothing to tell: no work due, or no "
        "prices."
    )
    path = f"/machines/{{machine_id}}/verdicts/{{verdict_id}}/papers/{name}"
    more = told(404, 409, 422, ok={200: {"description": "The paper.", "content": content}})
    router.add_api_operation(
        path,
        ["GET"],
        act,
        response={200: None},
        tags=["papers"],
        openapi_extra=more,
        deprecated=name in EARLIER_NAMES or None,
    )


def _paper(request: DeskRequest, machine_id: uuid.UUID, verdict_id: uuid.UUID, name: str) -> HttpResponse:
    machine = machine_of(request.actor.business, machine_id)
    judgement = _one(machine, verdict_id)
    take_from(judgement)
    try:
        content = paper_of(judgement, name, request.build_absolute_uri(reverse("machine", args=[machine.pk])))
    except NotAllowedError as error:
        raise unusable(error, 409) from None
    return _sent(content, kind_of(name), f"{machine.short_name} {judgement.as_of} {name}")


for _name in (*PAPERS, *EARLIER_NAMES):
    _register_paper(_name)


@router.get(
    "/machines/{machine_id}/sheet.pdf",
    response={200: None},
    tags=["papers"],
    openapi_extra=told(
        404,
        409,
        422,
        ok={200: {"description": "The sheet.", "content": {"application/pdf": {"schema": dict(_BINARY)}}}},
    ),
)
def blank_sheet(request: DeskRequest, machine_id: Path[uuid.UUID]) -> HttpResponse:
    """The blank sheet to print, for exactly this machine's parts."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    try:
        dossier = dossier_of(machine)
    except (InputError, NotAllowedError) as error:
        raise unusable(error, 409) from None
    if dossier is None:
        raise not_found("its running gear is not entered yet")
    pdf = sheet_pdf(
        sheet_rows(dossier),
        dossier,
        UnitSystem(actor.business.units),
        actor.business.paper_name,
        printed_code(request, machine),
    )
    return _sent(pdf, "application/pdf", f"{machine.short_name} sheet.pdf")


def _sent(content: bytes, kind: str, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=kind)
    response.headers["Content-Disposition"] = content_disposition_header(True, name) or "attachment"
    return response


@router.get(
    "/machines/{machine_id}/plan",
    response={200: None},
    tags=["plans"],
    openapi_extra=told(
        404, 409, 422, 429, ok={200: {"description": "The plan of lay-ups.", "content": _ref("PlanAnswer")}}
    ),
)
def plan(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[PlanAsked]) -> HttpResponse:
    """The cheapest plan of lay-ups, worked out now and not kept. 409 where prices, limits or a walk-round are missing."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    try:
        settings = PlanSettings(asked.horizon_h, asked.sell_at_h, asked.stop_cost)
    except NotAllowedError as error:
        raise unusable(error) from None
    with _a_turn():
        text = _planned(machine, settings, asked.what_ifs)
    return HttpResponse(text.encode(), content_type=JSON)


def _planned(machine: Machine, settings: PlanSettings, what_ifs: bool) -> str:
    prices = newest_prices(machine.business)
    try:
        dossier = dossier_of(machine)
        if dossier is None or not dossier.walk_rounds:
            raise not_found("no finished walk-round yet")
        found = judge(
            dossier,
            prices_of(prices).for_machine(priced_machine(machine, dossier.machine)) if prices else None,
            day_for(dossier),
            UnitSystem(machine.business.units),
            learned=learned_of(constants_in_force(machine.business)),
            planning=settings,
            what_ifs=what_ifs,
        )
    except (InputError, NotAllowedError) as error:
        raise unusable(error, 409) from None
    whole = json.loads(verdict_json(found))
    answer = {"machine_id": str(machine.pk)} | {name: whole[name] for name in ("as_of", "from_service_h", "plan")}
    return json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
