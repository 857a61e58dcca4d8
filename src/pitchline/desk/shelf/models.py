"""What lies on the shelf, and what kept lay-ups take of it."""

import uuid
from typing import ClassVar

from django.db import models

from pitchline.desk.gearbook.models import BookEntry
from pitchline.desk.people.held import HeldManager
from pitchline.desk.people.models import Business, Depot
from pitchline.desk.workplan.models import DecidedPlan


class ShelfItem(models.Model):
    """Pieces of one kind under the yard's own number; how each count came about stands in the trail."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    number = models.CharField(max_length=200)
    what = models.CharField(max_length=40)
    entry = models.ForeignKey(BookEntry, on_delete=models.SET_NULL, null=True, related_name="+")
    count = models.PositiveIntegerField()
    depot = models.ForeignKey(Depot, on_delete=models.SET_NULL, null=True, related_name="+")
    place = models.CharField(max_length=200, blank=True)
    used = models.BooleanField(default=False)
    reading = models.CharField(max_length=200, blank=True)
    cost = models.FloatField(null=True)
    note = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=1)
    put_away_at = models.DateTimeField(null=True)
    HELD_BY = "depot"
    objects = HeldManager["ShelfItem"]()

    class Meta:
        """One number once on a shelf."""

        ordering = ("number",)
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("business", "number"), name="shelf_number_once"),
        ]

    def __str__(self) -> str:
        return self.number


class LayUpNeeds(models.Model):
    """What the lay-ups of a kept plan take, worked out once for each version of its machine."""

    plan = models.OneToOneField(DecidedPlan, on_delete=models.CASCADE, primary_key=True, related_name="+")
    machine_version = models.PositiveIntegerField()
    stops = models.JSONField()

    def __str__(self) -> str:
        return f"needs of {self.plan_id}"
