"""What the newest verdict of each machine says, row by row: columns that a database can add up."""

from typing import ClassVar

from django.db import models

from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.people.models import Business


class _Told(models.Model):
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="%(class)ss")
    number = models.PositiveSmallIntegerField()
    changed_at = models.DateTimeField()
    judged_for = models.DateField()
    part = models.CharField(max_length=40)
    call = models.CharField(max_length=10)
    stake = models.CharField(max_length=12, blank=True)
    job = models.CharField(max_length=20, blank=True)
    cautious_h = models.FloatField(null=True)
    middle_h = models.FloatField(null=True)
    hopeful_h = models.FloatField(null=True)
    cautious_on = models.DateField(null=True)
    middle_on = models.DateField(null=True)
    hopeful_on = models.DateField(null=True)

    class Meta:
        """In the order of the verdict."""

        abstract = True
        ordering = ("machine", "number")


class PartRow(_Told):
    """One part of one machine."""

    hours_h = models.FloatField()
    side = models.CharField(max_length=8, blank=True)
    position = models.PositiveSmallIntegerField(default=0)
    quantity = models.CharField(max_length=40, blank=True)
    life_used = models.FloatField(null=True)
    size_mm = models.FloatField(null=True)
    looked_at = models.PositiveSmallIntegerField()
    assumed_limit = models.PositiveSmallIntegerField()

    class Meta(_Told.Meta):
        """Each once."""

        constraints: ClassVar = [models.UniqueConstraint(fields=("machine", "number"), name="part_row_once")]
        indexes: ClassVar = [models.Index(fields=("business", "changed_at"), name="part_row_changed")]

    def __str__(self) -> str:
        return f"{self.part} {self.side} {self.position}: {self.call}"


class JobRow(_Told):
    """One job of one machine, due now or later."""

    places = models.TextField()
    pieces = models.PositiveIntegerField()
    renews = models.PositiveSmallIntegerField()
    chance_in_window = models.FloatField()
    labour_h = models.FloatField(null=True)
    price_low = models.FloatField(null=True)
    price_usual = models.FloatField(null=True)
    price_high = models.FloatField(null=True)
    currency = models.CharField(max_length=8, blank=True)
    takes = models.TextField(blank=True)

    class Meta(_Told.Meta):
        """Each once."""

        constraints: ClassVar = [models.UniqueConstraint(fields=("machine", "number"), name="job_row_once")]
        indexes: ClassVar = [models.Index(fields=("business", "changed_at"), name="job_row_changed")]

    def __str__(self) -> str:
        return f"{self.job} {self.part}: {self.call}"
