"""What this app joins when the desk starts: undoing, the work in the background, and what a machine's page tells of it."""

from pitchline.desk.machine.page_facts import tells
from pitchline.desk.meter.actions import UNDO, undo_hours
from pitchline.desk.meter.queries import asked_in, asked_of
from pitchline.desk.meter.worker import WORKER
from pitchline.desk.undo.actions import undoes
from pitchline.desk.worker import hire

undoes(UNDO, undo_hours)
hire(WORKER)
tells("hours asked about", asked_of)
tells("hours asked about in the yard", asked_in)
