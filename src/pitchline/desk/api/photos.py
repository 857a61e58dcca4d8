"""Photos of a machine over the API, and the parts named on them, by the same actions as the pages."""

import uuid

from django.urls import reverse
from ninja import Path, Query, Router
from ninja.responses import Status

from pitchline.desk.api import showing
from pitchline.desk.api.base import told
from pitchline.desk.api.bodies import NameOnPhoto, Nothing, Paged
from pitchline.desk.api.once import key_of
from pitchline.desk.api.refused import unusable
from pitchline.desk.api.shapes import NamedOnPhoto, Photo, PhotoList
from pitchline.desk.machine.queries import machine_of
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.photos import actions
from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.photos.queries import attachments_on, names_on
from pitchline.trade.errors import NotAllowedError

router = Router(tags=["photos"])


@router.get("/machines/{machine_id}/photos", response=PhotoList, openapi_extra=told(404, 422))
def photos(request: DeskRequest, machine_id: Path[uuid.UUID], asked: Query[Paged]) -> dict[str, object]:
    """The photos of a machine, newest first, each with the parts that are named on it."""
    machine = machine_of(request.actor.business, machine_id)
    rows = [one for one in attachments_on(machine) if one.is_photo]
    names = names_on(rows)
    return showing.page_of(rows, asked, lambda one: _photo(one, names[one.pk]))


@router.post("/photos/{photo_id}/names", response={201: NamedOnPhoto}, openapi_extra=told(404, 409, 422))
def name_part_on_photo(
    request: DeskRequest, photo_id: Path[uuid.UUID], asked: NameOnPhoto
) -> Status[NamedOnPhoto]:
    """A part named on a photo; its id is the Idempotency-Key. The photo stays as it is; undone at the desk for a day."""
    spot = actions.Spot(asked.tip_x, asked.tip_y, asked.at_x, asked.at_y)
    try:
        name, _ = actions.name_part(
            request.actor, photo_id=photo_id, name_id=key_of(request), part=asked.part, spot=spot
        )
    except NotAllowedError as error:
        raise unusable(error, 409) from None
    return Status(201, _name(name))


@router.post("/photo-names/{photo_name_id}/take-off", response=NamedOnPhoto, openapi_extra=told(404, 422))
def take_name_off_photo(request: DeskRequest, photo_name_id: Path[uuid.UUID], asked: Nothing) -> NamedOnPhoto:
    """A name that is wrong, off its photo. It can be undone at the desk for a day."""
    return _name(actions.take_name_off(request.actor, name_id=photo_name_id)[0])


def _photo(row: Attachment, names: list[PartName]) -> Photo:
    return Photo(
        id=row.pk,
        caption=row.caption,
        place=row.part,
        kept_at=row.at,
        who=row.who,
        width=row.width,
        height=row.height,
        address=reverse("attachment-file", args=[row.pk, "page"]),
        names=[_name(one) for one in names],
    )


def _name(row: PartName) -> NamedOnPhoto:
    return NamedOnPhoto(
        id=row.pk, part=row.part, tip_x=row.tip_x, tip_y=row.tip_y, at_x=row.at_x, at_y=row.at_y, who=row.who
    )
