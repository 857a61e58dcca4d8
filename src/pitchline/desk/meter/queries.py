"""Reading hours, always inside one business."""

import uuid

from django.db.models import Count, QuerySet
from django.http import Http404

from pitchline.desk.machine.models import Machine
from pitchline.desk.meter.models import Feed, MeterHours, SenderName
from pitchline.desk.people.models import Business


def asked_of(machine: Machine) -> int:
    """How many hours of a machine somebody has to say something about."""
    return machine.meterhours.filter(state=MeterHours.ASKED).count()


def asked_in(business: Business) -> int:
    """How many machines have hours somebody has to say something about, and names nobody matched."""
    asked = MeterHours.objects.filter(business=business, state=MeterHours.ASKED)
    return asked.values("machine").distinct().count() + unmatched(business).count()


def machines_asked(business: Business) -> list[tuple[Machine, int]]:
    """Machines with such hours, and how many each has."""
    asked = MeterHours.objects.filter(business=business, state=MeterHours.ASKED)
    counts = dict(asked.values_list("machine").annotate(n=Count("pk")).values_list("machine", "n"))
    found = Machine.objects.filter(business=business, pk__in=counts).order_by("name")
    return [(machine, counts[machine.pk]) for machine in found]


def unmatched(business: Business) -> QuerySet[SenderName]:
    """Names hours came under that nobody said anything of."""
    return SenderName.objects.filter(business=business, machine=None, ignored=False)


def matched(business: Business) -> QuerySet[SenderName]:
    """Names somebody said whose they are, or that they are nobody's here."""
    return (
        SenderName.objects.filter(business=business).exclude(machine=None, ignored=False).select_related("machine")
    )


def feeds_of(business: Business) -> QuerySet[Feed]:
    """Where hours are fetched from."""
    return Feed.objects.filter(business=business)


def feed_by(business: Business, feed_id: uuid.UUID) -> Feed:
    """One of them; not found where it is another business's."""
    found = feeds_of(business).filter(pk=feed_id).first()
    if found is None:
        raise Http404("No such feed in this yard.")
    return found
