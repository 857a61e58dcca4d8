"""Reading plans, always inside one business."""

import uuid

from django.http import Http404

from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.desk.workplan.question import PlanQuestion


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


def plan_for(machine: Machine, judgement: Judgement, asked: PlanQuestion) -> Plan | None:
    """The plan for this question, in whatever state it is and whatever units it tells; None where nobody asked it yet.

    Where it was not worked out for the judgement's day, the newest of an earlier day that rests on the same.
    """
    plans = Plan.objects.filter(machine=machine).select_related("judgement__prices")
    found = plans.filter(digest=asked.digest(judgement.footing, judgement.as_of)).first()
    if found is not None:
        return found
    earlier = plans.filter(state=Plan.DONE, judgement__footing=judgement.footing)
    return next((plan for plan in earlier if plan.asked == asked.typed), None)


def newest_plan(machine: Machine) -> Plan | None:
    """The newest plan that was worked out, of whichever judgement."""
    plans = Plan.objects.filter(machine=machine, state__in=(Plan.DONE, Plan.WANTED, Plan.WORKING))
    return plans.select_related("judgement__prices").first()


def decided_plan(machine: Machine) -> DecidedPlan | None:
    """The plan in force, if somebody decided on one."""
    return (
        DecidedPlan.objects.filter(machine=machine, put_away_at=None)
        .select_related("plan__judgement__prices")
        .first()
    )


def decided(machine: Machine) -> DecidedPlan | None:
    """Who decided on the plan in force, when and why; without the plan itself, which is large."""
    return DecidedPlan.objects.filter(machine=machine, put_away_at=None).only("who", "at", "why").first()
