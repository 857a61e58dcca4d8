"""What this app joins when the desk starts: undoing."""

from pitchline.desk.machine.actions import undo_file
from pitchline.desk.undo.actions import undoes

undoes("machine file", undo_file)
