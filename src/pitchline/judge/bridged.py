"""A machine as a stop instance, with what each part and job of the instance is on the machine.

See docs/explanation/plan-of-a-machine.md.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from pitchline.stops.instance import Component, StopInstance
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import Place


@dataclass(frozen=True, slots=True)
class Done:
    """What a job of an instance is on the machine.

    Parameters
    ----------
    kind : JobKind
        What is done.
    place : Place
        Where.
    pieces : int
        How many pieces it takes, from 1.
    """

    kind: JobKind
    place: Place
    pieces: int


@dataclass(frozen=True, slots=True)
class Passing:
    """What a limit passed in service costs: an unplanned stop, what it ruins hour by hour, and parts renewed as they break.

    Parameters
    ----------
    stop : float
        The unplanned stop with the machine standing [currency].
    damage : float
        Damage to other parts at once [currency].
    per_h : float
        Damage for each hour past the limit [currency/h], above zero.
    ruins : float
        The most that can be ruined [currency]; the part breaks where that is reached.
    broken_per_h : float
        From then on: new parts, and an unplanned stop for each, by their life as new [currency/h].
    """

    stop: float
    damage: float
    per_h: float
    ruins: float
    broken_per_h: float

    @property
    def at_once(self) -> float:
        """Loss when the limit is passed [currency]."""
        return self.stop + self.damage

    @property
    def breaks_h(self) -> float:
        """Hours past the limit at which the part breaks [h]."""
        return max(self.ruins - self.damage, 0.0) / self.per_h if self.per_h > 0 else np.inf

    def of(self, ruined: float, worth: float) -> "Passing":
        """The same for a piece of a part.

        Parameters
        ----------
        ruined, worth : float
            Its shares of what can be ruined, and of what is renewed when it breaks [1], above 0 to 1.
        """
        return Passing(
            self.stop, ruined * self.damage, ruined * self.per_h, ruined * self.ruins, worth * self.broken_per_h
        )


@dataclass(frozen=True, slots=True)
class Bridged:
    """A machine as a stop instance.

    Parameters
    ----------
    instance : StopInstance
        What is planned for.
    done : dict of (str, str) to Done or None
        What each job of each part is on the machine; None where another part's job stands for it.
    members : dict of str to tuple of int
        Places among the outlook's parts behind each part of the instance.
    passing : dict of str to Passing
        Loss when a part's limit is passed.
    left_out : tuple of str
        Parts that are not planned for, and why.
    assumed : tuple of str
        What had to be assumed, in sentences.
    held : dict of str to Held
        Parts with a job the verdict calls stop or book.
    unheld : StopInstance or None
        The same instance without the losses that hold every plan to those calls.
    early_per_h : dict of str to float
        What an hour of life thrown away costs, by part [currency/h].
    turning : dict of str to Turning
        For bushes on their first face: what is lost past the turn point.
    standing_per_h : tuple of float
        What an hour of the machine standing costs at each step [currency/h].
    apart : tuple of str
        Parts whose left and right are planned apart, and why.
    """

    instance: StopInstance
    done: dict[tuple[str, str], Done | None]
    members: dict[str, tuple[int, ...]]
    passing: dict[str, Passing]
    left_out: tuple[str, ...]
    assumed: tuple[str, ...]
    held: dict[str, "Held"] = field(default_factory=dict)
    unheld: StopInstance | None = None
    early_per_h: dict[str, float] = field(default_factory=dict)
    turning: dict[str, "Turning"] = field(default_factory=dict)
    standing_per_h: tuple[float, ...] = ()
    apart: tuple[str, ...] = ()

    @property
    def forced(self) -> frozenset[str]:
        """Parts that have to be renewed before the machine works again."""
        return frozenset(part for part, held in self.held.items() if held.last_step == 0 and held.stops)

    @property
    def plain(self) -> StopInstance:
        """The instance by which a plan is costed: without the losses that hold it to the verdict's calls."""
        return self.unheld or self.instance

    def without_calls(self) -> "Bridged":
        """The same held to what must not work on alone, whatever is booked."""
        return hold(replace(self, instance=self.plain), {part: self.held[part] for part in self.forced})


@dataclass(frozen=True, slots=True)
class Held:
    """What a call of the verdict holds a plan to: the part's first job, and when it is done at the latest.

    Parameters
    ----------
    job : str
        The job's word in the instance.
    last_step : int
        The last step at which it may be done, from 0.
    stops : bool
        Whether the machine must not work before it.
    """

    job: str
    last_step: int
    stops: bool


@dataclass(frozen=True, slots=True)
class Turning:
    """What bushes lose that are turned too late.

    Parameters
    ----------
    member : int
        Place of the forward face among the outlook's parts.
    lost_per_h : float
        Loss for each hour past the turn point, up to the limit [currency/h].
    rest_h : float
        Hours from the turn point to the limit, as expected [h].
    """

    member: int
    lost_per_h: float
    rest_h: float


_DEAR = 20.0
"""How many times its own cost a part loses that does not keep to its call: no plan takes that."""


def hold(whole: Bridged, held: Mapping[str, Held]) -> Bridged:
    """The same with losses no plan will take, so that every plan does what is called when it is called.

    Parameters
    ----------
    whole : Bridged
        The machine, held to nothing.
    held : mapping of str to Held
        By part.

    Returns
    -------
    Bridged
        With the instance it was made from beside it.
    """
    stop_cost = whole.instance.stop_cost[0]
    parts = tuple(_held(part, held.get(part.name), stop_cost) for part in whole.instance.components)
    return replace(
        whole, instance=replace(whole.instance, components=parts), held=dict(held), unheld=whole.instance
    )


def _held(part: Component, held: Held | None, stop_cost: float) -> Component:
    if held is None:
        return part
    first = part.stages[0]
    dear = _DEAR * (max(max(job.cost) for job in part.jobs) + sum(first.penalty_by_step) + stop_cost + 1.0)
    at = min(held.last_step, len(first.penalty_by_step) - 1)
    penalty = [loss + dear * (number == at) for number, loss in enumerate(first.penalty_by_step)]
    stages = (replace(first, penalty_by_step=tuple(penalty)), *part.stages[1:])
    jobs = tuple(
        replace(job, cost=tuple(cost + dear for cost in job.cost))
        if job.from_stage == 0 and job.name != held.job
        else job
        for job in part.jobs
    )
    return replace(part, stages=stages, jobs=jobs)
