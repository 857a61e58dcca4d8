"""Rows of machines as whoever asks may see them: only of the depots they are held to, where they are held to any."""

from typing import Any, TypeVar

from django.db import models

from pitchline.desk.people.who import depots_seen

_Row = TypeVar("_Row", bound=models.Model)


class HeldManager(models.Manager[_Row]):
    """Reads rows of the depots whoever asks is held to; the desk's own work in the background reads all.

    Every query goes through it, that of a related name too, so none can forget: what stands at another depot is not found. The
    way to the depot stands at the model, as `HELD_BY`: a related name makes a manager of its own, and hands this one nothing.
    """

    def get_queryset(self) -> Any:
        """The rows."""
        rows, depots = super().get_queryset(), depots_seen()
        return (
            rows
            if depots is None
            else rows.filter(**{f"{getattr(self.model, 'HELD_BY', 'machine__depot')}__in": depots})
        )
