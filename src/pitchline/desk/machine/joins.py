"""What this app joins when the desk starts: undoing, and the work in the background."""

from pitchline.desk.machine.actions import undo_about
from pitchline.desk.machine.archiving import undo_archive
from pitchline.desk.machine.worker import WORKER
from pitchline.desk.undo.actions import undoes
from pitchline.desk.worker import hire

undoes("about", undo_about)
undoes("archive", undo_archive)
hire(WORKER)
