"""One row for everything that can be taken back."""

import uuid

from django.db import models

from pitchline.desk.people.models import Business


class Undoable(models.Model):
    """Something done, in words, with what it takes to take it back."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    who = models.CharField(max_length=200)
    at = models.DateTimeField(auto_now_add=True)
    way = models.CharField(max_length=20)
    said = models.TextField()
    before = models.JSONField(default=dict)
    undone_at = models.DateTimeField(null=True)

    class Meta:
        """Newest first."""

        ordering = ("-at",)
        indexes = (models.Index(fields=("business", "-at"), name="undoable_of_business"),)

    def __str__(self) -> str:
        return self.said
