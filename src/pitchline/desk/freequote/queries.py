"""Reading free quotes, always inside one business."""

import uuid

from django.http import Http404

from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.people.models import Business


def quote_of(business: Business, quote_id: uuid.UUID) -> FreeQuoteRow:
    """One quote; not found where it is another business's."""
    found = FreeQuoteRow.objects.filter(business=business, pk=quote_id).select_related("machine", "prices").first()
    if found is None:
        raise Http404("No such quote in this yard.")
    return found
