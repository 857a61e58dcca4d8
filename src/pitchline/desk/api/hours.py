"""Hours on meters over the API: of many machines at once, and those of one machine out."""

import uuid

from django.db import transaction
from django.utils import timezone
from ninja import Path, Query, Router

from pitchline.desk.api import refused, showing
from pitchline.desk.api.base import told
from pitchline.desk.api.bodies import HoursSent, Paged
from pitchline.desk.api.shapes import HoursCame, HoursList
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.machine.worker import judge_soon
from pitchline.desk.meter.actions import take_hours, undoable
from pitchline.desk.people.who import DeskRequest
from pitchline.exchange.hours_rows import HoursRow, moment_of
from pitchline.trade.errors import NotAllowedError

router = Router(tags=["hours"])
_SOURCE = "API"


@router.get("/machines/{machine_id}/hours", response=HoursList, openapi_extra=told(404, 422))
def hours_of(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[Paged]) -> dict[str, object]:
    """What the meter of a machine showed between walk-rounds, the newest first."""
    machine = machine_of(request.actor.business, machine_id)
    return showing.page_of(machine.meterhours.order_by("-at"), asked, showing.hours_row)


@router.post("/hours", response=HoursCame, openapi_extra=told(409, 422))
def send_hours(request: DeskRequest, asked: HoursSent) -> dict[str, object]:
    """What the meters of many machines showed. A machine is named by its id, short name, serial number or owner's number.

    The same moment again changes nothing. What does not follow the hours before is asked about at the desk; what comes under
    a name nobody knows waits there. Rows that cannot be are told, the others are taken.
    """
    zone, rows, left_out = timezone.get_current_timezone(), list[HoursRow](), list[object]()
    for number, one in enumerate(asked.rows, 1):
        try:
            at = moment_of(one.at, zone, "at")
            rows.append(
                HoursRow((one.machine,), at, one.hours, one.idle_hours, one.latitude, one.longitude, number)
            )
        except NotAllowedError as error:
            left_out.append({"row": number, **refused.told(error.problem)})
    with transaction.atomic():
        came = take_hours(request.actor, rows, _SOURCE)
        undoable(request.actor, came, _SOURCE)
    judge_soon()
    return {**came.told, "left_out": left_out}
