"""A machine as it was entered, the figures its row in the yard needs, and every judgement ever made of it."""

import uuid
from typing import Any, ClassVar

from django.db import models
from django.db.models import F, Q

from pitchline.desk.bridge.constant_rows import Constants
from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.people.held import HeldManager
from pitchline.desk.people.models import Business, Depot
from pitchline.desk.people.who import depots_seen
from pitchline.judge.age import age_said, is_old
from pitchline.papers.names import which_one
from pitchline.trade.asking import AskingPrice
from pitchline.trade.calls import Call, Stake
from pitchline.trade.machine import MachineKind
from pitchline.words import label, say
from pitchline.words.called import looked_said
from pitchline.words.labels import brief
from pitchline.words.names import named

KINDS = [(kind.value, named(kind)) for kind in MachineKind]


class Machine(models.Model):
    """One machine. Its running gear, limits and history are a machine file, kept as entered."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="machines")
    short_name = models.CharField(max_length=200)
    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=40, choices=KINDS)
    depot = models.ForeignKey(Depot, null=True, on_delete=models.PROTECT, related_name="machines")
    customer = models.CharField(max_length=200, blank=True)
    place = models.CharField(max_length=200, blank=True)
    serial_number = models.CharField(max_length=200, blank=True)
    year_built = models.PositiveSmallIntegerField(null=True)
    owner_number = models.CharField(max_length=200, blank=True)
    hours_text = models.CharField(max_length=40, blank=True)
    hours_h = models.FloatField(null=True)
    hours_seen = models.JSONField(default=list)
    """What its meter showed between walk-rounds, as far as a judgement needs it: day and hours on the meter, oldest first."""
    asking_amount = models.FloatField(null=True)
    asking_currency = models.CharField(max_length=8, blank=True)
    file_text = models.TextField(blank=True)
    invented = models.BooleanField(default=False)
    version = models.PositiveIntegerField(default=1)
    archived_at = models.DateTimeField(null=True)
    created_at = models.DateTimeField(auto_now_add=True)

    to_judge = models.BooleanField(default=False)
    marked = models.PositiveIntegerField(default=0)
    not_judged_because = models.TextField(blank=True)
    judgement = models.ForeignKey(
        "Judgement", null=True, on_delete=models.SET_NULL, related_name="+", db_constraint=True
    )
    last_walk_on = models.DateField(null=True)
    judged_for = models.DateField(null=True)
    judged_by = models.CharField(max_length=64, blank=True)
    carried_h = models.FloatField(null=True)
    call = models.CharField(max_length=8, blank=True)
    call_rank = models.SmallIntegerField(default=-1)
    stake = models.CharField(max_length=12, blank=True)
    looked_at = models.PositiveSmallIntegerField(null=True)
    looked_of = models.PositiveSmallIntegerField(null=True)
    due_said = models.TextField(blank=True)
    due_cautious_h = models.FloatField(null=True)
    due_middle_h = models.FloatField(null=True)
    due_hopeful_h = models.FloatField(null=True)
    due_on = models.DateField(null=True)
    money_low = models.FloatField(null=True)
    money_usual = models.FloatField(null=True)
    money_high = models.FloatField(null=True)
    worth_low = models.FloatField(null=True)
    worth_usual = models.FloatField(null=True)
    worth_high = models.FloatField(null=True)
    currency = models.CharField(max_length=8, blank=True)
    HELD_BY = "depot"
    objects = HeldManager["Machine"]()

    class Meta:
        """One short name once in a yard; the yard's ways of sorting have indexes."""

        app_label = "machine"
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("business", "short_name"), name="machine_short_name_once"),
            models.CheckConstraint(
                condition=Q(hours_h__gte=0) | Q(hours_h=None), name="machine_hours_not_negative"
            ),
            models.CheckConstraint(condition=Q(version__gte=1), name="machine_version_from_1"),
        ]
        indexes: ClassVar = [
            models.Index(
                F("business"), F("archived_at"), F("call_rank").desc(), F("due_middle_h"), name="machine_due"
            ),
            models.Index("business", "archived_at", F("money_usual").desc(), name="machine_money"),
            models.Index("business", "archived_at", F("worth_usual").desc(), name="machine_worth"),
            models.Index("business", "archived_at", F("last_walk_on").desc(), name="machine_walked"),
            models.Index(fields=("business", "archived_at", "name"), name="machine_name"),
            models.Index(fields=("business", "customer"), name="machine_customer"),
            models.Index(fields=("business", "place"), name="machine_place"),
            models.Index(fields=("to_judge",), condition=Q(to_judge=True), name="machine_to_judge"),
            models.Index(fields=("judged_for",), name="machine_judged_for"),
            models.Index(fields=("judged_by",), name="machine_judged_by"),
            models.Index(
                fields=(
                    "business",
                    "archived_at",
                    "call",
                    "currency",
                    "to_judge",
                    "money_usual",
                    "worth_usual",
                    "looked_at",
                    "looked_of",
                ),
                name="machine_tally",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def save(self, *args: Any, **more: Any) -> None:
        """What somebody adds who is held to depots stands at one of them."""
        held = depots_seen()
        if self._state.adding and self.depot_id is None and held:
            self.depot_id = min(held)
        super().save(*args, **more)

    @property
    def identity(self) -> str:
        """What tells it from another of the same name: serial number, year, its owner's number; empty where nobody said."""
        return which_one(self)

    @property
    def asking_price(self) -> AskingPrice | None:
        """What is asked for it; None where nobody said."""
        return None if self.asking_amount is None else AskingPrice(self.asking_amount, self.asking_currency)

    @property
    def readings_age(self) -> str:
        """How old the readings were on the day it was judged for, in words; empty where they are of that day."""
        if self.last_walk_on is None or self.judged_for is None:
            return ""
        return say(age_said(self.last_walk_on, self.judged_for, self.carried_h))

    @property
    def too_old(self) -> bool:
        """Whether the readings were too old to order by on the day it was judged for."""
        if self.last_walk_on is None or self.judged_for is None:
            return False
        return is_old(self.last_walk_on, self.judged_for, self.carried_h)

    @property
    def kind_label(self) -> str:
        """The family of machine for reading."""
        return label(MachineKind(self.kind))

    @property
    def call_label(self) -> str:
        """The call for reading."""
        return label(Call(self.call or Call.UNJUDGED))

    @property
    def about(self) -> str:
        """What the call is about, in two words at most; empty where that is not known."""
        return brief(Stake(self.stake)) if self.stake else ""

    @property
    def looked_said(self) -> str:
        """How much of it was looked at, where that was not all."""
        if self.looked_at is None or self.looked_of is None or self.looked_at >= self.looked_of:
            return ""
        return looked_said((self.looked_at, self.looked_of))


class Judgement(models.Model):
    """A verdict as it was given, with all it rests on: inputs, prices, day, method, version. Never changed.

    One that was made only because a day went by is passing: the next day's takes its place, unless somebody took a paper or a
    plan from it, or the call changed.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="judgements")
    digest = models.CharField(max_length=64)
    footing = models.CharField(max_length=64)
    passing = models.BooleanField(default=False)
    made_at = models.DateTimeField(auto_now_add=True)
    who = models.CharField(max_length=200)
    as_of = models.DateField()
    from_service_h = models.FloatField()
    call = models.CharField(max_length=8)
    headline = models.TextField()
    method = models.CharField(max_length=200)
    method_digest = models.CharField(max_length=64, blank=True)
    version = models.CharField(max_length=40)
    units = models.CharField(max_length=8)
    prices = models.ForeignKey(PriceFile, null=True, on_delete=models.PROTECT, related_name="+")
    priced_as = models.JSONField(default=dict)
    constants = models.ForeignKey(Constants, null=True, on_delete=models.PROTECT, related_name="+")
    inputs_packed = models.BinaryField()
    verdict_packed = models.BinaryField()
    objects = HeldManager["Judgement"]()

    class Meta:
        """The same inputs judged for the same day by the same method are one judgement."""

        app_label = "machine"
        ordering = ("-made_at",)
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("machine", "digest"), name="judgement_once"),
        ]

    def __str__(self) -> str:
        return f"{self.call} on {self.as_of}"

    @property
    def call_label(self) -> str:
        """The call for reading."""
        return label(Call(self.call))
