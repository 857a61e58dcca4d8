"""What this app joins when the desk starts: undoing."""

from pitchline.desk.undo.actions import undoes
from pitchline.desk.yard.taking_out import undo_import

undoes("import", undo_import)
