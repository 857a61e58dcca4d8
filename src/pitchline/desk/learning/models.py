"""When the yard learns, and what came of it; what was learned stands in `bridge/constant_rows.py`."""

from django.db import models

from pitchline.desk.bridge.constant_rows import Constants as Constants
from pitchline.desk.people.models import Business


class LearningTurn(models.Model):
    """One for each business: who asks for it now, on which day it was last looked at by night, and what came of it."""

    business = models.OneToOneField(Business, on_delete=models.CASCADE, related_name="+")
    asked_at = models.DateTimeField(null=True)
    asked_by = models.CharField(max_length=200, blank=True)
    looked_on = models.DateField(null=True)
    learned_from = models.CharField(max_length=64, blank=True)
    came = models.JSONField(default=dict)
    came_at = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"learning of {self.business}"
