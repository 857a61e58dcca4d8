"""Whether phones may come in, who asks to, and who is in."""

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models

from pitchline.desk.people.models import Business

TRIES = 5
"""Wrong codes after which every code that is open is void."""


class Door(models.Model):
    """The one door for phones: whether it stands open, where, and what keeps it shut."""

    is_open = models.BooleanField(default=False)
    port = models.PositiveIntegerField(default=8322)
    problem = models.TextField(blank=True)
    resting_until = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"door {'open' if self.is_open else 'shut'} at {self.port}"


class Phone(models.Model):
    """A phone that was let in, and the person it is one's of; its secret is kept as a mark alone."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="phones")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="phones")
    name = models.CharField(max_length=200)
    person = models.CharField(max_length=200)
    mark = models.CharField(max_length=64, unique=True)
    let_in_by = models.CharField(max_length=200)
    let_in_at = models.DateTimeField()
    seen_at = models.DateTimeField(null=True)
    seen_from = models.CharField(max_length=64, blank=True)
    ended_at = models.DateTimeField(null=True)
    ended_by = models.CharField(max_length=200, blank=True)

    class Meta:
        """In the order they came."""

        ordering = ("let_in_at",)

    def __str__(self) -> str:
        return f"{self.name} of {self.person}"


class Asking(models.Model):
    """One code, and the phone that asks by it."""

    OPEN, ASKED, LET_IN, REFUSED, ENDED = "open", "asked", "let in", "refused", "ended"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="+")
    who = models.CharField(max_length=200)
    code_mark = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    tries_left = models.PositiveSmallIntegerField(default=TRIES)
    state = models.CharField(max_length=8, default=OPEN)
    name = models.CharField(max_length=200, blank=True)
    person = models.CharField(max_length=200, blank=True)
    asked_from = models.CharField(max_length=64, blank=True)
    mark = models.CharField(max_length=64, blank=True, db_index=True)
    digits = models.CharField(max_length=2, blank=True)

    class Meta:
        """The newest first."""

        ordering = ("-made_at",)
        indexes: ClassVar = [models.Index(fields=("business", "-made_at"), name="asking_of_business")]

    def __str__(self) -> str:
        return f"{self.state}, made by {self.who}"


class WrongCode(models.Model):
    """A code that led nowhere: when, and from which address."""

    at = models.DateTimeField(db_index=True)
    asked_from = models.CharField(max_length=64)

    def __str__(self) -> str:
        return f"{self.at} from {self.asked_from}"
