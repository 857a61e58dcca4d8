"""What this app joins when the desk starts: what a machine's page tells."""

from pitchline.desk.gearbook.queries import anything_in
from pitchline.desk.machine.page_facts import tells

tells("anything in the book", lambda machine: anything_in(machine.business))
