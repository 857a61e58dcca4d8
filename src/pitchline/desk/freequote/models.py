"""A free quote as it was given."""

import uuid
from typing import ClassVar

from django.db import models

from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.held import HeldManager
from pitchline.desk.people.models import Business


class FreeQuoteRow(models.Model):
    """One free quote with all that stands on it, so that it prints the same again; rows are only ever added, or put away."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="free_quotes")
    prices = models.ForeignKey(PriceFile, on_delete=models.PROTECT, related_name="+")
    number = models.CharField(max_length=240)
    on = models.DateField()
    valid_until = models.DateField()
    customer = models.CharField(max_length=200, blank=True)
    notes = models.TextField(blank=True)
    asked = models.JSONField()
    told = models.JSONField()
    net = models.FloatField()
    currency = models.CharField(max_length=8)
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    put_away_at = models.DateTimeField(null=True)
    objects = HeldManager["FreeQuoteRow"]()

    class Meta:
        """Newest first; one number once on a machine."""

        ordering = ("-at",)
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("machine", "number"), name="free_quote_number_once"),
        ]

    def __str__(self) -> str:
        return self.number
