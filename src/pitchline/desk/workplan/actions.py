"""Writing plans: asked for, worked out in the background, kept, put away."""

import uuid
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace

from django.db import IntegrityError, transaction
from django.dispatch import Signal
from django.utils import timezone

from pitchline.desk.bridge.figures import inputs_text
from pitchline.desk.constants import judged_learned
from pitchline.desk.machine.judging import take_from
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.who import Actor
from pitchline.desk.prices import judged_prices
from pitchline.desk.problems import in_language
from pitchline.desk.trail.actions import Told, note
from pitchline.desk.workplan.models import DecidedPlan, Plan
from pitchline.desk.workplan.question import PlanQuestion, asked_of, with_week
from pitchline.desk.workplan.stored import footing_of_row, packed_footing, packed_verdict, planned
from pitchline.exchange.figures import text_of
from pitchline.exchange.machine_file import machine_from_json
from pitchline.judge import judge
from pitchline.judge.plan_by_hand import moved_plan, steps_of
from pitchline.judge.whole import footing_of
from pitchline.trade.errors import InputError, NotAllowedError, phrase
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import as_figure, writing
from pitchline.words import translated

in_force = Signal()
"""A plan was worked out, kept or put away: `machine`, and `judgement` that its verdict is of, or None."""


class DecidedMeanwhileError(Exception):
    """Somebody else kept another plan meanwhile; theirs is in force."""

    def __init__(self, now: DecidedPlan | None) -> None:
        self.now = now
        super().__init__("kept meanwhile")


def ask_for(actor: Actor, *, machine: Machine, judgement: Judgement, asked: PlanQuestion) -> Plan:
    """The plan for a question: known already, or waiting to be worked out. Asked twice it is one; refused, it is tried anew."""
    take_from(judgement)
    plan, new = Plan.objects.get_or_create(
        machine=machine,
        digest=asked.digest(judgement.footing, judgement.as_of),
        defaults={
            "business": actor.business,
            "judgement": judgement,
            "asked": asked.typed,
            "who": actor.name,
        },
    )
    if not new and plan.state == Plan.REFUSED:
        Plan.objects.filter(pk=plan.pk, state=Plan.REFUSED).update(state=Plan.WANTED, because="")
    return plan


def work_out(plan: Plan) -> None:
    """Nothing comes out; afterwards the plan is done, or says what stands in its way. Computed outside any transaction."""
    begun = Plan.objects.filter(pk=plan.pk, state=Plan.WANTED).update(state=Plan.WORKING, begun_at=timezone.now())
    if begun != 1:
        return
    try:
        with writing(plan.business.writing):
            done = _worked_out(plan)
    except (InputError, NotAllowedError) as error:
        problems = error.problems if isinstance(error, InputError) else (error.problem,)
        said = " ".join(
            translated("{field}: {seen}. Allowed: {allowed}. {step}").format(
                field=one.field, seen=one.seen, allowed=one.allowed, step=_step(one.next_step)
            )
            for one in map(in_language, problems)
        )
        done = {"state": Plan.REFUSED, "because": said}
    except BaseException:
        leave_plan(plan.pk, translated("It failed on our side. Ask for it again."))
        raise
    with transaction.atomic():
        Plan.objects.filter(pk=plan.pk, state=Plan.WORKING).update(done_at=timezone.now(), **done)
        in_force.send(Plan, machine=plan.machine, judgement=plan.machine.judgement)


def leave_plan(plan_id: uuid.UUID, because: str) -> None:
    """Nothing comes out; a plan that was being worked out is refused, and says why."""
    Plan.objects.filter(pk=plan_id, state=Plan.WORKING).update(state=Plan.REFUSED, because=because)


def _step(text: str) -> str:
    """The next step without the shell's words."""
    return translated("Correct the figure.") if "--" in text else text


