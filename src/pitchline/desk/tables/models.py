"""What verdicts, plans, work done and the price list say, row by row: columns that a database can add up."""

from typing import ClassVar

from django.db import models

from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.people.models import Business


class _Row(models.Model):
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    number = models.PositiveSmallIntegerField()
    changed_at = models.DateTimeField()

    class Meta:
        """One after the other."""

        abstract = True


class _OfMachine(_Row):
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="%(class)ss")

    class Meta:
        """In the order they are told."""

        abstract = True
        ordering = ("machine", "number")


class _Told(_OfMachine):
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

    class Meta(_OfMachine.Meta):
        """In the order of the verdict."""

        abstract = True


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


class LayUpRow(_OfMachine):
    """One job at one lay-up of the plan in force, or one charge of the lay-up."""

    source = models.UUIDField()
    """The plan it is from."""
    state = models.CharField(max_length=12)
    planned_for = models.DateField()
    lay_up = models.PositiveSmallIntegerField()
    at_h = models.FloatField()
    service_h = models.FloatField()
    planned_on = models.DateField(null=True)
    job = models.CharField(max_length=20, blank=True)
    part = models.CharField(max_length=40, blank=True)
    places = models.TextField(blank=True)
    pieces = models.PositiveIntegerField(null=True)
    renews = models.PositiveSmallIntegerField(null=True)
    charge = models.CharField(max_length=40, blank=True)
    labour_h = models.FloatField(null=True)
    price_low = models.FloatField(null=True)
    price_usual = models.FloatField(null=True)
    price_high = models.FloatField(null=True)
    currency = models.CharField(max_length=8, blank=True)

    class Meta(_OfMachine.Meta):
        """Each once."""

        constraints: ClassVar = [models.UniqueConstraint(fields=("machine", "number"), name="lay_up_row_once")]
        indexes: ClassVar = [models.Index(fields=("business", "changed_at"), name="lay_up_row_changed")]

    def __str__(self) -> str:
        return f"{self.lay_up}: {self.job or self.charge}"


class WorkRow(_OfMachine):
    """One job that was done."""

    work = models.CharField(max_length=200)
    done_on = models.DateField()
    service_h = models.FloatField()
    did = models.CharField(max_length=20)
    part = models.CharField(max_length=40)
    places = models.TextField()
    pieces = models.PositiveIntegerField()
    seen_on = models.DateField(null=True)
    put_right = models.TextField(blank=True)
    sizes = models.TextField(blank=True)
    by = models.TextField(blank=True)
    note = models.TextField(blank=True)
    cost_labour = models.FloatField(null=True)
    cost_parts = models.FloatField(null=True)
    currency = models.CharField(max_length=8, blank=True)
    reckoned = models.FloatField(null=True)
    reckoned_currency = models.CharField(max_length=8, blank=True)
    reckoned_in = models.TextField(blank=True)

    class Meta(_OfMachine.Meta):
        """Each once."""

        constraints: ClassVar = [models.UniqueConstraint(fields=("machine", "number"), name="work_row_once")]
        indexes: ClassVar = [models.Index(fields=("business", "changed_at"), name="work_row_changed")]

    def __str__(self) -> str:
        return f"{self.done_on}: {self.did} {self.part}"


class PriceRow(_Row):
    """One line of the price list in force, or one figure beside its lines."""

    source = models.UUIDField()
    """The price list it is from."""
    list_number = models.PositiveIntegerField()
    job = models.CharField(max_length=20, blank=True)
    part = models.CharField(max_length=40, blank=True)
    per = models.CharField(max_length=8, blank=True)
    figure = models.CharField(max_length=40, blank=True)
    amount = models.FloatField(null=True)
    for_kind = models.CharField(max_length=40, blank=True)
    mass_from_kg = models.FloatField(null=True)
    mass_under_kg = models.FloatField(null=True)
    gear = models.TextField(blank=True)
    price_low = models.FloatField(null=True)
    price_usual = models.FloatField(null=True)
    price_high = models.FloatField(null=True)
    currency = models.CharField(max_length=8)
    labour_h = models.FloatField(null=True)

    class Meta:
        """Each once."""

        ordering = ("business", "number")
        constraints: ClassVar = [models.UniqueConstraint(fields=("business", "number"), name="price_row_once")]

    def __str__(self) -> str:
        return f"{self.job or self.figure} {self.part}"
