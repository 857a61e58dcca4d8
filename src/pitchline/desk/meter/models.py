"""What meters showed, what senders call a machine, and where hours are fetched from."""

import uuid
from typing import ClassVar

from django.db import models
from django.db.models import Q

from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.people.models import Business


class MeterHours(models.Model):
    """What the meter of a machine showed at one moment; what does not follow the hours before counts once somebody answered."""

    TAKEN, ASKED, LEFT = "taken", "asked", "left"
    STATES: ClassVar = [(word, word) for word in (TAKEN, ASKED, LEFT)]

    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="meterhours")
    at = models.DateTimeField()
    day = models.DateField()
    """Of `at`, where the desk is."""
    meter_h = models.FloatField()
    idle_h = models.FloatField(null=True)
    latitude = models.FloatField(null=True)
    longitude = models.FloatField(null=True)
    source = models.CharField(max_length=200)
    who = models.CharField(max_length=200)
    made_at = models.DateTimeField(auto_now_add=True)
    state = models.CharField(max_length=8, choices=STATES, default=TAKEN)
    why = models.CharField(max_length=8, blank=True)
    """Which rule of `following` it broke."""

    class Meta:
        """One moment of a machine once."""

        ordering = ("-at",)
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("machine", "at"), name="meter_moment_once"),
            models.CheckConstraint(condition=Q(meter_h__gte=0), name="meter_not_negative"),
        ]
        indexes: ClassVar = [
            models.Index(fields=("business", "machine"), condition=Q(state="asked"), name="meter_asked"),
        ]

    def __str__(self) -> str:
        return f"{self.meter_h} h at {self.at:%Y-%m-%d %H:%M}"


class SenderName(models.Model):
    """A name under which hours come, and whose they are: asked once. Hours of a machine nobody named yet wait with the name."""

    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    name = models.CharField(max_length=200)
    machine = models.ForeignKey(Machine, null=True, on_delete=models.CASCADE, related_name="+")
    ignored = models.BooleanField(default=False)
    waiting = models.JSONField(default=list)
    source = models.CharField(max_length=200)
    first_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Each name once."""

        ordering = ("name",)
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("business", "name"), name="sender_name_once"),
        ]

    def __str__(self) -> str:
        return self.name


class Feed(models.Model):
    """An address hours are fetched from, by a schedule."""

    NONE, BASIC, TOKEN, CLIENT = "none", "basic", "token", "client"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    name = models.CharField(max_length=200)
    address = models.CharField(max_length=2000)
    sign_in = models.CharField(max_length=8, default=NONE)
    user = models.CharField(max_length=200, blank=True)
    secret_sealed = models.TextField(blank=True)
    token_address = models.CharField(max_length=2000, blank=True)
    every_h = models.PositiveSmallIntegerField(default=24)
    is_off = models.BooleanField(default=False)
    next_at = models.DateTimeField(null=True)
    tried_at = models.DateTimeField(null=True)
    fetched_at = models.DateTimeField(null=True)
    failed = models.PositiveSmallIntegerField(default=0)
    said = models.JSONField(default=dict)
    """What the last try came to: counts, or a problem."""
    who = models.CharField(max_length=200)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        """By name."""

        ordering = ("name", "pk")
        indexes: ClassVar = [models.Index(fields=("next_at",), condition=Q(is_off=False), name="feed_due")]

    def __str__(self) -> str:
        return self.name
