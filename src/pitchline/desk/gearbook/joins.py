"""What this app joins when the desk starts: what a machine's page tells, and which prices are its own."""

from pitchline.desk.gearbook.queries import anything_in, gear_names
from pitchline.desk.machine.page_facts import tells
from pitchline.desk.prices import names_gear

tells("anything in the book", lambda machine: anything_in(machine.business))
names_gear(gear_names)
