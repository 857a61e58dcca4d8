"""What this app joins when the desk starts: undoing."""

from pitchline.desk.freequote.actions import UNDO, undo_quote
from pitchline.desk.undo.actions import undoes

undoes(UNDO, undo_quote)
