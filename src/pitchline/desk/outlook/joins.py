"""What this app joins when the desk starts: undoing."""

from pitchline.desk.outlook.actions import undo_keeping
from pitchline.desk.undo.actions import undoes

undoes("hours and ground", undo_keeping)
