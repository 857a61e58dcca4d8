"""What was learned of a yard's wear, or brought in as a file: each stays, so that an old judgement keeps its constants."""

import uuid

from django.db import models

from pitchline.desk.people.models import Business


class Constants(models.Model):
    """One set of constants, as the text of a constants file, with what it rests on; a proposal until somebody uses it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    name = models.CharField(max_length=200, blank=True)
    text = models.TextField()
    digest = models.CharField(max_length=64)
    learned_on = models.DateField()
    at = models.DateTimeField(auto_now_add=True)
    who = models.CharField(max_length=200, blank=True)
    rests_on = models.JSONField(default=dict)
    used_at = models.DateTimeField(null=True)
    used_by = models.CharField(max_length=200, blank=True)
    taken_back_at = models.DateTimeField(null=True)

    class Meta:
        """Newest first. The one used last that was not taken back is in force."""

        app_label = "learning"
        ordering = ("-at",)

    def __str__(self) -> str:
        return self.name or f"learned on {self.learned_on}"

    @property
    def is_brought(self) -> bool:
        """Whether it came as a file; else it was learned here."""
        return bool(self.name)

    @property
    def in_use(self) -> bool:
        """Whether somebody took it into use, and nobody took it back."""
        return self.used_at is not None and self.taken_back_at is None
