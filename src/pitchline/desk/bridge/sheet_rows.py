"""A sheet, its readings as typed beside their SI value and what stood before, what was seen, and entries kept aside."""

import datetime as dt
import uuid
from typing import ClassVar

from django.db import models
from django.db.models import Q

from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.people.held import HeldManager
from pitchline.desk.people.models import Business
from pitchline.words import translated

NOTHING_SEEN, LOOKED = "nothing", "looked"
"""Kind and state of the line that says somebody looked at a part and saw nothing: `looked_over` in a machine file."""


class Sheet(models.Model):
    """One walk-round of one machine; its id may be made by the phone, so that sending twice is harmless."""

    DRAFT, FINISHED, PUT_AWAY = "draft", "finished", "put away"
    STATES: ClassVar = [(word, word) for word in (DRAFT, FINISHED, PUT_AWAY)]

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="sheets")
    state = models.CharField(max_length=10, choices=STATES, default=DRAFT)
    date_text = models.CharField(max_length=40, blank=True)
    hours_text = models.CharField(max_length=40, blank=True)
    hours_are = models.CharField(max_length=8, default="meter")
    date = models.DateField(null=True)
    service_h = models.FloatField(null=True)
    by = models.TextField(blank=True)
    source = models.TextField(blank=True)
    unit = models.CharField(max_length=4, default="mm")
    version = models.PositiveIntegerField(default=1)
    writer = models.CharField(max_length=64, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    touched_at = models.DateTimeField(null=True)
    left_at = models.CharField(max_length=60, blank=True, default="")
    finished_at = models.DateTimeField(null=True)
    objects = HeldManager["Sheet"]()

    class Meta:
        """One finished walk-round a day on a machine."""

        app_label = "walkround"
        ordering = ("date", "created_at")
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=("machine", "date"), condition=Q(state="finished"), name="sheet_one_a_day"
            ),
            models.CheckConstraint(
                condition=Q(service_h__gte=0) | Q(service_h=None), name="sheet_hours_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return f"walk-round of {self.date or self.date_text}"

    @property
    def last_written(self) -> dt.datetime:
        """When somebody last wrote on it."""
        return self.touched_at or self.created_at


class Entry(models.Model):
    """What two kinds of line on a sheet share: where they stand, and which writing of them is the newest."""

    sheet = models.ForeignKey(Sheet, on_delete=models.CASCADE, related_name="%(class)ss")
    part = models.CharField(max_length=40)
    side = models.CharField(max_length=8, blank=True)
    position = models.PositiveSmallIntegerField(default=0)
    number = models.PositiveIntegerField(default=0)
    version = models.PositiveIntegerField(default=1)
    writer = models.CharField(max_length=64, blank=True)
    problem = models.TextField(blank=True)

    class Meta:
        """In the order of the sheet."""

        app_label = "walkround"
        abstract = True
        ordering = ("number", "pk")


class ReadingRow(Entry):
    """One quantity at one place: the text exactly as typed, and its value in metres where it could be read."""

    measurand = models.CharField(max_length=40)
    typed = models.JSONField(default=list)
    unit = models.CharField(max_length=4, default="mm")
    over_joints = models.CharField(max_length=10, blank=True)
    tool = models.TextField(blank=True)
    kept_because = models.TextField(blank=True)
    beyond = models.JSONField(default=dict)
    repeats_m = models.JSONField(default=list)
    value_m = models.FloatField(null=True)
    not_read_because = models.CharField(max_length=60, blank=True)

    class Meta(Entry.Meta):
        """Each quantity of a place once."""

        app_label = "walkround"
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=("sheet", "part", "side", "position", "measurand"), name="reading_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.measurand} {', '.join(self.typed)}"


class FormerReading(models.Model):
    """A line as it stood before it was corrected on a finished sheet; never changed, never deleted."""

    row = models.ForeignKey(ReadingRow, on_delete=models.CASCADE, related_name="former")
    typed = models.JSONField(default=list)
    unit = models.CharField(max_length=4, default="mm")
    over_joints = models.CharField(max_length=10, blank=True)
    tool = models.TextField(blank=True)
    kept_because = models.TextField(blank=True)
    value_m = models.FloatField(null=True)
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    why = models.TextField(blank=True)

    class Meta:
        """Newest first."""

        app_label = "walkround"
        ordering = ("-pk",)

    def __str__(self) -> str:
        return f"{self.said}, until {self.who} corrected it"

    @property
    def said(self) -> str:
        """What was typed, with its unit where the text has none."""
        texts = [
            text if any(letter.isalpha() for letter in text) else f"{text} {self.unit}" for text in self.typed
        ]
        return ", ".join(texts) + (
            translated(" over {n} joints").format(n=self.over_joints) if self.over_joints else ""
        )


class SeenRow(Entry):
    """One thing seen at one place; how bad is empty where it was taken back."""

    kind = models.CharField(max_length=40)
    nth = models.PositiveSmallIntegerField(default=0)
    how_bad = models.CharField(max_length=10, blank=True)
    count = models.PositiveIntegerField(default=1)
    on_one = models.BooleanField(null=True)
    last_seen_on = models.DateField(null=True)
    note = models.TextField(blank=True)

    class Meta(Entry.Meta):
        """Each kind at a place once, unless a file brought it twice."""

        app_label = "walkround"
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("sheet", "part", "side", "position", "kind", "nth"), name="seen_once"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.how_bad}"


class Aside(models.Model):
    """An entry that met a newer one of somebody else: kept whole until a person decides."""

    sheet = models.ForeignKey(Sheet, on_delete=models.CASCADE, related_name="asides")
    key = models.CharField(max_length=120)
    fields = models.JSONField()
    said = models.TextField()
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    settled = models.BooleanField(default=False)
    HELD_BY = "sheet__machine__depot"
    objects = HeldManager["Aside"]()

    class Meta:
        """In the order they came."""

        app_label = "walkround"
        ordering = ("pk",)

    def __str__(self) -> str:
        return f"{self.who}: {self.said}"
