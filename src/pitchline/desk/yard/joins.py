"""What this app joins when the desk starts: undoing, and the work in the background."""

from pitchline.desk.undo.actions import undoes
from pitchline.desk.worker import hire
from pitchline.desk.yard.taking_out import undo_import
from pitchline.desk.yard.worker import LISTS

undoes("import", undo_import)
hire(LISTS)
