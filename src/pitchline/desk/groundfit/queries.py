"""Machines to compare with, always inside one business."""

import uuid

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machines_of
from pitchline.desk.people.models import Business

MOST_LISTED = 200
"""Machines in the list to pick from; any other of the yard can be asked for by its address."""


def others_of(business: Business, machine: Machine) -> list[Machine]:
    """Machines with running gear, by name, as many as the list holds."""
    known = machines_of(business).exclude(file_text="").exclude(pk=machine.pk).filter(archived_at=None)
    return list(known.order_by("name").only("id", "name")[:MOST_LISTED])


def other_of(business: Business, text: str) -> Machine | None:
    """One machine of the yard by its id as typed; None where there is no such one, or another business has it."""
    try:
        machine_id = uuid.UUID(text)
    except ValueError:
        return None
    return machines_of(business).exclude(file_text="").filter(pk=machine_id).first()
