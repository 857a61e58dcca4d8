"""Which rows of a table are wanted."""

import datetime as dt
from typing import Any

from django import forms

from pitchline.desk.posts import Question, choice, words
from pitchline.desk.spoken import later
from pitchline.desk.tables.queries import Wanted
from pitchline.trade.machine import MachineKind
from pitchline.words.names import named


class TableQuestion(Question):
    """Of which machines, and since when."""

    depot, customer = words(later("depot")), words(later("customer"))
    kind = choice(
        later("kind"), [("", later("every kind")), *((kind.value, later(named(kind))) for kind in MachineKind)]
    )
    changed_since = forms.DateTimeField(required=False, label=later("changed since"))

    def wanted(self) -> Wanted:
        """What was asked.

        Raises
        ------
        InputError
            A field that cannot be used.
        """
        said: dict[str, Any] = self.read()
        since: dt.datetime | None = said["changed_since"]
        return Wanted(said["depot"].strip(), said["customer"].strip(), said["kind"], since)
