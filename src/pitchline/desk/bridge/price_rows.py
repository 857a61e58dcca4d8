"""The yard's price lists: each one entered stays, so that an old judgement keeps its prices."""

import uuid

from django.db import models

from pitchline.desk.people.models import Business


class PriceFile(models.Model):
    """One price list as it was entered, byte for byte."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="price_files")
    name = models.CharField(max_length=200)
    content = models.BinaryField()
    digest = models.CharField(max_length=64)
    entered_at = models.DateTimeField(auto_now_add=True)
    who = models.CharField(max_length=200)
    why = models.TextField(blank=True)
    taken_back_at = models.DateTimeField(null=True)

    class Meta:
        """The newest that was not taken back is the one in force."""

        app_label = "yard"
        ordering = ("-entered_at",)

    def __str__(self) -> str:
        return self.name
