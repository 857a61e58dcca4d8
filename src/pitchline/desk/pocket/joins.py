"""What this app joins when the desk starts: what each kind of record does, undoing, and what a machine's page tells of it."""

from pitchline.desk.machine.page_facts import tells
from pitchline.desk.pocket import doing as doing
from pitchline.desk.pocket.look import many_waiting, undo_let_go
from pitchline.desk.undo.actions import undoes

undoes("brought", undo_let_go)
tells("brought by phones", lambda machine: many_waiting(machine.business, machine.pk))
tells("brought into the yard", many_waiting)
