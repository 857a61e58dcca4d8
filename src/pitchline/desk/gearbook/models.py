"""A running gear in the gear list, every version of it, and which machine was fitted with which."""

import uuid
from typing import ClassVar

from django.db import models
from django.db.models import Q

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.held import HeldManager
from pitchline.desk.people.models import Business


class BookEntry(models.Model):
    """One running gear of the yard's own, with its sizes and limits: the gear part of a machine file, as typed."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    name = models.CharField(max_length=200)
    note = models.TextField(blank=True)
    text = models.TextField()
    version = models.PositiveIntegerField(default=1)
    put_away_at = models.DateTimeField(null=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """One name once in a gear list."""

        ordering = ("name",)
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("business", "name"), name="book_name_once"),
            models.CheckConstraint(condition=Q(version__gte=1), name="book_version_from_1"),
        ]

    def __str__(self) -> str:
        return self.name


class BookVersion(models.Model):
    """An entry as it stood once; rows are only ever added."""

    entry = models.ForeignKey(BookEntry, on_delete=models.CASCADE, related_name="versions")
    version = models.PositiveIntegerField()
    name = models.CharField(max_length=200)
    note = models.TextField(blank=True)
    text = models.TextField()
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    why = models.TextField(blank=True)

    class Meta:
        """Newest first."""

        ordering = ("-version",)
        constraints: ClassVar = [
            models.UniqueConstraint(fields=("entry", "version"), name="book_version_once"),
        ]

    def __str__(self) -> str:
        return f"{self.name}, version {self.version}"


class Fitting(models.Model):
    """One machine fitted with one version of an entry; what its file said before is kept, so that it can be undone."""

    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="fittings")
    entry = models.ForeignKey(BookEntry, on_delete=models.CASCADE, related_name="fittings")
    version = models.PositiveIntegerField()
    batch = models.UUIDField()
    before = models.TextField(blank=True)
    machine_version = models.PositiveIntegerField()
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    undone_at = models.DateTimeField(null=True)
    objects = HeldManager["Fitting"]()

    class Meta:
        """Newest first; the newest that was not undone is what the machine has."""

        ordering = ("-pk",)
        indexes: ClassVar = [models.Index(fields=("batch",), name="fitting_batch")]

    def __str__(self) -> str:
        return f"{self.machine}: {self.entry}, version {self.version}"
