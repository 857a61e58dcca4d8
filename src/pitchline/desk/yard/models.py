"""The yard's lists of machines, as they were brought in; and its price lists, which stand in the bridge."""

import uuid

from django.db import models

from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.people.models import Business

__all__ = ["MachineList", "PriceFile"]


class MachineList(models.Model):
    """A list of machines somebody sent: what it says, what it would change, and whether it was applied.

    Its bytes stay only until it was read. What is being read or applied is the background's to do, and to do again after a stop.
    """

    READING, SHOWN, REFUSED, APPLYING, APPLIED = "reading", "shown", "refused", "applying", "applied"
    AT_WORK = (READING, APPLYING)

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    name = models.CharField(max_length=200)
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    state = models.CharField(max_length=10, default=READING)
    lines = models.JSONField(default=list)
    steps = models.JSONField(default=list)
    problems = models.JSONField(default=list)
    content = models.BinaryField(null=True)
    ending = models.CharField(max_length=10, blank=True)
    who_applied = models.CharField(max_length=200, blank=True)
    failed = models.BooleanField(default=False)
    changed_meanwhile = models.BooleanField(default=False)
    undo_id = models.UUIDField(null=True)

    class Meta:
        """Newest first."""

        ordering = ("-at",)

    def __str__(self) -> str:
        return self.name
