"""What this app joins when the desk starts: work in the background, and what a machine's page tells."""

from pitchline.desk.machine.page_facts import tells
from pitchline.desk.machine.worker import drawn
from pitchline.desk.prices import costs_kept_plans
from pitchline.desk.worker import hire
from pitchline.desk.workplan.feed import make_ahead
from pitchline.desk.workplan.queries import decided
from pitchline.desk.workplan.repriced import kept_costs
from pitchline.desk.workplan.worker import PLANNER

tells("plan decided on", decided)
drawn.connect(lambda machine, **_: make_ahead(machine), weak=False)
costs_kept_plans(kept_costs)
hire(PLANNER)
