"""What somebody from the trade may ask about a plan, answered each.

See docs/explanation/plan-of-a-machine.md.
"""

from pitchline.judge.bridged import Bridged
from pitchline.judge.teller import CALLS_ASIDE, Teller
from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.plan import PlannedJob, StopPlan
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.saying import Saying, saying
from pitchline.verdict import MachinePlan

_NEARLY_USED = 0.02
"""Share of the allowance left below which the pace is taken from a whole life: our own choice."""
MANY_PASSED = 1.0
"""Limits passed on average from which a plan without a stop owes an explanation: our own choice."""
CLOSE_H = 600.0
"""Stops closer to each other than this owe one [h]: our own choice."""


def why(told: MachinePlan, teller: Teller, free: StopPlan | None) -> tuple[Saying, ...]:
    """Answers to what looks odd in a plan.

    Parameters
    ----------
    told : MachinePlan
        The plan in words.
    teller : Teller
        The machine as an instance, the plan, and what it was made from.
    free : StopPlan or None
        The cheapest plan that leaves what is booked aside, where that does otherwise.

    Returns
    -------
    tuple of Saying
        None where nothing looks odd.
    """
    whole, plan = teller.whole, teller.plan
    answers = [
        _calls_aside(told, teller, free),
        _pointless(teller),
        _no_stop(told),
        _no_turn(whole, plan, teller.asked.outlook),
        _sprockets(whole, plan),
        _close(told),
    ]
    return tuple(one for one in answers if one is not None)


def _calls_aside(told: MachinePlan, teller: Teller, free: StopPlan | None) -> Saying | None:
    """What the cheapest plan would do with what is booked, were it not held to that."""
    if free is None:
        return None
    first = {row.component: row for row in reversed(free.plan)}
    other: dict[tuple[str, JobKind, float, PartKind], list[Place]] = {}  # the words hold places of one kind
    for part, held in teller.whole.held.items():
        row, asked = first.get(part), teller.whole.done[part, held.job]
        if asked is None or (row is not None and row.job == held.job and row.step <= held.last_step):
            continue
        done = teller.whole.done[row.component, row.job] if row is not None else None
        if row is None:
            key = (f"plan.left_{_WITHOUT.get(asked.kind, 'unrenewed')}", asked.kind, 0.0)
        elif row.job == held.job:
            key = ("plan.done_later", asked.kind, row.hour)
        else:
            kind = done.kind if done is not None else JobKind.REPLACE
            key = (f"plan.chain_{_WITHOUT.get(asked.kind, 'unrenewed')}", kind, row.hour)
        other.setdefault((*key, asked.place.part), []).append(asked.place)
    would = tuple(
        saying(code, job=kind, at_h=hour, places=tuple(dict.fromkeys(places)))
        for (code, kind, hour, _), places in other.items()
    )
    way = next(way for way in told.beside if way.name == CALLS_ASIDE)
    return saying("plan.calls_aside", currency=told.currency, saved=told.cost - way.cost, would=would)


_WITHOUT = {JobKind.TURN: "unturned", JobKind.RESHOE: "unshod"}


def _pointless(teller: Teller) -> Saying | None:
    """What the verdict asks for and the first lay-up makes pointless."""
    items = teller.pointless()
    if not items:
        return None
    named: dict[tuple[JobKind, PartKind], list[Place]] = {}
    for item in items:
        named.setdefault((item.job, item.place.part), []).append(item.place)
    jobs = tuple(saying("plan.job_at", job=kind, places=places) for (kind, _), places in named.items())
    return saying("plan.made_pointless", jobs=jobs)


def _no_stop(told: MachinePlan) -> Saying | None:
    if told.stops or not told.beside or told.beside[0].limits_passed < MANY_PASSED:
        return None
    mine = told.beside[0]
    stopping = [way.cost for way in told.beside[1:] if way.stops]
    currency = told.currency
    more = saying("plan.cheapest_other", currency=currency, amount=min(stopping) - mine.cost) if stopping else None
    lost = (
        saying("plan.at_a_loss_of", currency=currency, amount=mine.money.expected_loss)
        if mine.money is not None
        else None
    )
    return saying("plan.no_lay_up_pays", passed=mine.limits_passed, lost=lost, more=more)


def _no_turn(whole: Bridged, plan: StopPlan, outlook: MachineOutlook | None) -> Saying | None:
    """Bushes on their first face that are renewed without a turn."""
    first = {row.component: row for row in reversed(plan.plan)}
    unturned = [name for name in whole.turning if name in first and first[name].job != JobKind.TURN.value]
    if not unturned or outlook is None:
        return None
    row = first[unturned[0]]
    past_h = row.hour - _turn_point_h(outlook, whole.turning[unturned[0]].member)
    when = "past" if past_h > 0 else "before"
    return saying(f"plan.bushes_not_turned_{when}", at_h=row.hour, apart_h=abs(past_h))


def _turn_point_h(outlook: MachineOutlook, member: int) -> float:
    """Hours to the turn point, below zero for hours past it, at the pace that is expected to the limit."""
    part = outlook.parts[member]
    if part.due.middle > 0 and part.to_turn is not None:
        return part.due.middle
    turn_at, left = part.life.line.limit.turn_at, 1 - part.life_used
    usable = left > _NEARLY_USED and part.to_limit.middle > 0
    per_h = left / part.to_limit.middle if usable else 1 / part.whole_life_h[1]
    return (turn_at - part.life_used) / per_h


def _sprockets(whole: Bridged, plan: StopPlan) -> Saying | None:
    """Sprockets renewed before the chain and again with it."""
    rows = [row for row in plan.plan if _is(whole, row, PartKind.SPROCKET)]
    chains = [row.hour for row in plan.plan if _is(whole, row, PartKind.CHAIN)]
    alone = sorted({row.hour for row in rows if row.hour not in chains})
    for hour in alone:
        after = [chain for chain in chains if chain > hour]
        if after:
            if hour == 0:
                return saying("plan.sprockets_twice_now", chain_h=min(after))
            return saying("plan.sprockets_twice", at_h=hour, chain_h=min(after))
    return None


def _is(whole: Bridged, row: PlannedJob, part: PartKind) -> bool:
    done = whole.done[row.component, row.job]
    return done is not None and done.place.part is part and done.kind is JobKind.REPLACE


def _close(told: MachinePlan) -> Saying | None:
    """Two stops that lie close together."""
    for one, other in zip(told.stops, told.stops[1:], strict=False):
        if other.at_h - one.at_h < CLOSE_H:
            if one.at_h == 0:
                return saying("plan.close_at_once")
            return saying("plan.close", one_h=one.at_h, other_h=other.at_h)
    return None
