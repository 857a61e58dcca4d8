"""What this app joins when the desk starts: undoing."""

from pitchline.desk.prices import UNDO, undo_prices
from pitchline.desk.undo.actions import undoes

undoes(UNDO, undo_prices)
