"""The same machine with one figure changed: other prices, other hours, parts known for sure, everything new."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from pitchline.judge.bridged import Bridged, too_dear
from pitchline.money.cost import job_cost
from pitchline.money.prices import PriceList
from pitchline.outlook.hours_left import HoursLeft
from pitchline.outlook.machine import MachineOutlook
from pitchline.outlook.paths import FloatArray
from pitchline.stops.instance import Component, Stage, StageJob, StopInstance
from pitchline.stops.plan import StopPlan
from pitchline.trade.jobs import JobKind
from pitchline.trade.saying import Saying, saying

MOST_PARTS = 4
SCENARIOS = ((0.3, "cautious"), (0.4, "middle"), (0.3, "hopeful"))
"""Weights of the 10, 50 and 90 % points that stand for a distribution: Swanson's rule, from memory."""


@dataclass(frozen=True, slots=True)
class Other:
    """An instance with one figure changed.

    Parameters
    ----------
    said : Saying
        Which figure, and what it would be.
    instance : StopInstance
        What is planned for then.
    """

    said: Saying
    instance: StopInstance


def others(
    whole: Bridged, plan: StopPlan, outlook: MachineOutlook | None, prices: PriceList | None
) -> Iterator[Other]:
    """One figure changed at a time, those that matter to the first stop first.

    Yields
    ------
    Other
        Cost of a stop, losses, prices of the first stop's jobs, and hours of its parts.
    """
    instance = whole.instance
    for which, times in (("half", 0.5), ("twice", 2.0)):
        other = replace(instance, stop_cost=tuple(times * cost for cost in instance.stop_cost))
        yield Other(saying(f"change.lay_up_at_{which}"), other)
    for which, times in (("half", 0.5), ("twice", 2.0)):
        parts = tuple(_with_losses(part, times) for part in instance.components)
        yield Other(saying(f"change.limits_passed_at_{which}"), replace(instance, components=parts))
    yield from _other_prices(whole, plan, prices)
    for name in _deciding(whole, plan, 1):
        due = _due(whole, outlook, name)
        for figure in ("cautious", "hopeful") if due is not None else ():
            hours_h = getattr(due, figure)
            changed = _known_to_last(whole, name, ((1.0, hours_h),))
            yield Other(saying(f"change.due_{figure}", part=whole.named[name], due_h=hours_h), changed)


def _with_losses(part: Component, times: float) -> Component:
    stages = tuple(
        replace(stage, penalty_by_step=tuple(times * loss for loss in stage.penalty_by_step))
        for stage in part.stages
    )
    return replace(part, stages=stages)


def _other_prices(whole: Bridged, plan: StopPlan, prices: PriceList | None) -> Iterator[Other]:
    """Prices of the first stop's jobs at the low and the high end of the list."""
    seen = set()
    first = plan.stop_steps[:1]
    for row in plan.plan:
        done = whole.done[row.component, row.job]
        if row.step not in first or done is None or (done.kind, done.place.part) in seen:
            continue
        seen.add((done.kind, done.place.part))
        cost = job_cost(prices, done.kind, done.place.part, 1, done.pieces)
        if cost.price is None or cost.price.usual <= 0:
            continue
        for end in ("low", "high"):
            less = getattr(cost.price, end) - cost.price.usual
            said = saying(f"change.at_{end}_price", job=done.kind, part=done.place.part)
            yield Other(said, _dearer(whole, done.kind.value, done.place.part.value, less))


def _dearer(whole: Bridged, word: str, part: str, by: float) -> StopInstance:
    def job_at(component: Component, job: StageJob) -> StageJob:
        done = whole.done[component.name, job.name]
        if done is None or (done.kind.value, done.place.part.value) != (word, part):
            return job
        return replace(job, cost=tuple(max(cost + by, 0.0) for cost in job.cost))

    components = tuple(
        replace(component, jobs=tuple(job_at(component, job) for job in component.jobs))
        for component in whole.instance.components
    )
    return replace(whole.instance, components=components)


def _deciding(whole: Bridged, plan: StopPlan, stops: int) -> list[str]:
    """Parts of the first stops, but for those that are renewed whatever a reading says."""
    steps = plan.stop_steps[:stops]
    there = dict.fromkeys(row.component for row in plan.plan if row.step in steps)
    return [name for name in there if name not in whole.held][:MOST_PARTS]


def _due(whole: Bridged, outlook: MachineOutlook | None, name: str) -> HoursLeft | None:
    members = whole.members.get(name, ())
    if outlook is None or not members:
        return None
    return min((outlook.parts[member].due for member in members), key=lambda due: due.middle)


