"""Putting a walk-round away so that it can be undone: it goes back to what it was, finished or draft."""

import uuid
from typing import Any

from django.db import transaction

from pitchline.desk.people.who import Actor
from pitchline.desk.undo.actions import remember
from pitchline.desk.undo.models import Undoable
from pitchline.desk.walkround.finishing import restore_state, set_put_away
from pitchline.desk.walkround.models import Sheet
from pitchline.trade.errors import phrase
from pitchline.trade.writing import as_day
from pitchline.words import translated


def put_away(actor: Actor, *, sheet_id: uuid.UUID, why: str = "") -> Undoable | None:
    """What was done, to be undone for a day; None where the walk-round was put away already."""
    with transaction.atomic():
        before = (
            Sheet.objects.filter(business=actor.business, pk=sheet_id)
            .values_list("state", "date", "date_text")
            .first()
        )
        set_put_away(actor, sheet_id=sheet_id, away=True, why=why)
        if before is None or before[0] == Sheet.PUT_AWAY:
            return None
        said = translated("The walk-round of {day} is put away. Nothing of it is deleted.")
        said = said.format(day=as_day(before[1]) if before[1] else before[2] or translated("no day yet"))
        return remember(actor, way="put away", said=said, before={"sheet": str(sheet_id), "state": before[0]})


def undo_put_away(actor: Actor, before: dict[str, Any]) -> str:
    """What was taken back, in words."""
    sheet_id, state = uuid.UUID(before["sheet"]), before["state"]
    if not restore_state(actor, sheet_id=sheet_id, state=state, why=phrase("undone")):
        return translated("That walk-round is not put away any more.")
    return translated("Undone: the walk-round is back as it was, {state}.").format(state=state)
