"""Reading plans, always inside one business."""

import uuid

from django.http import Http404

from pitchline.desk.bridge.figures import footing_digest
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.workplan.asked import Asked
from pitchline.desk.workplan.models import KeptPlan, Plan


def plan_of(business: Business, machine_id: uuid.UUID, plan_id: uuid.UUID) -> Plan:
    """One finished plan; not found where it is another machine's or another business's."""
    found = (
        Plan.objects.select_related("machine", "judgement__prices")
        .filter(business=business, machine_id=machine_id, pk=plan_id, state=Plan.DONE)
        .first()
    )
    if found is None:
        raise Http404("No such plan.")
    return found


def plan_for(machine: Machine, judgement: Judgement, asked: Asked) -> Plan | None:
    """The plan for this question, in whatever state it is and whatever units it tells; None where nobody asked it yet."""
    return Plan.objects.filter(machine=machine, digest=asked.digest(footing_digest(judgement))).first()


def newest_plan(machine: Machine) -> Plan | None:
    """The newest plan that was worked out, of whichever judgement."""
    return Plan.objects.filter(machine=machine, state__in=(Plan.DONE, Plan.WANTED, Plan.WORKING)).first()


def kept_plan(machine: Machine) -> KeptPlan | None:
    """The plan in force, if somebody decided on one."""
    return (
        KeptPlan.objects.filter(machine=machine, put_away_at=None)
        .select_related("plan__judgement__prices")
        .first()
    )


def decided(machine: Machine) -> KeptPlan | None:
    """Who decided on the plan in force, when and why; without the plan itself, which is large."""
    return KeptPlan.objects.filter(machine=machine, put_away_at=None).only("who", "at", "why").first()
