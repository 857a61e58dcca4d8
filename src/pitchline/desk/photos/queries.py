"""Reading photos and documents, always inside one business."""

import io
import uuid
from collections.abc import Iterable

from django.http import Http404
from PIL import Image

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.photos.store import path_of
from pitchline.papers.buyer import MOST_PHOTOS
from pitchline.papers.paper import MOST_NAMED
from pitchline.papers.photos import Photo
from pitchline.papers.words import first_up
from pitchline.picture.named_photo import NamedSpot
from pitchline.trade.parts import Place
from pitchline.words import label

MOST_PRACTISED = 60
"""Names on photos that are asked for in practice: our own choice."""


def attachments_on(machine: Machine) -> list[Attachment]:
    """Every photo and document of a machine, newest first: one query, however many parts ask."""
    return list(Attachment.objects.filter(machine=machine, removed_at=None).select_related("sheet"))


def attachment_of(business: Business, attachment_id: uuid.UUID, removed_too: bool = False) -> Attachment:
    """One photo or document; not found where it is another business's, or removed."""
    row = Attachment.objects.select_related("machine", "sheet").filter(business=business, pk=attachment_id).first()
    if row is None or (row.removed_at is not None and not removed_too):
        raise Http404("No such photo in this yard.")
    return row


def photos_for_papers(machine: Machine) -> list[Photo]:
    """Photos of a machine as its papers show them, of the whole machine first, then of its parts, newest first."""
    photos = sorted(photos_of(machine), key=lambda one: bool(one.part))
    names = names_on(photos)
    shown = [*photos[:MOST_PHOTOS], *[one for one in photos[MOST_PHOTOS:] if names[one.pk]][:MOST_NAMED]]
    return [Photo(photo_jpeg(one), one.width, one.height, _said(one), spots_of(names[one.pk])) for one in shown]


def photos_of(machine: Machine) -> list[Attachment]:
    """Its photos that can be shown, newest first."""
    return [one for one in attachments_on(machine) if one.is_photo and path_of(one.file).exists()]


def names_on(photos: Iterable[Attachment]) -> dict[uuid.UUID, list[PartName]]:
    """The names of parts on each photo: one query, however many photos."""
    found: dict[uuid.UUID, list[PartName]] = {one.pk: [] for one in photos}
    for name in PartName.objects.filter(photo__in=list(found), removed_at=None):
        found[name.photo_id].append(name)
    return found


def spots_of(names: Iterable[PartName]) -> tuple[NamedSpot, ...]:
    """Names as they are drawn."""
    return tuple(name.spot for name in names)


def named_photos(business: Business) -> list[PartName]:
    """Every name on a photo of the yard, the newest photo first, where its file is there."""
    shown = PartName.objects.filter(
        photo__business=business, photo__removed_at=None, photo__machine__archived_at=None, removed_at=None
    )
    found = shown.select_related("photo__machine").order_by("-photo__at", "photo", "at", "pk")
    return [one for one in found[:MOST_PRACTISED] if path_of(one.photo.file).exists()]


def _said(one: Attachment) -> str:
    place = first_up(label(Place.from_key(one.part))) if one.part else ""
    return ": ".join(bit for bit in (place, one.caption) if bit)


def photo_jpeg(one: Attachment) -> bytes:
    """The picture, without the place a yard may keep in it."""
    content = path_of(one.file).read_bytes()
    if not one.has_place:
        return content
    bare = io.BytesIO()
    Image.open(io.BytesIO(content)).save(bare, "JPEG", quality="keep")
    return bare.getvalue()
