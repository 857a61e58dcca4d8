"""A machine as a stop instance, with what each part and job of the instance is on the machine.

See docs/explanation/plan-of-a-machine.md.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pitchline.stops.instance import Component, StageJob, StopInstance
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind, Place
from pitchline.trade.saying import Saying


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
        Damage for each hour past the limit [currency/h].
    ruins : float
        The most that can be ruined [currency]; the part breaks where that is reached.
    stopped_per_h, renewed_per_h : float
        From then on, by the life of new ones: an unplanned stop for each, and its price [currency/h].
    at_limit : bool
        Whether the limit itself stops the machine; what is only worn out there works on until it breaks.
    """

    stop: float
    damage: float
    per_h: float
    ruins: float
    stopped_per_h: float
    renewed_per_h: float
    at_limit: bool

    @property
    def at_once(self) -> float:
        """Loss when the limit is passed [currency]."""
        return self.damage + self.stop * self.at_limit

    @property
    def broken_per_h(self) -> float:
        """Cost of an hour after it broke: unplanned stops and new parts [currency/h]."""
        return self.stopped_per_h + self.renewed_per_h

    @property
    def on_breaking(self) -> float:
        """Loss when the part breaks [currency]."""
        return self.stop * (not self.at_limit)

    @property
    def breaks_h(self) -> float:
        """Hours past the limit at which the part breaks [h]; at once where nothing more can be ruined."""
        return max(self.ruins - self.damage, 0.0) / self.per_h if self.per_h > 0 else 0.0

    def of(self, ruined: float) -> "Passing":
        """The same for a piece of a part that is renewed whole.

        Parameters
        ----------
        ruined : float
            Its share of what can be ruined [1], 0 to 1.
        """
        damage, per_h, ruins = (ruined * figure for figure in (self.damage, self.per_h, self.ruins))
        return replace(self, damage=damage, per_h=per_h, ruins=ruins)


@dataclass(frozen=True, slots=True)
class Bridged:
    """A machine as a stop instance.

    Parameters
    ----------
    instance : StopInstance
        What is planned for.
    done : dict of (str, str) to Done or None
        What each job of each part is on the machine; None where another part's job stands for it.
    named : dict of str to Saying
        What each part is called.
    members : dict of str to tuple of int
        Places among the outlook's parts behind each part of the instance.
    passing : dict of str to Passing
        Loss when a part's limit is passed.
    left_out : tuple of Saying
        Parts that are not planned for, and why.
    assumed : tuple of Saying
        What had to be assumed.
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
    apart : tuple of PartKind
        Parts whose left and right are planned apart.
    renewals : dict of (str, int) to tuple of float
        By part and stage: how much of each step's loss is for new parts after the first broke [currency].
    not_before : dict of (str, str, int) to int
        By part, job and stage it starts from: the first step at which enough of its life is used.
    turn_by : dict of str to int
        For bushes on their first face: the last step at which a turn is still worth doing.
    stop_by : dict of (str, int) to int
        By part and stage: the last step, from the stage's begin, at which it is likelier than not still short of a limit that
        stops the machine.
    """

    instance: StopInstance
    done: dict[tuple[str, str], Done | None]
    named: dict[str, Saying]
    members: dict[str, tuple[int, ...]]
    passing: dict[str, Passing]
    left_out: tuple[Saying, ...]
    assumed: tuple[Saying, ...]
    held: dict[str, "Held"] = field(default_factory=dict)
    unheld: StopInstance | None = None
    early_per_h: dict[str, float] = field(default_factory=dict)
    turning: dict[str, "Turning"] = field(default_factory=dict)
    standing_per_h: tuple[float, ...] = ()
    apart: tuple[PartKind, ...] = ()
    renewals: dict[tuple[str, int], tuple[float, ...]] = field(default_factory=dict)
    not_before: dict[tuple[str, str, int], int] = field(default_factory=dict)
    turn_by: dict[str, int] = field(default_factory=dict)
    stop_by: dict[tuple[str, int], int] = field(default_factory=dict)

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

    @property
    def by_thumb(self) -> StopInstance:
        """The instance rules of thumb are tried on: held to what must not work on, and to nothing else."""
        free = replace(self, instance=self.plain, not_before={}, turn_by={}, stop_by={})
        return hold(free, {part: self.held[part] for part in self.forced}).instance


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
    """The same with losses no plan will take: calls are kept, those to come too, and nothing is done far too early or too late.

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
    parts = tuple(_held(part, whole, held.get(part.name)) for part in whole.instance.components)
    return replace(
        whole, instance=replace(whole.instance, components=parts), held=dict(held), unheld=whole.instance
    )


def _held(part: Component, whole: Bridged, held: Held | None) -> Component:
    """One part with its losses: past its call's last step, for another job than that, and for one that comes too early."""
    if not part.jobs:
        return part
    dear = too_dear(part, whole.plain)

    def job_held(job: StageJob) -> StageJob:
        called = held is not None and job.from_stage == 0
        early = 0 if called else whole.not_before.get((part.name, job.name, job.from_stage), 0)
        late = whole.instance.steps
        if held is None and (job.name, job.from_stage) == (JobKind.TURN.value, 0):
            late = whole.turn_by.get(part.name, late)
        other = held is not None and called and job.name != held.job
        cost = tuple(one + dear * (other or not early <= step <= late) for step, one in enumerate(job.cost))
        return replace(job, cost=cost)

    last = {stage: _last_step(part, whole, stage) for stage in range(len(part.stages))}
    if held is not None:
        last[0] = min(held.last_step, whole.instance.steps - 1)
    stages = tuple(
        replace(
            stage,
            penalty_by_step=tuple(one + dear * (age == last[at]) for age, one in enumerate(stage.penalty_by_step)),
        )
        for at, stage in enumerate(part.stages)
    )
    return replace(part, stages=stages, jobs=tuple(job_held(job) for job in part.jobs))


def too_dear(part: Component, instance: StopInstance) -> float:
    """A loss that no plan will take, of a part that has jobs.

    Parameters
    ----------
    part : Component
        The part, held to nothing.
    instance : StopInstance
        What it stands in.

    Returns
    -------
    float
        Many times what the part can cost [currency].
    """
    most = max(max(job.cost) for job in part.jobs)
    return _DEAR * (most + sum(part.stages[0].penalty_by_step) + instance.stop_cost[0] + 1.0)


def _last_step(part: Component, whole: Bridged, stage: int) -> int | None:
    """The last step in a stage, where the verdict would call stop past it; never before the first job out of it may be done."""
    last = whole.stop_by.get((part.name, stage))
    sooner = [
        whole.not_before.get((part.name, job.name, stage), 0) for job in part.jobs if job.from_stage == stage
    ]
    return max(last, min(sooner)) if last is not None and sooner else None
