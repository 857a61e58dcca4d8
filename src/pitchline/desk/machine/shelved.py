"""What of an order lies on the yard's shelf, as the app that keeps the shelf tells it."""

from collections.abc import Sequence
from dataclasses import replace

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.page_facts import told
from pitchline.papers.stop import PlannedStop
from pitchline.stops.order import OrderList

KEPT, PLANNED, BESIDES = "kept", "planned", "besides"
"""The lay-ups of a kept plan; a plan that would stand in its place; something besides all that is kept."""
SHELVED, TO_TAKE = "shelved", "takeable"


def shelved(machine: Machine, orders: Sequence[OrderList], way: str) -> list[OrderList]:
    """Orders of a machine with what lies on the shelf for each; as they were where nobody keeps a shelf."""
    found = told(SHELVED, (machine, orders, way))
    return found if isinstance(found, list) else list(orders)


def stops_shelved(machine: Machine, stops: Sequence[PlannedStop], way: str) -> list[PlannedStop]:
    """The same of lay-ups, one after the other: what one takes the next does not find."""
    orders = shelved(machine, [stop.order for stop in stops], way)
    return [replace(stop, order=order) for stop, order in zip(stops, orders, strict=True)]
