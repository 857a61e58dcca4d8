"""What somebody from the trade may ask about a plan, answered in a sentence each.

See docs/explanation/plan-of-a-machine.md.
"""

from pitchline.judge.bridged import Bridged
from pitchline.judge.plan_inputs import PlanInputs
from pitchline.judge.words import places_in_words
from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.plan import PlannedJob, StopPlan
from pitchline.stops.work import in_a_hundred
from pitchline.trade.calls import Call
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind
from pitchline.trade.writing import as_figure
from pitchline.verdict import MachinePlan

MANY_PASSED = 1.0
"""Limits passed on average from which a plan without a stop owes an explanation: our own choice."""
CLOSE_H = 600.0
"""Stops closer to each other than this owe one [h]: our own choice."""


def why(told: MachinePlan, whole: Bridged, plan: StopPlan, asked: PlanInputs) -> tuple[str, ...]:
    """Answers to what looks odd in a plan.

    Parameters
    ----------
    told : MachinePlan
        The plan in words.
    whole : Bridged
        The machine as an instance.
    plan : StopPlan
        The plan itself.
    asked : PlanInputs
        What it was planned for: the calls and the hours left of each part.

    Returns
    -------
    tuple of str
        None where nothing looks odd.
    """
    said = [
        _booked_later(told, asked),
        _no_stop(told),
        _no_turn(whole, plan, asked.outlook),
        _sprockets(whole, plan),
        _close(told),
    ]
    return tuple(one for one in said if one)


def _booked_later(told: MachinePlan, asked: PlanInputs) -> str:
    """Jobs the calls book inside the window and the plan puts behind it."""
    window_h = asked.window_h
    later = {}
    for job in asked.jobs:
        at = [
            stop.at_h
            for stop in told.stops
            for one in stop.jobs
            if one.kind is job.kind and set(one.places) & set(job.places)
        ]
        if job.call is Call.BOOK and at and min(at) > window_h:
            later[f"{job.kind.label} {places_in_words(job.places)}"] = (min(at), job.chance_in_window)
    if not later:
        return ""
    named = "; ".join(
        f"{what} (a chance of {in_a_hundred(chance)}), here at {as_figure(at_h)} h"
        for what, (at_h, chance) in later.items()
    )
    return (
        f"The verdict books what may fall due inside the booking window: {named}. The plan weighs that chance against what a "
        "stop costs and waits; where a limit passed in service costs you more than the price list says, go by the verdict."
    )


def _money(told: MachinePlan, amount: float) -> str:
    return f"{told.currency} {as_figure(amount)}"


def _no_stop(told: MachinePlan) -> str:
    if told.stops or not told.beside or told.beside[0].limits_passed < MANY_PASSED:
        return ""
    mine = told.beside[0]
    stopping = [way.cost for way in told.beside[1:] if way.stops]
    more = (
        f" The cheapest other way that stops costs {_money(told, min(stopping) - mine.cost)} more."
        if stopping
        else ""
    )
    lost = f", at a loss of {_money(told, mine.money.losses)}" if mine.money is not None else ""
    return (
        f"No stop pays: up to the end {as_figure(mine.limits_passed, '.1f')} limits are passed on average{lost}, "
        f"which is less than stops and jobs would cost.{more} Read it again before then."
    )


def _no_turn(whole: Bridged, plan: StopPlan, outlook: MachineOutlook | None) -> str:
    """Bushes on their first face that are renewed without a turn."""
    first = {row.component: row for row in reversed(plan.plan)}
    unturned = [name for name in whole.turning if name in first and first[name].job != JobKind.TURN.value]
    if not unturned or outlook is None:
        return ""
    row = first[unturned[0]]
    due = outlook.parts[whole.turning[unturned[0]].member].due.middle
    return (
        f"Bushes are not turned: the chain is renewed at {as_figure(row.hour)} h in any case, "
        f"{as_figure(max(row.hour - due, 0.0))} h after their turn point, and a turn before it would cost more than the "
        "hours it adds."
    )


def _sprockets(whole: Bridged, plan: StopPlan) -> str:
    """Sprockets renewed before the chain and again with it."""
    rows = [row for row in plan.plan if _is(whole, row, PartKind.SPROCKET)]
    chains = [row.hour for row in plan.plan if _is(whole, row, PartKind.CHAIN)]
    alone = sorted({row.hour for row in rows if row.hour not in chains})
    for hour in alone:
        after = [chain for chain in chains if chain > hour]
        if after:
            return (
                f"Sprockets are renewed at {as_figure(hour)} h, because they would not last to the new chain, and again with it "
                f"at {as_figure(min(after))} h: a new chain on worn sprockets wears fast."
            )
    return ""


def _is(whole: Bridged, row: PlannedJob, part: PartKind) -> bool:
    done = whole.done[row.component, row.job]
    return done is not None and done.place.part is part and done.kind is JobKind.REPLACE


def _close(told: MachinePlan) -> str:
    """Two stops that lie close together."""
    for one, other in zip(told.stops, told.stops[1:], strict=False):
        if other.at_h - one.at_h < CLOSE_H:
            if one.at_h == 0:
                return (
                    "What must not work on is renewed before the machine works again; the next stop waits for parts with "
                    "hours left."
                )
            return (
                f"The stops at {as_figure(one.at_h)} and {as_figure(other.at_h)} h lie close: moving either to the other throws "
                "away more life, or risks more, than a stop costs. Where that is not so in your yard, raise the cost of a stop."
            )
    return ""
