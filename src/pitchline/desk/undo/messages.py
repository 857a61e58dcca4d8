"""A message with a button to undo what it tells."""

from django.contrib import messages
from django.http import HttpRequest

from pitchline.desk.undo.models import Undoable

MARK = "undo:"


def tell_undo(request: HttpRequest, said: str, undoable: Undoable | None) -> None:
    """Nothing comes out; the next page shows what was done, with an Undo button where there is something to undo."""
    messages.success(request, said, extra_tags=f"{MARK}{undoable.pk}" if undoable is not None else "")
