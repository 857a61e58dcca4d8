"""A link given to a buyer."""

import uuid
from typing import ClassVar

from django.db import models
from django.utils import timezone

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.held import HeldManager
from pitchline.desk.people.models import Business


class BuyerLink(models.Model):
    """Leads to one machine's paper and photos until a day, or until it is taken back; its secret is kept as a mark alone."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="buyer_links")
    called = models.CharField(max_length=200, blank=True)
    mark = models.CharField(max_length=64, unique=True)
    made_by = models.CharField(max_length=200)
    made_at = models.DateTimeField(auto_now_add=True)
    ends_at = models.DateTimeField()
    taken_back_at = models.DateTimeField(null=True)
    openings = models.PositiveIntegerField(default=0)
    opened_at = models.DateTimeField(null=True)
    minute = models.DateTimeField(null=True)
    in_minute = models.PositiveIntegerField(default=0)
    objects = HeldManager["BuyerLink"]()

    class Meta:
        """The newest first."""

        ordering: ClassVar = ("-made_at",)

    def __str__(self) -> str:
        return f"{self.called or 'a buyer'}: {self.machine}"

    @property
    def is_open(self) -> bool:
        """Whether it leads anywhere."""
        return self.taken_back_at is None and self.ends_at > timezone.now()
