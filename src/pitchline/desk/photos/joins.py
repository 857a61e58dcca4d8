"""What this app joins when the desk starts: undoing."""

from pitchline.desk.photos.actions import undo_removal
from pitchline.desk.undo.actions import undoes

undoes("photo", undo_removal)
