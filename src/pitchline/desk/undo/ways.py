"""How each kind of thing is taken back: a name to the function of the app that did it."""

from collections.abc import Callable
from typing import Any

from pitchline.desk.machine.archiving import undo_archive
from pitchline.desk.outlook.actions import undo_keeping
from pitchline.desk.people.who import Actor
from pitchline.desk.photos.actions import undo_removal
from pitchline.desk.walkround.putting_away import undo_put_away
from pitchline.desk.yard.taking_out import undo_import

WAYS: dict[str, Callable[[Actor, dict[str, Any]], str]] = {
    "archive": undo_archive,
    "put away": undo_put_away,
    "photo": undo_removal,
    "import": undo_import,
    "hours and ground": undo_keeping,
}
"""Each takes the actor and what was remembered, and says what it did."""
