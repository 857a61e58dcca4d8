"""What phones brought: each record once, with what became of it, kept whole where somebody has to look at it."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from pitchline.desk.people.models import Business
from pitchline.desk.phones.models import Phone


class Brought(models.Model):
    """One record of a phone. Its id is the phone's, so that sending it again, however often, does a thing once."""

    DONE, LOOK, SETTLED = "done", "look", "settled"
    STATES: ClassVar = [(word, word) for word in (DONE, LOOK, SETTLED)]

    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    record_id = models.UUIDField()
    phone = models.ForeignKey(Phone, null=True, on_delete=models.SET_NULL, related_name="+")
    writer = models.CharField(max_length=64)
    nth = models.BigIntegerField()
    kind = models.CharField(max_length=8)
    recorded_by = models.CharField(max_length=200)
    recorded_at = models.DateTimeField(null=True)
    """By the phone's clock, which may be wrong; null where it says no moment."""
    sent_by = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    machine_id = models.UUIDField(null=True)
    sheet_id = models.UUIDField(null=True)
    """As the record says: no such row needs to be here."""
    digest = models.CharField(max_length=64)
    record = models.JSONField()
    answer = models.JSONField(default=dict)
    state = models.CharField(max_length=8, choices=STATES, default=DONE)
    file = models.CharField(max_length=64, blank=True)
    settled_by = models.CharField(max_length=200, blank=True)
    settled_at = models.DateTimeField(null=True)

    class Meta:
        """In the order a phone recorded them."""

        ordering = ("writer", "nth", "pk")
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("business", "record_id"), name="brought_once"),
        ]
        indexes: ClassVar = [
            models.Index(fields=("business", "writer", "nth"), name="brought_in_order"),
            models.Index(fields=("business", "machine_id"), condition=Q(state="look"), name="brought_to_look_at"),
            models.Index(fields=("business", "sheet_id", "kind"), name="brought_of_sheet"),
            models.Index(fields=("at",), name="brought_at"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.nth} of {self.recorded_by}: {self.state}"
