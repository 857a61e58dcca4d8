"""What somebody from the trade may ask about a plan, answered in a sentence each.

See docs/explanation/plan-of-a-machine.md.
"""

from pitchline.judge.bridged import Bridged
from pitchline.judge.teller import CALLS_ASIDE, Teller
from pitchline.judge.words import places_in_words
from pitchline.outlook.machine import MachineOutlook
from pitchline.stops.plan import PlannedJob, StopPlan
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.writing import as_figure
from pitchline.verdict import MachinePlan

_NEARLY_USED = 0.02
"""Share of the allowance left below which the pace is taken from a whole life: our own choice."""
MANY_PASSED = 1.0
"""Limits passed on average from which a plan without a stop owes an explanation: our own choice."""
CLOSE_H = 600.0
"""Stops closer to each other than this owe one [h]: our own choice."""


def why(told: MachinePlan, teller: Teller, free: StopPlan | None) -> tuple[str, ...]:
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
    tuple of str
        None where nothing looks odd.
    """
    whole, plan = teller.whole, teller.plan
    said = [
        _calls_aside(told, teller, free),
        _pointless(teller),
        _no_stop(told),
        _no_turn(whole, plan, teller.asked.outlook),
        _sprockets(whole, plan),
        _close(told),
    ]
    return tuple(one for one in said if one)


def _calls_aside(told: MachinePlan, teller: Teller, free: StopPlan | None) -> str:
    """What the cheapest plan would do with what is booked, were it not held to that."""
    if free is None:
        return ""
    first = {row.component: row for row in reversed(free.plan)}
    other: dict[str, dict[Place, None]] = {}
    for part, held in teller.whole.held.items():
        row, asked = first.get(part), teller.whole.done[part, held.job]
        if asked is None or (row is not None and row.job == held.job and row.step <= held.last_step):
            continue
        done = teller.whole.done[row.component, row.job] if row is not None else None
        if row is None:
            what = f"leave {{}} until the end instead of {_doing(asked.kind)}"
        elif row.job == held.job:
            what = f"{asked.kind.label} {{}} at {as_figure(row.hour)} h only"
        else:
            kind = done.kind if done is not None else JobKind.REPLACE
            what = f"{kind.label} the chain of {{}} at {as_figure(row.hour)} h instead of {_doing(asked.kind)}"
        other.setdefault(what, {})[asked.place] = None
    would = "; ".join(what.format(places_in_words(tuple(places))) for what, places in other.items())
    way = next(way for way in told.beside if way.name == CALLS_ASIDE)
    return (
        f"The plan keeps to what the verdict books. Leaving that aside would cost {_money(told, told.cost - way.cost)} less, as "
        f"expected: {would}. That saves what a chance of passing a limit is reckoned at here; where you rather take the chance, "
        "put the lay-up there by hand."
    )


def _doing(kind: JobKind) -> str:
    return {JobKind.TURN: "turning them", JobKind.RESHOE: "re-shoeing"}.get(kind, "renewing them")


def _pointless(teller: Teller) -> str:
    """What the verdict asks for and the first lay-up makes pointless."""
    items = teller.pointless()
    if not items:
        return ""
    named: dict[JobKind, list[Place]] = {}
    for item in items:
        named.setdefault(item.job, []).append(item.place)
    what = "; ".join(f"{kind.label} {places_in_words(tuple(places))}" for kind, places in named.items())
    return f"Not done by itself, because the part is renewed at the first lay-up: {what}."


def _money(told: MachinePlan, amount: float) -> str:
    return f"{told.currency} {as_figure(amount)}"


def _no_stop(told: MachinePlan) -> str:
    if told.stops or not told.beside or told.beside[0].limits_passed < MANY_PASSED:
        return ""
    mine = told.beside[0]
    stopping = [way.cost for way in told.beside[1:] if way.stops]
    more = (
        f" The cheapest other way with a lay-up costs {_money(told, min(stopping) - mine.cost)} more."
        if stopping
        else ""
    )
    lost = f", at a loss of {_money(told, mine.money.losses)}" if mine.money is not None else ""
    return (
        f"No lay-up pays: up to the end {as_figure(mine.limits_passed, '.1f')} limits are passed on average{lost}, "
        f"which is less than lay-ups and jobs would cost.{more} Read it again before then."
    )


def _no_turn(whole: Bridged, plan: StopPlan, outlook: MachineOutlook | None) -> str:
    """Bushes on their first face that are renewed without a turn."""
    first = {row.component: row for row in reversed(plan.plan)}
    unturned = [name for name in whole.turning if name in first and first[name].job != JobKind.TURN.value]
    if not unturned or outlook is None:
        return ""
    row = first[unturned[0]]
    past_h = row.hour - _turn_point_h(outlook, whole.turning[unturned[0]].member)
    when = f"{as_figure(abs(past_h))} h {'past' if past_h > 0 else 'before'} their turn point"
    return (
        f"Bushes are not turned: the chain is renewed at {as_figure(row.hour)} h in any case, about {when}, and a turn before it "
        "would cost more than the hours it adds."
    )


def _turn_point_h(outlook: MachineOutlook, member: int) -> float:
    """Hours to the turn point, below zero for hours past it, at the pace that is expected to the limit."""
    part = outlook.parts[member]
    if part.due.middle > 0 and part.to_turn is not None:
        return part.due.middle
    turn_at, left = part.life.line.limit.turn_at, 1 - part.life_used
    usable = left > _NEARLY_USED and part.to_limit.middle > 0
    per_h = left / part.to_limit.middle if usable else 1 / part.whole_life_h[1]
    return (turn_at - part.life_used) / per_h


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
                    "What must not work on is renewed before the machine works again; the next lay-up waits for parts with "
                    "hours left."
                )
            return (
                f"The lay-ups at {as_figure(one.at_h)} and {as_figure(other.at_h)} h lie close: moving either to the other "
                "throws away more life, or risks more, than a lay-up costs. Where that is not so, raise the cost of one."
            )
    return ""
