"""What this app joins when the desk starts: the address phones open, for what is printed."""

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.page_facts import tells
from pitchline.desk.phones.door import address_of, wanted


def address_for_phones(machine: Machine) -> str:
    """Of the door, while it stands open; empty else."""
    stands = wanted()
    return address_of(stands) if stands is not None else ""


tells("address for phones", address_for_phones)
