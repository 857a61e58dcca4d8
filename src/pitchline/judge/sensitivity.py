"""What would move a plan's first stop, and what knowing a part better would save: the same machine planned again, cheaply.

Every other machine differs from this one in one figure, so its search begins from this one's prices and stops. Most need no
search at all: a bound tells that the first stop stays, or that a better reading is worth hardly anything.

See docs/explanation/stops.md and docs/explanation/plan-of-a-machine.md.
"""

from dataclasses import dataclass

from pitchline.judge.bridged import Bridged
from pitchline.judge.plan_inputs import PlanInputs
from pitchline.judge.what_if import better_known, others
from pitchline.stops.instance import StopInstance
from pitchline.stops.plan import StopPlan
from pitchline.stops.solver import Neighbour, Solver
from pitchline.verdict import MeasureWorth, PlanChange

HARDLY = 0.005
"""Share of the plan's cost below which a reading is not worth naming: our own choice."""
ATTEMPTS, ATTEMPTS_AGAIN = 2, 1
"""How often a search tries, each time harder, for the plan and for what would change it: an effort, not a time, so that the same
machine always gets the same plan."""
NEARLY = 0.01
"""Share of the cost still open below which the plan is tried once more; further off that would take long and prove little."""
_ROUNDS = 12


def solved(instance: StopInstance, near: Neighbour | None = None) -> Solver:
    """The search for an instance, run to its proof or to the end of its effort.

    Parameters
    ----------
    instance : StopInstance
        What is planned for.
    near : Neighbour or None
        A solved instance that differs in a figure.
    """
    if near is not None:
        return _run(Solver(instance, near))
    solver = _run(Solver(instance), ATTEMPTS)
    return solver if solver.gap > NEARLY else _run(solver, 1)


def _run(solver: Solver, attempts: int = ATTEMPTS_AGAIN) -> Solver:
    for _ in range(attempts):
        if solver.closed:
            break
        solver.attempt()
    return solver


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """A plan under other figures.

    Parameters
    ----------
    whole : Bridged
        The machine as an instance.
    plan : StopPlan
        Its plan.
    asked : PlanInputs
        What it is made from.
    near : Neighbour
        What its search lends to the next.
    """

    whole: Bridged
    plan: StopPlan
    asked: PlanInputs
    near: Neighbour

    def changes(self) -> tuple[tuple[PlanChange, ...], int]:
        """Other figures, one at a time, that would move the first stop out of the hours within which it hardly matters."""
        found, tried = [], 0
        for other in others(self.whole, self.plan, self.asked.outlook, self.asked.prices):
            tried += 1
            solver = Solver(other.instance, self.near)
            if self._stays(solver):
                continue
            stops = _run(solver, ATTEMPTS).plan().stops
            first_h = stops[0].hour if stops else None
            if self._moved(first_h):
                found.append(PlanChange(other.said, first_h))
        return tuple(found), tried

    def _stays(self, solver: Solver) -> bool:
        if not self.plan.stops:
            return False
        first, step_h = self.plan.stops[0], self.whole.instance.step_h
        return solver.first_stop_stays(round(first.earliest_h / step_h), round(first.latest_h / step_h), _ROUNDS)

    def _moved(self, first_h: float | None) -> bool:
        if not self.plan.stops or first_h is None:
            return bool(self.plan.stops) != (first_h is not None)
        return not self.plan.stops[0].earliest_h <= first_h <= self.plan.stops[0].latest_h

    def measuring(self) -> tuple[tuple[MeasureWorth, ...], int]:
        """What knowing one part for sure would save, for the parts of the first two stops.

        Returns
        -------
        found : tuple of MeasureWorth
            The dearest first; none that is hardly worth anything.
        tried : int
            Instances tried.
        """
        found, tried, hardly = [], 0, HARDLY * abs(self.plan.expected_cost)
        for part, mixed, cases in better_known(self.whole, self.plan, self.asked.outlook):
            tried += 1 + len(cases)
            now = Solver(mixed, self.near)
            truths = [(weight, Solver(instance, self.near)) for weight, instance in cases]
            most = now.best.cost - sum(weight * one.bound_after(_ROUNDS) for weight, one in truths)
            if most <= hardly:
                continue
            worth = _run(now).best.cost - sum(weight * _run(one).best.cost for weight, one in truths)
            if worth > hardly:
                found.append(MeasureWorth(self.whole.named[part], worth))
        return tuple(sorted(found, key=lambda one: -one.worth)), tried
