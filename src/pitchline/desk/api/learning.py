"""What the yard has learned, over the API: the constants in use and those proposed, as figures; and its fleet tables."""

import uuid
from typing import Literal

from django.http import HttpResponse
from django.utils.http import content_disposition_header
from ninja import Path, Router

from pitchline.desk.api import shapes
from pitchline.desk.api.base import OCTETS, octets, told
from pitchline.desk.constants import constants_in_force
from pitchline.desk.learning import actions
from pitchline.desk.learning.shown import Shown, shown
from pitchline.desk.people.who import DeskRequest
from pitchline.outlook.audit import AuditRow
from pitchline.outlook.fleet import ENOUGH_MACHINES
from pitchline.papers.learned_told import Moved, Range

router = Router(tags=["learning"])
_FILE = {200: {"description": "The file.", "content": octets()["content"]}}


@router.get("/learning", response=shapes.Learning, openapi_extra=told())
def what_is_learned(request: DeskRequest) -> shapes.Learning:
    """The constants the yard's machines are judged with, and every other set that is kept, each beside those in use."""
    business = request.actor.business
    in_force, turn = constants_in_force(business), actions.turn_seen(business)
    return shapes.Learning(
        in_use_id=in_force.pk if in_force is not None else None,
        asked=turn.asked_at is not None,
        machines_needed=ENOUGH_MACHINES,
        machines_read=turn.came.get("few"),
        failed=turn.came.get("failed"),
        constants=[_set(shown(row, in_force)) for row in actions.kept_constants(business)],
    )


@router.get("/learning/constants/{constants_id}", response={200: None}, openapi_extra=told(404, 422, ok=_FILE))
def constants_file(request: DeskRequest, constants_id: Path[uuid.UUID]) -> HttpResponse:
    """A set of constants as a file for `pitchline judge --constants`; its name stands in Content-Disposition."""
    row = actions.constants_of(request.actor.business, constants_id)
    return _file(row.text.encode(), row.name or f"constants-{row.learned_on}.json")


@router.get("/fleet-tables/{ending}", response={200: None}, openapi_extra=told(404, 422, ok=_FILE))
def fleet_tables(request: DeskRequest, ending: Path[Literal["csv", "parquet"]]) -> HttpResponse:
    """The whole yard as fleet tables, packed as zip, with each machine's own file beside them."""
    from pitchline.desk.learning.tables import (
        yard_zip,  # numpy's tables are loaded where they are needed, not by every page
    )

    return _file(yard_zip(request.actor.business, ending), f"fleet-tables-{ending}.zip")


def _file(content: bytes, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=OCTETS)
    response.headers["Content-Disposition"] = content_disposition_header(True, name) or "attachment"
    return response


def _set(one: Shown) -> shapes.ConstantsSet:
    row = one.row
    audit = one.audit
    rows = [] if audit is None or audit.overall is None else [audit.overall, *audit.kinds]
    return shapes.ConstantsSet(
        id=row.pk,
        name=row.name,
        learned_on=row.learned_on,
        who=row.who,
        machines=one.learned.machines,
        parts=one.learned.parts,
        readings=one.learned.readings,
        used_at=row.used_at,
        used_by=row.used_by,
        taken_back_at=row.taken_back_at,
        moved=[_moved(each) for each in one.moved],
        audit=[_audited(each) for each in rows],
        said=list(one.audit_said),
        not_learned_from=list(one.untold),
    )


def _moved(one: Moved) -> shapes.ConstantMoved:
    return shapes.ConstantMoved(what=one.what, unit=one.unit, before=_range(one.before), now=_sure(one.now))


def _range(one: Range | None) -> shapes.ConstantRange | None:
    return _sure(one) if one is not None else None


def _sure(one: Range) -> shapes.ConstantRange:
    return shapes.ConstantRange(low=one.low, middle=one.middle, high=one.high)


def _audited(row: AuditRow) -> shapes.AuditFigures:
    half, eight, nine = row.inside
    return shapes.AuditFigures(
        kind=row.kind, readings=row.readings, machines=row.machines, inside_50=half, inside_80=eight, inside_90=nine,
        width=row.width.value,
    )  # fmt: skip