def better_known(
    whole: Bridged, plan: StopPlan, outlook: MachineOutlook | None
) -> Iterator[tuple[str, StopInstance, list[tuple[float, StopInstance]]]]:
    """Parts of the first two stops as three possible truths, together and one by one.

    Yields
    ------
    part : str
        Which part.
    mixed : StopInstance
        The three possible truths together, as somebody knows it who cannot tell them apart.
    cases : list of (float, StopInstance)
        Each with its weight [1].

    References
    ----------
    Value of perfect information (textbook; Apostolakis, Engineering Risk Benefit Analysis, MIT 2007): what the best plan costs on
    average when the truth is known first, less what it costs when it is not.
    """
    for name in _deciding(whole, plan, 2):
        due = _due(whole, outlook, name)
        if due is None or due.hopeful - due.cautious < whole.instance.step_h:
            continue
        truths = [(weight, getattr(due, figure)) for weight, figure in SCENARIOS]
        cases = [(weight, _known_to_last(whole, name, ((1.0, hours_h),))) for weight, hours_h in truths]
        yield name, _known_to_last(whole, name, tuple(truths)), cases


def _known_to_last(whole: Bridged, name: str, truths: tuple[tuple[float, float], ...]) -> StopInstance:
    """A part whose limit, or turn point where it is turned, is reached at one of a few hours, each with its weight."""
    instance = whole.instance
    chance, penalty = np.zeros(instance.steps + 1), np.zeros(instance.steps)
    for weight, hours_h in truths:
        passed, loss = _loss_when_known(whole, name, hours_h)
        chance[1:] += weight * passed
        penalty += weight * loss
    changed = []
    for part, plain in zip(instance.components, whole.plain.components, strict=True):
        if part.name == name:
            last = int(np.argmax(chance[1:] >= 0.5))
            if part.jobs and whole.passing[name].at_limit and chance[-1] >= 0.5:
                penalty[last] += too_dear(plain, whole.plain)
            first = part.stages[0]
            chances = tuple(np.minimum(chance, 1.0).tolist())
            known = Stage(first.name, chances, tuple(penalty.tolist()), first.end_credit_by_age)
            part = _with_first(part, known)
        changed.append(part)
    return replace(instance, components=tuple(changed))


def _loss_when_known(whole: Bridged, name: str, due_h: float) -> tuple[FloatArray, FloatArray]:
    """Whether the limit is passed by the end of each step, and the loss in it, when the hour is known."""
    step_h, steps = whole.instance.step_h, whole.instance.steps
    edges_h = step_h * np.arange(steps + 1)
    passing = whole.passing[name]
    turning, limit_h, lost = whole.turning.get(name), due_h, np.zeros(steps + 1)
    if turning is not None:
        limit_h = due_h + turning.rest_h
        lost = turning.lost_per_h * np.clip(edges_h - due_h, 0.0, turning.rest_h)
    passed = ((edges_h >= limit_h) & (edges_h > 0)).astype(float)
    past_h = np.maximum(edges_h - limit_h, 0.0)
    broken_h = np.maximum(past_h - passing.breaks_h, 0.0)
    lost = (
        lost
        + passing.at_once * passed
        + passing.on_breaking * (broken_h > 0)
        + passing.per_h * (past_h - broken_h)
        + passing.broken_per_h * broken_h
    )
    return passed[1:], np.diff(lost)


def _with_first(part: Component, stage: Stage) -> Component:
    return replace(part, stages=(stage, *part.stages[1:]))


def all_new(instance: StopInstance) -> StopInstance:
    """The same machine with every planned part new today.

    Returns
    -------
    StopInstance
        What somebody would plan for whose running gear is new.
    """
    return replace(instance, components=tuple(_new(part) for part in instance.components))


def _new(part: Component) -> Component:
    """A part that begins in the stage its first job leads to."""
    renewing = next((job for job in part.jobs if job.name != JobKind.TURN.value), None)
    if renewing is None:
        return part
    new = renewing.to_stage
    moved = [replace(job, from_stage=job.from_stage + 1, to_stage=job.to_stage + 1) for job in part.jobs]
    first = [replace(job, from_stage=0, to_stage=job.to_stage + 1) for job in part.jobs if job.from_stage == new]
    begun = replace(part.stages[new], name="as new")
    return Component(part.name, (begun, *part.stages), (*first, *moved))
