"""Why a job is done at a lay-up and not at its own time, in money and hours.

See docs/explanation/plan-of-a-machine.md.
"""

from pitchline.judge.bridged import Bridged
from pitchline.outlook.hours_left import HoursLeft
from pitchline.stops.instance import RuleKind, implied
from pitchline.stops.plan import PlannedJob, StopPlan
from pitchline.stops.recost import recost
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.verdict import Joins

_HALF = 0.5


def joins(
    whole: Bridged, plan: StopPlan, layup: int, rows: list[PlannedJob], due: HoursLeft | None
) -> Joins | None:
    """What doing a job at its lay-up saves against its own time.

    Parameters
    ----------
    whole : Bridged
        The machine as an instance.
    plan : StopPlan
        The plan.
    layup : int
        Number of the lay-up, from 1.
    rows : list of PlannedJob
        The job at each of its places, all at one step.
    due : HoursLeft or None
        When the first of them is due; None for parts renewed before.

    Returns
    -------
    Joins or None
        None where that is its own time, or its own time is not known.
    """
    at, step_h = rows[0].step, whole.instance.step_h
    brings = _brought_by(whole, plan, rows)
    own_h = due.middle if due is not None else _anew_h(whole, plan, rows)
    if own_h is None and brings is None:
        return None
    inside = own_h is not None and own_h < whole.instance.horizon_h
    own = min(round(own_h / step_h), whole.instance.steps - 1) if own_h is not None and inside else None
    early_h = own_h - at * step_h if own_h is not None and inside else 0.0
    if own == at or (own is not None and abs(early_h) < step_h):
        return None
    if brings is not None:
        return Joins(layup, own_h if inside else None, early_h, None, *brings)
    saves = _saves(whole, plan, rows, own)
    return Joins(layup, own_h if inside else None, early_h, saves)


def _brought_by(whole: Bridged, plan: StopPlan, rows: list[PlannedJob]) -> tuple[JobKind, PartKind] | None:
    """The job at the same step that asks for this one by a rule."""
    mine, there = {(row.component, row.job) for row in rows}, _at(plan, rows[0].step)
    for rule in whole.instance.rules:
        if rule.kind is RuleKind.A_NEEDS_B and rule.b in mine and rule.a in there:
            done = whole.done[rule.a]
            return (done.kind, done.place.part) if done is not None else None
    return None


def _at(plan: StopPlan, step: int) -> set[tuple[str, str]]:
    return {(row.component, row.job) for row in plan.plan if row.step == step}


def _anew_h(whole: Bridged, plan: StopPlan, rows: list[PlannedJob]) -> float | None:
    """When the first of some parts renewed before is at its limit again, as likely as not; past the end where none is."""
    found = []
    for row in rows:
        part = next(one for one in whole.plain.components if one.name == row.component)
        if row.job == JobKind.TURN.value:
            return None
        stage, entered = 0, 0
        for before in plan.plan:
            if before.component == row.component and before.step < row.step:
                ways = (job for job in part.jobs if (job.name, job.from_stage) == (before.job, stage))
                stage, entered = next(ways).to_stage, before.step
        chances = part.stages[stage].prob_limit_by_step
        steps = next((age for age, chance in enumerate(chances) if chance >= _HALF), len(chances))
        found.append((entered + steps) * whole.instance.step_h)
    return min(found)


def _saves(whole: Bridged, plan: StopPlan, rows: list[PlannedJob], own: int | None) -> float | None:
    """What the plan costs more with a job, and what goes with it, at its own step or left out; None where that cannot be."""
    at, there = rows[0].step, _at(plan, rows[0].step)
    moving = {one for row in rows for one in implied((row.component, row.job), whole.instance.rules)} & there
    done: dict[str, list[tuple[str, int]]] = {part.name: [] for part in whole.instance.components}
    for row in plan.plan:
        step: int | None = row.step
        if row.step == at and (row.component, row.job) in moving:
            others = [one.step for one in plan.plan if one.component == row.component and one.step != at]
            before = max((one for one in others if one < at), default=-1)
            after = min((one for one in others if one > at), default=whole.instance.steps)
            step = own if own is None or own < after else None
            step = max(step, before + 1) if step is not None else None
        if step is not None:
            done[row.component].append((row.job, step))
    try:
        moved = recost(whole.plain, {name: sorted(jobs, key=lambda job: job[1]) for name, jobs in done.items()})
    except NotAllowedError:
        return None
    return moved - recost(whole.plain, plan.done())
