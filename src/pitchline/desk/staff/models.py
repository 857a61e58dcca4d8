"""Links that let somebody in, and what happened at the sign-in."""

import uuid
from typing import ClassVar

from django.conf import settings
from django.db import models

from pitchline.desk.people.models import Business, Depot


class Invitation(models.Model):
    """A link by which somebody new chooses name and password, or somebody known a new password; kept as a mark alone."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="+")
    called = models.CharField(max_length=200)
    role = models.CharField(max_length=8)
    depots = models.ManyToManyField(Depot, related_name="+")
    mark = models.CharField(max_length=64, unique=True)
    made_by = models.CharField(max_length=200)
    made_at = models.DateTimeField(auto_now_add=True)
    ends_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)

    class Meta:
        """The newest first."""

        ordering = ("-made_at",)

    def __str__(self) -> str:
        return f"{self.called} by {self.made_by}"


class SignInEvent(models.Model):
    """Something that happened at the sign-in; the same again within a short time is counted, not written anew."""

    business = models.ForeignKey(Business, null=True, on_delete=models.CASCADE, related_name="+")
    what = models.CharField(max_length=20)
    name = models.CharField(max_length=200)
    address = models.CharField(max_length=64, blank=True)
    at = models.DateTimeField()
    times = models.PositiveIntegerField(default=1)

    class Meta:
        """The newest first."""

        ordering = ("-at",)
        indexes: ClassVar = [models.Index(fields=("business", "-at"), name="sign_in_event_of")]

    def __str__(self) -> str:
        return f"{self.what}: {self.name}"
