"""Reading the trail."""

import uuid

from django.db.models import QuerySet

from pitchline.desk.people.models import Business
from pitchline.desk.trail.models import Change


def changes_of(business: Business, machine_id: uuid.UUID) -> QuerySet[Change]:
    """Every change of one machine of this business, newest first."""
    return Change.objects.filter(business=business, machine_id=machine_id)
