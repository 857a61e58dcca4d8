"""The plan of stops of one machine: the cheapest one, rules of thumb beside it, what would change it, when to look again.

See docs/explanation/plan-of-a-machine.md.
"""

import math
from dataclasses import replace

from pitchline.judge.bridged import Bridged
from pitchline.judge.instance import bridged
from pitchline.judge.next_walk import next_walk
from pitchline.judge.plan_inputs import PlanInputs
from pitchline.judge.sensitivity import HARDLY, Sensitivity, solved
from pitchline.judge.teller import CALLS_ASIDE, Teller
from pitchline.judge.what_if import all_new
from pitchline.judge.why import why
from pitchline.stops.plan import StopPlan
from pitchline.stops.recost import recost
from pitchline.stops.solver import Solver
from pitchline.stops.thumb import compared
from pitchline.verdict import MachinePlan, PlanRow


def machine_plan(asked: PlanInputs, what_ifs: bool = True) -> MachinePlan:
    """The cheapest set of stops for one machine.

    Parameters
    ----------
    asked : PlanInputs
        What it is made from.
    what_ifs : bool
        Whether to tell what would change it, too: by far the greater part of the work.

    Returns
    -------
    MachinePlan
        With its proof, or the bound it reached. The same for the same machine: its effort is counted, not timed.

    Raises
    ------
    NotAllowedError
        No price list, no limit entered, or nothing at all that can be planned.
    """
    whole, free, solver = _planned(bridged(asked))
    plan = solver.plan()
    teller = Teller(asked, whole, plan)
    ways = [teller.way(row) for row in compared(whole.by_thumb, plan)]
    # A rule of thumb that costs less does so because it lets calls wait, or renews or turns at a time nobody would.
    beside = [way for way in ways if way is ways[0] or way.cost >= plan.expected_cost]
    if free is not None:
        beside.insert(1, teller.way(compared(whole.plain, free)[0], CALLS_ASIDE))
    settings = asked.settings
    walk = next_walk(whole, plan, asked.outlook) if asked.outlook is not None else None
    told = MachinePlan(
        horizon_h=settings.horizon_h,
        step_h=settings.step_h,
        sell_at_h=settings.sell_at_h,
        currency=asked.prices.currency if asked.prices is not None else "",
        cost=plan.expected_cost,
        lower_bound=plan.lower_bound,
        proven=plan.proven,
        stops=teller.stops(),
        also=teller.also(),
        beside=tuple(beside),
        changes=(),
        measuring=(),
        next_walk_h=walk.best_h if walk is not None else 0.0,
        latest_walk_h=walk.latest_h if walk is not None else 0.0,
        walk_worth=walk.worth if walk is not None else 0.0,
        walk_part=whole.named[walk.deciding] if walk is not None and walk.deciding else None,
        below_new=None,
        idle=tuple(
            whole.named[part] for part in plan.components if part not in {row.component for row in plan.plan}
        ),
        left_out=whole.left_out,
        assumed=whole.assumed,
        tried=0,
        rows=tuple(PlanRow(row.component, row.job, row.step) for row in plan.plan),
    )
    told = replace(told, why=why(told, teller, free))
    if not what_ifs:
        return told
    other = Sensitivity(whole, plan, asked, solver.neighbour())
    changes, tried = other.changes()
    measuring, more = other.measuring()
    new = solved(all_new(whole.instance))
    below_new = plan.expected_cost - new.best.cost if new.closed else None
    return replace(told, changes=changes, measuring=measuring, below_new=below_new, tried=tried + more)


def _planned(whole: Bridged) -> tuple[Bridged, StopPlan | None, Solver]:
    """The plan held to the verdict's calls, and beside it the cheapest one that is not, where that does otherwise.

    What is called stop holds in both. Where the calls cannot all be kept together, those that can wait are left aside.
    """
    aside = whole.without_calls()
    free = solved(aside.instance)
    plan = free.plan()
    first = {row.component: row for row in reversed(plan.plan)}
    if all(
        part in first and first[part].job == held.job and first[part].step <= held.last_step
        for part, held in whole.held.items()
    ):
        return whole, None, free
    solver = solved(whole.instance)
    kept = solver.plan()
    if not math.isclose(recost(whole.plain, kept.done()), kept.expected_cost, rel_tol=1e-6, abs_tol=0.01):
        return aside, None, free
    saves = kept.expected_cost - plan.expected_cost
    return whole, plan if saves > HARDLY * abs(kept.expected_cost) else None, solver