def _worked_out(plan: Plan) -> dict[str, object]:
    asked, judgement = asked_of(plan.asked, "point"), plan.judgement
    dossier = with_week(machine_from_json(inputs_text(judgement), "judged"), asked.week_h)
    prices = judged_prices(judgement)
    units, learned = UnitSystem(judgement.units), judged_learned(judgement)
    if asked.settings is None:
        raise AssertionError("a plan is only asked for with figures that can be used")
    verdict = judge(
        dossier,
        prices,
        judgement.as_of,
        units,
        learned=learned,
        planning=asked.settings,
    )
    footing = footing_of(dossier, prices, asked.settings, judgement.as_of, units, learned=learned)
    return {
        "state": Plan.DONE,
        "method": verdict.method,
        "version": verdict.version,
        "cost": verdict.plan.cost if verdict.plan is not None else None,
        "verdict_packed": packed_verdict(verdict),
        "footing_packed": packed_footing(footing),
    }


def work_out_waiting(at: Callable[[uuid.UUID], AbstractContextManager[bool]] = lambda _: nullcontext(True)) -> int:
    """How many plans were worked out; afterwards none that was asked for before still waits."""
    done = 0
    while (
        plan := Plan.objects.filter(state=Plan.WANTED)
        .select_related("judgement__prices", "judgement__constants")
        .last()
    ) is not None:
        with at(plan.pk):
            work_out(plan)
        done += 1
    return done


def take_up_again() -> None:
    """Nothing comes out; plans that were being worked out when the desk was stopped wait again."""
    Plan.objects.filter(state=Plan.WORKING).update(state=Plan.WANTED)


def keep_plan(
    actor: Actor, *, plan: Plan, steps: Sequence[int], seen_kept: uuid.UUID | None, why: str
) -> DecidedPlan:
    """The plan with its stops at these steps, in force from now on.

    Raises
    ------
    NotAllowedError
        No reason, or stops where they cannot be.
    DecidedMeanwhileError
        Somebody else kept or put away a plan since the page was opened.
    """
    if not text_of(why, "why").strip():
        raise NotAllowedError("why", translated("nothing"), "a few words", "Say why the work is planned so.")
    verdict, cheapest = planned(plan)
    if tuple(steps) != steps_of(cheapest):
        with writing(verdict.writing):
            verdict = replace(verdict, plan=moved_plan(footing_of_row(plan), verdict, steps))
    cost = verdict.plan.cost if verdict.plan is not None else cheapest.cost
    row = DecidedPlan(
        business=actor.business, machine_id=plan.machine_id, plan=plan, steps=list(steps), cost=cost,
        who=actor.name, why=why, verdict_packed=packed_verdict(verdict),
    )  # fmt: skip
    hours = ", ".join(f"{as_figure(step * cheapest.step_h)} h" for step in sorted(set(steps))) or phrase(
        "no lay-up"
    )
    try:
        with transaction.atomic():
            before = _put_away(actor, plan.machine_id, seen_kept)
            row.save(force_insert=True)
            note(actor, plan.machine_id, [Told(phrase("work plan kept"), before, hours, why)])
            in_force.send(DecidedPlan, machine=plan.machine, judgement=plan.machine.judgement)
    except IntegrityError:
        raise DecidedMeanwhileError(
            DecidedPlan.objects.filter(machine=plan.machine_id, put_away_at=None).first()
        ) from None
    return row


def put_away(actor: Actor, *, machine: Machine, seen_kept: uuid.UUID | None) -> None:
    """Nothing comes out; afterwards no plan is in force.

    Raises
    ------
    DecidedMeanwhileError
        Another plan is in force by now.
    """
    with transaction.atomic():
        before = _put_away(actor, machine.pk, seen_kept)
        if before:
            note(actor, machine.pk, [Told(phrase("work plan put away"), before)])
            in_force.send(DecidedPlan, machine=machine, judgement=machine.judgement)


def _put_away(actor: Actor, machine_id: uuid.UUID, seen_kept: uuid.UUID | None) -> str:
    """What was in force, in words; the row is only marked."""
    machine = Machine.objects.select_for_update().get(business=actor.business, pk=machine_id)
    now = DecidedPlan.objects.filter(machine=machine, put_away_at=None).first()
    if (now.pk if now is not None else None) != seen_kept:
        raise DecidedMeanwhileError(now)
    if now is None:
        return ""
    DecidedPlan.objects.filter(pk=now.pk).update(put_away_at=timezone.now())
    return phrase("kept by {who}: {why}", who=now.who, why=now.why)
