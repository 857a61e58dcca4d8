"""Walk-rounds over the API: begun, saved line by line, finished, put away; by the same actions as the form."""

import uuid

from django.db.models import F
from ninja import P, Path, PathEx, Query, Router
from ninja.responses import Status

from pitchline.desk.api import showing
from pitchline.desk.api.base import judge_here, told
from pitchline.desk.api.bodies import LAST_ROW, Line, Lines, NewWalkRound, Nothing, PutAway, RoundsAsked, Settle
from pitchline.desk.api.once import key_of
from pitchline.desk.api.readable import check_keys, dossier_here
from pitchline.desk.api.refused import RefusedError, not_found, unusable
from pitchline.desk.api.shapes import Saved, WalkRound, WalkRoundList
from pitchline.desk.clock import today
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import Actor, DeskRequest
from pitchline.desk.walkround import actions, finishing
from pitchline.desk.walkround.asides import settle_aside
from pitchline.desk.walkround.form_lines import Typed
from pitchline.desk.walkround.models import Sheet
from pitchline.desk.walkround.queries import sheet_of, what_became_of
from pitchline.trade.errors import InputError, NotAllowedError, Problem
from pitchline.words import translated

router = Router(tags=["walk-rounds"])
_TEXTS = ("date", "hours", "by", "unit", "joints", "tool", "keep", "note")


@router.get("/machines/{machine_id}/walk-rounds", response=WalkRoundList, openapi_extra=told(404, 422))
def walk_rounds(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[RoundsAsked]) -> dict[str, object]:
    """The walk-rounds of a machine, the newest first, drafts and those put away too."""
    machine = machine_of(request.actor.business, machine_id)
    rows = machine.sheets.order_by(F("date").desc(nulls_first=True), "-created_at", "pk")
    if asked.state is not None:
        rows = rows.filter(state=asked.state)
    return showing.page_of(rows, asked, showing.walk_round_row)


@router.post("/machines/{machine_id}/walk-rounds", response={201: WalkRound}, openapi_extra=told(404, 409, 422))
def begin_a_walk_round(
    request: DeskRequest, machine_id: Path[uuid.UUID], asked: NewWalkRound
) -> Status[WalkRound]:
    """A walk-round begun today; its id is the Idempotency-Key, which a phone may make without signal."""
    actor = request.actor
    machine = machine_of(actor.business, machine_id)
    if not machine.file_text:
        step = translated("Send its machine file first.")
        problem = Problem(
            "running gear", translated("not entered yet"), "a machine whose running gear is entered", step
        )
        raise RefusedError(409, problem)
    sheet = actions.start_sheet(actor, machine_id=machine_id, sheet_id=key_of(request), day=today())
    if sheet.machine_id != machine.pk:
        problem = Problem("Idempotency-Key", str(sheet.pk), "a key not used yet", "Make a new UUID.")
        raise RefusedError(422, problem)
    return Status(201, _shown(actor, sheet.pk))


def _shown(actor: Actor, sheet_id: uuid.UUID) -> WalkRound:
    return showing.walk_round(sheet_of(actor.business, sheet_id))


@router.get("/walk-rounds/{walk_round_id}", response=WalkRound, openapi_extra=told(404, 422))
def walk_round(request: DeskRequest, walk_round_id: Path[uuid.UUID]) -> WalkRound:
    """One walk-round with everything on it, as typed and in metres."""
    return _shown(request.actor, walk_round_id)


