"""What this app joins when the desk starts: undoing."""

from pitchline.desk.undo.actions import undoes
from pitchline.desk.workdone.actions import undo_work

undoes("work done", undo_work)
