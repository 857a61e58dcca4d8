"""A table of parts the yard brought in."""

import uuid
from typing import ClassVar

from django.db import models

from pitchline.desk.people.models import Business


class PartsTable(models.Model):
    """One table as it came, what its columns hold, and the parts read from it; a newer one of its name puts it away."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    name = models.CharField(max_length=200)
    header = models.PositiveIntegerField()
    rows = models.JSONField()
    headings = models.JSONField()
    columns = models.JSONField(default=list)
    every = models.CharField(max_length=40, blank=True)
    parts = models.JSONField(default=list)
    not_used = models.PositiveIntegerField(default=0)
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    put_away_at = models.DateTimeField(null=True)

    class Meta:
        """Newest first."""

        ordering = ("-at", "pk")
        indexes: ClassVar = [models.Index(fields=("business", "put_away_at"), name="parts_tables_in_use")]

    def __str__(self) -> str:
        return self.name