@router.post("/walk-rounds/{walk_round_id}/lines", response=Saved, openapi_extra=told(404, 409, 422))
def save_lines(request: DeskRequest, walk_round_id: Path[uuid.UUID], asked: Lines) -> dict[str, object]:
    """Lines of a walk-round, as the form saves them: what cannot be read is kept as typed, and told beside its line.

    The same lines again change nothing. Where somebody else wrote a line meanwhile, theirs stands and yours is kept aside.
    """
    actor = request.actor
    check_keys(dossier_here(sheet_of(actor.business, walk_round_id).machine), asked.lines)
    lines = [Typed(line.key, _fields(line), line.seen_version) for line in asked.lines]
    try:
        saved = actions.save_lines(
            actor, sheet_id=walk_round_id, writer=str(asked.writer), lines=lines, why=asked.why
        )
    except (InputError, NotAllowedError) as error:
        raise unusable(error) from None
    sheet = sheet_of(actor.business, walk_round_id)
    if sheet.state == Sheet.FINISHED:
        judge_here(request, sheet.machine_id)
    try:
        return what_became_of(sheet, saved)
    except (InputError, NotAllowedError) as error:
        raise unusable(error, 409) from None


def _fields(line: Line) -> dict[str, str]:
    """The fields as the form sends them."""
    fields = {name: getattr(line, name) for name in _TEXTS if getattr(line, name) is not None}
    severity, count = (
        new if new is not None else old for new, old in ((line.severity, line.bad), (line.count, line.many))
    )
    if severity is not None:
        fields["bad"] = severity
    if count is not None:
        fields["many"] = str(count)
    if line.on_one is not None:
        fields["one"] = "yes" if line.on_one else "no"
    if line.looked is not None:
        fields["looked"] = "yes" if line.looked else ""
    if line.read is not None:
        repeats = [*line.read, "", "", ""][:3]
        fields |= {str(number): text for number, text in enumerate(repeats, 1)}
    return fields


@router.post("/walk-rounds/{walk_round_id}/finish", response=WalkRound, openapi_extra=told(404, 409, 422))
def finish_a_walk_round(request: DeskRequest, walk_round_id: Path[uuid.UUID], asked: Nothing) -> WalkRound:
    """The whole is checked against the machine and its other walk-rounds, and the machine is judged.

    409 names what stands in the way.
    """
    actor = request.actor
    sheet = sheet_of(actor.business, walk_round_id)
    if sheet.state == Sheet.PUT_AWAY:
        problem = Problem("walk-round", translated("put away"), "one that is in use", "Bring it back first.")
        raise RefusedError(409, problem)
    try:
        finishing.finish_sheet(actor, sheet_id=walk_round_id)
    except (InputError, NotAllowedError) as error:
        raise unusable(error, 409) from None
    judge_here(request, sheet.machine_id)
    return _shown(actor, walk_round_id)


@router.post("/walk-rounds/{walk_round_id}/put-away", response=WalkRound, openapi_extra=told(404, 422))
def put_a_walk_round_away(request: DeskRequest, walk_round_id: Path[uuid.UUID], asked: PutAway) -> WalkRound:
    """Out of the way, or back as a draft. Nothing is deleted."""
    actor = request.actor
    finishing.set_put_away(actor, sheet_id=walk_round_id, away=asked.away, why=asked.why)
    judge_here(request, sheet_of(actor.business, walk_round_id).machine_id)
    return _shown(actor, walk_round_id)


@router.post(
    "/walk-rounds/{walk_round_id}/aside/{aside_id}", response=WalkRound, openapi_extra=told(404, 409, 422)
)
def settle_an_entry(
    request: DeskRequest,
    walk_round_id: Path[uuid.UUID],
    aside_id: PathEx[int, P(ge=1, le=LAST_ROW)],
    asked: Settle,
) -> WalkRound:
    """An entry that was kept aside: taken in place of what stands, or let go."""
    actor = request.actor
    sheet = sheet_of(actor.business, walk_round_id)
    if not sheet.asides.filter(pk=aside_id).exists():
        raise not_found()
    try:
        settle_aside(actor, aside_id=aside_id, take=asked.take, writer=str(key_of(request)))
    except (InputError, NotAllowedError) as error:
        raise unusable(error, 409) from None
    return _shown(actor, walk_round_id)
