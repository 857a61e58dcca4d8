"""One row for every change."""

from django.db import models

from pitchline.desk.people.models import Business

TEXTS = ("what", "before", "after", "why")


class Change(models.Model):
    """What was changed: who, when, from, to, why. Rows are only ever added."""

    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="changes")
    machine_id = models.UUIDField(null=True)
    at = models.DateTimeField(auto_now_add=True)
    who = models.CharField(max_length=200)
    what = models.TextField()
    before = models.TextField(blank=True)
    after = models.TextField(blank=True)
    why = models.TextField(blank=True)
    said = models.JSONField(default=dict)
    """English pattern and values of each text that is ours: what somebody typed has none, nor has a row of before 0.7.0."""

    class Meta:
        """Newest first, machine by machine."""

        ordering = ("-id",)
        indexes = (models.Index(fields=("business", "machine_id", "-id"), name="change_of_machine"),)

    def __str__(self) -> str:
        return f"{self.who}: {self.what}"
