"""What this app joins when the desk starts: undoing."""

from pitchline.desk.undo.actions import undoes
from pitchline.desk.worth.actions import undo_asking

undoes("asking price", undo_asking)
