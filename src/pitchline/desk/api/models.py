"""Tokens of people's scripts, and answers kept so that a request sent twice is done once."""

from typing import ClassVar

from django.conf import settings
from django.db import models

from pitchline.desk.people.models import Business


class Token(models.Model):
    """A secret a script signs in with, for one person; only its hash is kept."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="tokens")
    purpose = models.CharField(max_length=200)
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True)
    scope = models.CharField(max_length=8, default="all")
    ends_at = models.DateTimeField(null=True)
    used_at = models.DateTimeField(null=True)

    class Meta:
        """In the order they were made."""

        ordering = ("pk",)

    def __str__(self) -> str:
        return f"{self.user}: {self.purpose}"


class Answered(models.Model):
    """One write by its key: what was asked, and the answer once there is one."""

    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    key = models.UUIDField()
    digest = models.CharField(max_length=64)
    begun_at = models.DateTimeField(db_index=True)
    status = models.PositiveSmallIntegerField(null=True)
    content = models.BinaryField(default=bytes)
    content_type = models.CharField(max_length=100, blank=True)

    class Meta:
        """Each key once in a business."""

        constraints: ClassVar = [models.UniqueConstraint(fields=("business", "key"), name="answered_once")]

    def __str__(self) -> str:
        return f"{self.key}: {self.status or 'under way'}"


class Job(models.Model):
    """Many writes that were sent together; forgotten with its answers after a week."""

    id = models.UUIDField(primary_key=True, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, null=True, related_name="+")
    who = models.CharField(max_length=200)
    rights = models.JSONField(default=list)
    at = models.DateTimeField(auto_now_add=True, db_index=True)
    of = models.PositiveIntegerField()
    done_at = models.DateTimeField(null=True)

    class Meta:
        """Newest first."""

        ordering = ("-at", "pk")

    def __str__(self) -> str:
        return f"{self.of} of {self.who}"


class JobPiece(models.Model):
    """One write of a job: what is sent, until it is done; then what became of it."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="pieces")
    number = models.PositiveIntegerField()
    key = models.UUIDField()
    method = models.CharField(max_length=8)
    path = models.TextField()
    sent = models.TextField(blank=True)
    status = models.PositiveSmallIntegerField(null=True)
    made = models.CharField(max_length=200, blank=True)
    problems = models.JSONField(default=list)

    class Meta:
        """In the order they were sent."""

        ordering = ("number",)
        constraints: ClassVar = [models.UniqueConstraint(fields=("job", "number"), name="job_piece_once")]

    def __str__(self) -> str:
        return f"{self.number}: {self.status or 'waits'}"
