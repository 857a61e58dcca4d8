"""Reading photos and documents, always inside one business."""

import uuid

from django.http import Http404

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.photos.models import Attachment


def attachments_on(machine: Machine) -> list[Attachment]:
    """Every photo and document of a machine, newest first: one query, however many parts ask."""
    return list(Attachment.objects.filter(machine=machine, removed_at=None).select_related("sheet"))


def attachment_of(business: Business, attachment_id: uuid.UUID, removed_too: bool = False) -> Attachment:
    """One photo or document; not found where it is another business's, or removed."""
    row = Attachment.objects.select_related("machine", "sheet").filter(business=business, pk=attachment_id).first()
    if row is None or (row.removed_at is not None and not removed_too):
        raise Http404("No such photo in this yard.")
    return row
