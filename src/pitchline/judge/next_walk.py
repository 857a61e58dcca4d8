"""When to walk round a machine again: by what a reading is worth before the plan's jobs have to be settled.

See docs/explanation/plan-of-a-machine.md.
"""

from dataclasses import dataclass
from math import sqrt

import numpy as np

from pitchline.judge.bridged import Bridged
from pitchline.outlook.crossing import Crossing
from pitchline.outlook.machine import MachineOutlook
from pitchline.outlook.paths import FloatArray
from pitchline.stops.inspection import latest_walk_round_h, worth_of_reading
from pitchline.stops.plan import StopPlan
from pitchline.trade.jobs import JobKind

_CHOICES = 40
_LEAST = 1e-9


@dataclass(frozen=True, slots=True)
class NextWalk:
    """When to read the machine again.

    Parameters
    ----------
    latest_h : float
        Half the cautious hours until the first part that is not renewed now reaches its limit [h].
    best_h : float
        The hour at which a walk-round is worth most [h], never later than that.
    worth : float
        What it is worth then, by expectation [currency].
    deciding : str
        The part to which most of that is owed; empty where a reading settles nothing.
    """

    latest_h: float
    best_h: float
    worth: float
    deciding: str


@dataclass(frozen=True, slots=True)
class Waiting:
    """One part whose next job has still to be settled, its life left taken as normal.

    Parameters
    ----------
    name : str
        The part.
    mean : tuple of float
        Life used now [1] and wear an hour [1/h].
    cov : ndarray, shape (2, 2)
        Variances and covariance of life used [1] and of pace [1/h].
    level : float
        Life used at which the job is due [1].
    reading_u : float
        Standard uncertainty of one more reading [1].
    early_per_h, late_per_h : float
        Cost of an hour of life thrown away and of an hour past the due point [currency/h].
    settled_h : float
        Hour of its job in the plan [h]; a later reading comes too late.
    """

    name: str
    mean: tuple[float, float]
    cov: FloatArray
    level: float
    reading_u: float
    early_per_h: float
    late_per_h: float
    settled_h: float

    def worth_h(self, hour_h: float) -> float:
        """What a reading at an hour is worth.

        Parameters
        ----------
        hour_h : float
            Hours from now [h], zero or more.

        Returns
        -------
        float
            By expectation [currency]; 0 where it comes after the job.

        References
        ----------
        First-order spread of (level - wear) / pace, made narrower by one linear reading (normal updating, textbook), and the
        newsvendor's normal form; see docs/explanation/plan-of-a-machine.md.

        Examples
        --------
        >>> part = Waiting("roller", (0.5, 1e-4), np.diag([4e-4, 4e-10]), 1.0, 0.02, 0.1, 0.9, 4000.0)
        >>> part.worth_h(0.0) < part.worth_h(3500.0), part.worth_h(4500.0)
        (True, 0.0)
        """
        if hour_h >= self.settled_h:
            return 0.0
        wear, pace = self.mean
        life_h = (self.level - wear) / pace
        gain = np.array([1.0, life_h]) / pace
        seen = np.array([1.0, hour_h])
        before = float(gain @ self.cov @ gain)
        told = float(gain @ self.cov @ seen) ** 2 / (float(seen @ self.cov @ seen) + self.reading_u**2)
        after = max(before - told, 0.0)
        if before <= _LEAST or told <= _LEAST:
            return 0.0
        # The closed form takes the reading's own spread: the one that leaves this much.
        reading_h = sqrt(after * before / max(before - after, _LEAST))
        return worth_of_reading(life_h, sqrt(before), self.early_per_h, self.late_per_h, reading_h).reading


def next_walk(whole: Bridged, plan: StopPlan, outlook: MachineOutlook) -> NextWalk:
    """When to walk round a machine again.

    Returns
    -------
    NextWalk
        The last hour allowed where no reading settles anything.

    References
    ----------
    Half remaining life, as in API 570 and API 653 (quoted, not seen); closed form for each part alone, the worths of one
    walk-round added up. See docs/explanation/plan-of-a-machine.md.
    """
    now = {row.component for row in plan.plan if row.step == 0}
    names = [name for name in whole.members if name not in now]
    members = sorted({member for name in names for member in whole.members[name] if _read(outlook, member)})
    horizon_h = whole.instance.horizon_h
    cautious_h = outlook.first_at_limit(members).cautious if members else horizon_h
    latest_h = latest_walk_round_h(cautious_h, horizon_h)
    waiting = [part for part in (_waiting(whole, plan, outlook, name) for name in names) if part is not None]
    hours_h = np.linspace(0.0, latest_h, _CHOICES + 1)
    worth = np.array([[part.worth_h(float(hour)) for hour in hours_h] for part in waiting]).reshape(
        -1, hours_h.size
    )
    whole_worth = worth.sum(axis=0)
    best = int(whole_worth.argmax())
    if not whole_worth[best] > 0:
        return NextWalk(latest_h, latest_h, 0.0, "")
    return NextWalk(
        latest_h, float(hours_h[best]), float(whole_worth[best]), waiting[int(worth[:, best].argmax())].name
    )


def _read(outlook: MachineOutlook, member: int) -> bool:
    return bool(outlook.parts[member].life.traces)


def _waiting(whole: Bridged, plan: StopPlan, outlook: MachineOutlook, name: str) -> Waiting | None:
    """The part with the quantity that is due first; None where it has no job ahead or nothing is lost."""
    mine = [row for row in plan.plan if row.component == name]
    steps = [row.step for row in mine]
    members = [member for member in whole.members[name] if _read(outlook, member)]
    if not steps or not members:
        return None
    turning = whole.turning.get(name) if mine[0].job == JobKind.TURN.value else None
    member = turning.member if turning else min(members, key=lambda one: outlook.parts[one].to_limit.middle)
    row = outlook.rows[member]
    level = float(outlook.dues.level[row]) if turning else 1.0
    mean, cov = _moments(outlook.limits.of([row]))
    passing = whole.passing[name]
    spread_h = max(float(np.sqrt(cov[0, 0] + cov[1, 1] * ((level - mean[0]) / mean[1]) ** 2)) / mean[1], 1.0)
    early = whole.early_per_h[name]
    late = turning.lost_per_h if turning else passing.per_h + passing.at_once / spread_h
    if early <= 0 or late <= 0 or mean[0] >= level:
        return None
    reading_u = outlook.parts[member].life.traces[-1].life_used_u
    return Waiting(name, mean, cov, level, reading_u, early, late, steps[0] * whole.instance.step_h)


def _moments(one: Crossing) -> tuple[tuple[float, float], FloatArray]:
    """Means and covariance of wear now and pace to come."""
    weight = (one.weight[:, 0] / one.weight[:, 0].sum()).ravel()
    wear, var, pace = (x[:, 0].ravel() for x in (one.wear, one.wear_var, one.rate))
    mean = np.array([weight @ wear, weight @ pace])
    apart = np.stack((wear - mean[0], pace - mean[1]))
    cov = (weight * apart) @ apart.T
    cov[0, 0] += weight @ var
    return (float(mean[0]), float(mean[1])), np.asarray(cov)
