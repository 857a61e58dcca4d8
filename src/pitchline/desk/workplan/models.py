"""Plans as they were worked out, those kept by hand, and the calendar entries made from them."""

import uuid
from typing import ClassVar

from django.db import models

from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.held import HeldManager
from pitchline.desk.people.models import Business


class Plan(models.Model):
    """The cheapest stops of one judgement for one set of questions; inputs, method and version kept with it."""

    WANTED, WORKING, DONE, REFUSED = "wanted", "working", "done", "refused"
    STATES: ClassVar = [(state, state) for state in (WANTED, WORKING, DONE, REFUSED)]

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="plans")
    judgement = models.ForeignKey(Judgement, on_delete=models.CASCADE, related_name="plans")
    digest = models.CharField(max_length=64)
    asked = models.JSONField()
    state = models.CharField(max_length=8, choices=STATES, default=WANTED)
    because = models.TextField(blank=True)
    who = models.CharField(max_length=200)
    asked_at = models.DateTimeField(auto_now_add=True)
    begun_at = models.DateTimeField(null=True)
    done_at = models.DateTimeField(null=True)
    method = models.CharField(max_length=200, blank=True)
    version = models.CharField(max_length=40, blank=True)
    cost = models.FloatField(null=True)
    verdict_packed = models.BinaryField(null=True)
    footing_packed = models.BinaryField(null=True)
    objects = HeldManager["Plan"]()

    class Meta:
        """The same question about the same judgement is one plan."""

        ordering = ("-asked_at",)
        constraints: ClassVar = [models.UniqueConstraint(fields=("machine", "digest"), name="plan_once")]
        indexes: ClassVar = [
            models.Index(fields=("state",), condition=models.Q(state="wanted"), name="plan_wanted"),
        ]

    def __str__(self) -> str:
        return f"plan of {self.asked_at}"


class DecidedPlan(models.Model):
    """A plan somebody decided on, its stops where they put them. Rows are only ever added, or put away."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="decided_plans")
    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="decided")
    steps = models.JSONField()
    cost = models.FloatField()
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    why = models.TextField()
    put_away_at = models.DateTimeField(null=True)
    verdict_packed = models.BinaryField()

    class Meta:
        """One in force for each machine."""

        ordering = ("-at",)
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=("machine",), condition=models.Q(put_away_at=None), name="kept_plan_in_force_once"
            ),
        ]

    def __str__(self) -> str:
        return f"decided on by {self.who}"


class FeedPart(models.Model):
    """One machine's calendar entries, and what they were made from."""

    machine = models.OneToOneField(Machine, on_delete=models.CASCADE, primary_key=True, related_name="+")
    source = models.CharField(max_length=100)
    events = models.TextField()

    def __str__(self) -> str:
        return self.source
