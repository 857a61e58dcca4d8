"""Which rows of a table are wanted."""

from typing import Any

from django.utils import timezone

from pitchline.desk.posts import MOST_FIGURE, Question, choice, words
from pitchline.desk.spoken import later
from pitchline.desk.tables.queries import Wanted
from pitchline.exchange.hours_rows import moment_of
from pitchline.trade.machine import MachineKind
from pitchline.words.names import named


class TableQuestion(Question):
    """Of which machines, and since when."""

    depot, customer = words(later("depot")), words(later("customer"))
    kind = choice(
        later("kind"), [("", later("every kind")), *((kind.value, later(named(kind))) for kind in MachineKind)]
    )
    changed_since = words(later("changed since"), MOST_FIGURE)

    def wanted(self) -> Wanted:
        """What was asked.

        Raises
        ------
        InputError
            A field that cannot be used.
        NotAllowedError
            No such moment.
        """
        said: dict[str, Any] = self.read()
        text = said["changed_since"]
        since = moment_of(text, timezone.get_current_timezone(), "changed since") if text else None
        return Wanted(said["depot"].strip(), said["customer"].strip(), said["kind"], since)
