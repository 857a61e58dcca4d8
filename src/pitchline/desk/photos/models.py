"""One row for every photo and document; what it shows lies in the data folder under a hashed name."""

import uuid
from typing import ClassVar

from django.db import models
from django.db.models import Q

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.held import HeldManager
from pitchline.desk.people.models import Business
from pitchline.desk.posts import MOST_NAME
from pitchline.desk.walkround.models import Sheet
from pitchline.picture.named_photo import NamedSpot
from pitchline.trade.parts import PartKind
from pitchline.words import label

MOST_CAPTION = 500
"""Letters in a caption: our own choice."""


class Attachment(models.Model):
    """A photo or a document. Its id may be made by the phone, so that sending twice keeps one."""

    PHOTO, DOCUMENT = "photo", "document"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    machine = models.ForeignKey(Machine, on_delete=models.CASCADE, related_name="attachments")
    sheet = models.ForeignKey(Sheet, null=True, on_delete=models.SET_NULL, related_name="+")
    part = models.CharField(max_length=60, blank=True)
    finding = models.CharField(max_length=120, blank=True)
    what = models.CharField(max_length=10, choices=[(PHOTO, PHOTO), (DOCUMENT, DOCUMENT)])
    name = models.CharField(max_length=MOST_NAME)
    caption = models.CharField(max_length=MOST_CAPTION, blank=True)
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    kind = models.CharField(max_length=100)
    file = models.CharField(max_length=64)
    file_small = models.CharField(max_length=64, blank=True)
    size_bytes = models.PositiveIntegerField()
    width = models.PositiveIntegerField(default=0)
    height = models.PositiveIntegerField(default=0)
    has_place = models.BooleanField(default=False)
    version = models.PositiveIntegerField(default=1)
    removed_at = models.DateTimeField(null=True)
    objects = HeldManager["Attachment"]()

    class Meta:
        """Newest first; the files of what was removed are looked for by day."""

        ordering = ("-at", "pk")
        indexes: ClassVar = [
            models.Index(fields=("machine", "-at"), name="kept_of_machine"),
            models.Index(fields=("removed_at",), condition=Q(removed_at__isnull=False), name="kept_removed"),
        ]

    def __str__(self) -> str:
        return self.caption or self.name

    @property
    def is_photo(self) -> bool:
        """Whether it is shown as a picture."""
        return self.what == self.PHOTO


class PartName(models.Model):
    """A part's name on a photo, kept beside the picture, which stays untouched; where, in percent of its width and height."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    photo = models.ForeignKey(Attachment, on_delete=models.CASCADE, related_name="names")
    part = models.CharField(max_length=40)
    tip_x = models.PositiveSmallIntegerField()
    tip_y = models.PositiveSmallIntegerField()
    at_x = models.PositiveSmallIntegerField()
    at_y = models.PositiveSmallIntegerField()
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    removed_at = models.DateTimeField(null=True)
    HELD_BY = "photo__machine__depot"
    objects = HeldManager["PartName"]()

    class Meta:
        """As they were set."""

        ordering = ("at", "pk")

    def __str__(self) -> str:
        return self.part

    @property
    def spot(self) -> NamedSpot:
        """As it is drawn."""
        tip, at = (self.tip_x / 100, self.tip_y / 100), (self.at_x / 100, self.at_y / 100)
        return NamedSpot(label(PartKind(self.part)), tip, at)
