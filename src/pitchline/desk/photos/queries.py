"""Reading photos and documents, always inside one business."""

import io
import uuid

from django.http import Http404
from PIL import Image

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.photos.models import Attachment
from pitchline.desk.photos.store import path_of
from pitchline.papers.buyer import MOST_PHOTOS, Photo
from pitchline.papers.words import first_up
from pitchline.trade.parts import Place
from pitchline.words import label


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
    return [Photo(photo_jpeg(one), one.width, one.height, _said(one)) for one in photos[:MOST_PHOTOS]]


def photos_of(machine: Machine) -> list[Attachment]:
    """Its photos that can be shown, newest first."""
    return [one for one in attachments_on(machine) if one.is_photo and path_of(one.file).exists()]


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
