"""Letters on their way, who gets a digest, and the addresses that hear of changed verdicts, with what was sent there."""

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models

from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.people.models import Business, Member

WAITING, SENDING, SENT, LEFT, UNKNOWN = "waiting", "sending", "sent", "left", "unknown"
"""Of a letter or a delivery: `left` was tried to the end, `unknown` may have gone out, so it does not go again."""
STATES = [(word, word) for word in (WAITING, SENDING, SENT, LEFT, UNKNOWN)]


class Letter(models.Model):
    """One mail to one person. Its text is sealed while it waits, for it may hold a link that lets in, and gone afterwards."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    address = models.CharField(max_length=254)
    subject = models.CharField(max_length=400)
    text_sealed = models.TextField(blank=True)
    headers = models.JSONField(default=dict)
    state = models.CharField(max_length=8, choices=STATES, default=WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    seen = models.CharField(max_length=200, blank=True)
    """What the mail server said when it failed."""
    made_at = models.DateTimeField(auto_now_add=True)
    next_at = models.DateTimeField()
    ends_at = models.DateTimeField()

    class Meta:
        """The oldest first."""

        ordering = ("made_at",)
        indexes: ClassVar = [
            models.Index(fields=("next_at",), condition=models.Q(state__in=(WAITING, SENDING)), name="letter_due")
        ]

    def __str__(self) -> str:
        return f"{self.subject} to {self.address}"


class Digest(models.Model):
    """Somebody who gets a digest; without a row nobody does."""

    DAY, WEEK = "day", "week"

    member = models.OneToOneField(Member, on_delete=models.CASCADE, related_name="digest")
    every = models.CharField(max_length=4, choices=[(word, word) for word in (DAY, WEEK)])
    root = models.CharField(max_length=300)
    """Where the desk was when they asked for it, for the links in it."""
    secret = models.CharField(max_length=64, unique=True)
    """Of the link that ends it."""
    stops = models.JSONField(default=list)
    """Machines the last one said stand still."""
    next_at = models.DateTimeField()
    letter = models.ForeignKey(Letter, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        """By when the next one goes."""

        indexes: ClassVar = [models.Index(fields=("next_at",), name="digest_due")]

    def __str__(self) -> str:
        return f"{self.member}, every {self.every}"


class Hook(models.Model):
    """An address that hears of every changed verdict of a business."""

    BY_HAND, FAILED, GONE = "hand", "failed", "gone"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    address = models.CharField(max_length=2000)
    secret_sealed = models.TextField()
    off_why = models.CharField(max_length=8, blank=True)
    """Why nothing is sent there; empty where it is."""
    failing_since = models.DateTimeField(null=True)
    who = models.CharField(max_length=200)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """The oldest first."""

        ordering = ("made_at",)

    def __str__(self) -> str:
        return self.address


class Delivery(models.Model):
    """One thing to be told to one address, and what became of it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    hook = models.ForeignKey(Hook, on_delete=models.CASCADE, related_name="deliveries")
    machine = models.ForeignKey(Machine, null=True, on_delete=models.CASCADE, related_name="+")
    body = models.TextField()
    state = models.CharField(max_length=8, choices=STATES, default=WAITING)
    tries = models.PositiveSmallIntegerField(default=0)
    said = models.JSONField(default=dict)
    """Why the last try failed, as a fetch tells it."""
    made_at = models.DateTimeField(auto_now_add=True)
    tried_at = models.DateTimeField(null=True)
    next_at = models.DateTimeField()

    class Meta:
        """The newest first."""

        ordering = ("-made_at",)
        indexes: ClassVar = [
            models.Index(fields=("next_at",), condition=models.Q(state=WAITING), name="delivery_due")
        ]

    def __str__(self) -> str:
        return f"{self.pk} to {self.hook}"
