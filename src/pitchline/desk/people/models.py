"""Businesses and the people who sign in for them."""

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models

from pitchline.desk.people.rights import OWNER
from pitchline.trade.writing import ENGLISH, UnitSystem, Writing

LOCAL = uuid.UUID("6f0c8f0e-0000-4000-8000-000000000001")
"""The business of a desk without login."""


class Business(models.Model):
    """One business and its yard; every row of the desk belongs to one."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=200)
    units = models.CharField(max_length=8, default="metric")
    numbers = models.CharField(max_length=8, default="point")
    days = models.CharField(max_length=12, default="day-month")
    language = models.CharField(max_length=20, default=ENGLISH)
    booking_window_weeks = models.FloatField(null=True)
    tools = models.JSONField(default=list)
    paper_name = models.CharField(max_length=200, blank=True)
    feed_secret = models.CharField(max_length=64, blank=True)
    version = models.PositiveIntegerField(default=1)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Plain English; a calendar feed's secret leads to one business."""

        verbose_name_plural = "businesses"
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=("feed_secret",), condition=~models.Q(feed_secret=""), name="feed_secret_once"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def writing(self) -> Writing:
        """How it writes figures, days and sizes, and in which language."""
        return Writing(self.numbers, self.days, UnitSystem(self.units), self.language)


class Depot(models.Model):
    """A place of the business at which machines stand and people work."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="depots")
    name = models.CharField(max_length=200)

    class Meta:
        """Each name once in a business."""

        ordering = ("name",)
        constraints: ClassVar = [models.UniqueConstraint(fields=("business", "name"), name="depot_name_once")]

    def __str__(self) -> str:
        return self.name


class Member(models.Model):
    """A person who signs in, the business they work for, what they are there, and the depots they are held to (none: all)."""

    user = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="member")
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="members")
    role = models.CharField(max_length=8, default=OWNER)
    depots = models.ManyToManyField(Depot, related_name="members")

    def __str__(self) -> str:
        return f"{self.user} of {self.business}"
