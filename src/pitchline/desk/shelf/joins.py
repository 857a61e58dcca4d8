"""What this app joins when the desk starts: what lies on the shelf for an order and for work that was done, and undoing."""

from pitchline.desk.machine.page_facts import tells
from pitchline.desk.machine.shelved import SHELVED, TO_TAKE
from pitchline.desk.shelf.actions import UNDO, undo_shelf
from pitchline.desk.shelf.queries import for_machine, on_shelf
from pitchline.desk.undo.actions import undoes

undoes(UNDO, undo_shelf)
tells(SHELVED, lambda asked: on_shelf(*asked))
tells(TO_TAKE, for_machine)
