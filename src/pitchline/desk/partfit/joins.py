"""What this app joins when the desk starts: undoing."""

from pitchline.desk.partfit.actions import UNDO, undo_table
from pitchline.desk.undo.actions import undoes

undoes(UNDO, undo_table)
