"""Judging a machine and keeping the judgement: read, compute with the core, then a short transaction that writes."""

import uuid
from collections.abc import Callable

from django.db import transaction

from pitchline.desk.bridge.figures import LIST_FIELDS, digest_of, judgement_row, set_figures, verdict_of
from pitchline.desk.bridge.machines import NO_GEAR, file_text_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.people.who import Actor
from pitchline.desk.yard.models import PriceFile
from pitchline.desk.yard.prices import newest_prices, prices_of
from pitchline.judge import judge
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Verdict

NO_WALK_ROUND = "there is no finished walk-round yet"


def judge_machine(actor: Actor, machine_id: uuid.UUID) -> Judgement | None:
    """The machine's newest judgement, made now unless the same inputs were judged before; None where it cannot be judged.

    What stands in the way is kept beside the machine in words. A machine that was changed meanwhile stays marked for judging.
    """
    machine = Machine.objects.select_related("business").get(business=actor.business, pk=machine_id)
    prices = newest_prices(actor.business)
    try:
        dossier = dossier_of(machine)
        if dossier is None or not dossier.walk_rounds:
            _write(machine, None, NO_WALK_ROUND if dossier else NO_GEAR)
            return None
        judgement, verdict = _judgement(actor, machine, dossier, prices)
    except (InputError, NotAllowedError) as error:
        problems = error.problems if isinstance(error, InputError) else (error.problem,)
        _write(machine, None, " ".join(str(problem) for problem in problems))
        return None
    set_figures(machine, verdict)
    return _write(machine, judgement, "")


def _judgement(
    actor: Actor, machine: Machine, dossier: Dossier, prices: PriceFile | None
) -> tuple[Judgement, Verdict]:
    inputs, units = file_text_of(dossier), machine.business.units
    digest = digest_of(inputs, prices.digest if prices else "", units)
    known = Judgement.objects.filter(machine=machine, digest=digest).first()
    if known is not None:
        return known, verdict_of(known)
    verdict = judge(dossier, prices_of(prices) if prices else None, None, UnitSystem(units))
    judgement = judgement_row(verdict, inputs, digest, units)
    judgement.business, judgement.machine, judgement.who, judgement.prices = (
        actor.business,
        machine,
        actor.name,
        prices,
    )
    return judgement, verdict


def _write(machine: Machine, judgement: Judgement | None, because: str) -> Judgement | None:
    """Write a judgement and the list's figures, unless the machine was marked again since it was read."""
    with transaction.atomic():
        if judgement is not None and judgement._state.adding:
            judgement, _ = Judgement.objects.get_or_create(
                machine=machine,
                digest=judgement.digest,
                defaults={
                    field.name: getattr(judgement, field.name)
                    for field in Judgement._meta.concrete_fields
                    if field.name not in ("machine", "digest", "made_at")
                },
            )
        figures = {name: getattr(machine, name) for name in LIST_FIELDS} if judgement is not None else {}
        if judgement is None:
            figures = {"call": "", "call_rank": -1, "due_said": "", "due_middle_h": None, "money_usual": None}
            figures |= {"due_cautious_h": None, "due_hopeful_h": None, "due_on": None}
            figures |= {"stake": "", "looked_at": None, "looked_of": None}
        Machine.objects.filter(pk=machine.pk, marked=machine.marked).update(
            judgement=judgement, to_judge=False, not_judged_because=because, **figures
        )
    return judgement


def waiting(limit: int = 100) -> list[Machine]:
    """Machines marked for judging, oldest first."""
    found = Machine.objects.filter(to_judge=True).select_related("business").order_by("created_at")
    return list(found[:limit])


def _still_waiting(machine: Machine) -> Machine | None:
    """The machine and its business as they are by now; None where a page was faster."""
    return Machine.objects.select_related("business").filter(pk=machine.pk, to_judge=True).first()


def judge_waiting(then: Callable[[Machine, Judgement], None] | None = None) -> int:
    """How many machines were judged; afterwards none that was marked before is still marked.

    With `then`, what else to do with each machine and its new judgement.
    """
    judged = 0
    while batch := waiting():
        for machine in (one for each in batch if (one := _still_waiting(each)) is not None):
            judgement = judge_machine(Actor(machine.business, "this desk"), machine.pk)
            judged += 1
            if then is not None and judgement is not None:
                then(machine, judgement)
    return judged
