"""One row for each piece a person practised: what the scheduler keeps, and how often it was right."""

from typing import ClassVar

from django.db import models

from pitchline.desk.people.models import Business
from pitchline.desk.posts import MOST_NAME

KNOWN_DAYS = 21.0
"""A piece is known once it would still be remembered nine times in ten after as many days: our own choice."""


class Practised(models.Model):
    """A piece somebody practised. A person is known by the name the trail calls them."""

    business = models.ForeignKey(Business, on_delete=models.CASCADE, related_name="+")
    who = models.CharField(max_length=MOST_NAME)
    piece = models.CharField(max_length=80)
    card = models.JSONField()
    due_at = models.DateTimeField()
    last_at = models.DateTimeField()
    last_right = models.BooleanField()
    kept_days = models.FloatField()
    right = models.PositiveIntegerField(default=0)
    wrong = models.PositiveIntegerField(default=0)

    class Meta:
        """Each piece once for each person."""

        constraints: ClassVar = [
            models.UniqueConstraint(fields=("business", "who", "piece"), name="practised_once"),
        ]

    def __str__(self) -> str:
        return f"{self.piece}, {self.who}"

    @property
    def answered(self) -> int:
        """How often it was answered."""
        return self.right + self.wrong

    @property
    def is_known(self) -> bool:
        """Whether it would still be remembered after three weeks."""
        return self.last_right and self.kept_days >= KNOWN_DAYS
