"""Which machine a code names, inside one business."""

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.queries import machines_of
from pitchline.desk.machine.sheet_code import Named
from pitchline.desk.people.models import Business
from pitchline.desk.walkround.models import Sheet


def machines_named(business: Business, named: Named) -> list[Machine]:
    """One, as a rule; two where their ids begin alike."""
    return list(machines_of(business).filter(pk__gte=named.first, pk__lte=named.last).order_by("name"))


def sheet_begun(named: Named, machine: Machine) -> Sheet | None:
    """The walk-round begun from this sheet; none yet."""
    return Sheet.objects.filter(machine=machine, pk=named.sheet_id(machine)).first()
