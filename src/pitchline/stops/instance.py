"""A planning instance: what wears, what may be done, what it costs, and what must go together.

See docs/reference/stop-instance.md.
"""

from dataclasses import dataclass
from enum import StrEnum

from pitchline.stops.checks import check_money, check_name, check_names, check_profile, check_shares
from pitchline.trade.errors import NotAllowedError, phrase

LONGEST = 1_000
"""Most steps of a horizon, most parts and most entries of a list; beyond it a slip is likelier than a plan."""
LONGEST_STEP_H = 100_000.0
MOST_RATE = 10.0


@dataclass(frozen=True, slots=True)
class Stage:
    """A piece of a part's life, such as current, turned or new.

    Parameters
    ----------
    name : str
        Its word.
    prob_limit_by_step : tuple of float
        Chance that the limit is passed within 0, 1, 2 ... steps of entering the stage [1], never falling.
    penalty_by_step : tuple of float
        Expected loss in the 1st, 2nd ... step after entering, undiscounted [money], zero or more.
    end_credit_by_age : tuple of float
        What the part is worth at the sale 0, 1, 2 ... steps after entering, undiscounted [money], zero or more.

    Raises
    ------
    NotAllowedError
        A figure is negative, not finite, or a chance falls or leaves 0 to 1.
    """

    name: str
    prob_limit_by_step: tuple[float, ...]
    penalty_by_step: tuple[float, ...]
    end_credit_by_age: tuple[float, ...]

    def __post_init__(self) -> None:
        check_name(self.name, "name")
        check_shares(self.prob_limit_by_step, "prob_limit_by_step")
        check_profile(self.penalty_by_step, "penalty_by_step")
        check_profile(self.end_credit_by_age, "end_credit_by_age")


@dataclass(frozen=True, slots=True)
class StageJob:
    """One way from a stage to a stage; several ways may share a job's name.

    Parameters
    ----------
    name : str
        The job's word; rules speak of it.
    from_stage, to_stage : int
        Places of the stages in the part's list, from 0.
    cost : tuple of float
        Undiscounted cost at each step, parts, labour and its own standing time [money], zero or more.
    groups : tuple of str
        What has to be opened for it, each paid once a stop.

    Raises
    ------
    NotAllowedError
        A cost is negative or not finite, or a stage number is below 0.
    """

    name: str
    from_stage: int
    to_stage: int
    cost: tuple[float, ...]
    groups: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_name(self.name, "name")
        check_names(self.groups, "groups")
        check_profile(self.cost, "cost")
        for field, number in (("from_stage", self.from_stage), ("to_stage", self.to_stage)):
            if number < 0:
                raise NotAllowedError(field, number, "the number of a stage, from 0", "Count the stages from 0.")


@dataclass(frozen=True, slots=True)
class Component:
    """A part with its stages and jobs; it starts in the first stage.

    Parameters
    ----------
    name : str
        Its word, once in an instance.
    stages : tuple of Stage
        One or more; the first is today's.
    jobs : tuple of StageJob
        Ways between them; none for a part that is only watched.

    Raises
    ------
    NotAllowedError
        No stage, a name twice, a job from or to a stage that is not there, or the same job twice from one stage.
    """

    name: str
    stages: tuple[Stage, ...]
    jobs: tuple[StageJob, ...]

    def __post_init__(self) -> None:
        check_name(self.name, "name")
        if not self.stages:
            raise NotAllowedError("stages", "none", "one stage or more", "Say how the part is wearing today.")
        check_names(tuple(stage.name for stage in self.stages), "stages")
        seen: set[tuple[str, int]] = set()
        for job in self.jobs:
            for field, number in (("from_stage", job.from_stage), ("to_stage", job.to_stage)):
                if number >= len(self.stages):
                    allowed = phrase("0 to {stages}", stages=len(self.stages) - 1)
                    raise NotAllowedError(
                        phrase("job {job}, {field}", job=job.name, field=field),
                        number,
                        allowed,
                        "Name a stage of this part.",
                    )
            if (job.name, job.from_stage) in seen:
                step = "Delete one, or give it a name of its own."
                raise NotAllowedError(
                    phrase("job {job}", job=job.name),
                    phrase("twice from stage {from_stage}", from_stage=job.from_stage),
                    "once",
                    step,
                )
            seen.add((job.name, job.from_stage))


@dataclass(frozen=True, slots=True)
class Group:
    """Something opened once a stop for all jobs that need it, such as one side's track.

    Parameters
    ----------
    name : str
        Its word.
    cost : tuple of float
        Undiscounted cost at each step [money], zero or more.

    Raises
    ------
    NotAllowedError
        A cost is negative or not finite.
    """

    name: str
    cost: tuple[float, ...]

    def __post_init__(self) -> None:
        check_name(self.name, "name")
        check_profile(self.cost, "cost")


class RuleKind(StrEnum):
    """How two jobs hang together."""

    SAME_TIME = "same_time"
    A_NEEDS_B = "a_needs_b"


@dataclass(frozen=True, slots=True)
class Rule:
    """Two jobs that must go together.

    Parameters
    ----------
    kind : RuleKind
        Same time: one is done at a step if and only if the other is. A needs B: if A is done, so is B.
    a, b : tuple of (str, str)
        Part and job, whatever the stage it starts from.

    Raises
    ------
    NotAllowedError
        Both jobs are on one part, where only one job can be done at a time.
    """

    kind: RuleKind
    a: tuple[str, str]
    b: tuple[str, str]

    def __post_init__(self) -> None:
        if self.a[0] == self.b[0]:
            allowed = "jobs on two parts; one part takes one job at a time"
            raise NotAllowedError("rule", phrase("{a} with {b}", a=self.a, b=self.b), allowed, "Delete the rule.")


@dataclass(frozen=True, slots=True)
class StopInstance:
    """Everything a plan of stops is made from.

    Parameters
    ----------
    name : str
        Its word.
    steps : int
        Steps of the horizon, 1 to 1000; a stop may be made at 0 to steps - 1, the sale is at the last.
    step_h : float
        Length of a step in service hours [h], above zero.
    hours_per_year : float
        Use [h per year], above zero.
    discount_rate_per_year : float
        Yearly rate of interest [1], zero or more.
    stop_cost : tuple of float
        What a stop costs at each step before any job [money], zero or more.
    groups : tuple of Group
        What jobs may need opened.
    components : tuple of Component
        One or more parts.
    rules : tuple of Rule
        What goes together.

    Raises
    ------
    NotAllowedError
        A list of the wrong length, a word that is not known, or rules that nothing can keep.
    """

    name: str
    steps: int
    step_h: float
    hours_per_year: float
    discount_rate_per_year: float
    stop_cost: tuple[float, ...]
    groups: tuple[Group, ...]
    components: tuple[Component, ...]
    rules: tuple[Rule, ...]

    def __post_init__(self) -> None:
        if not 1 <= self.steps <= LONGEST:
            step = "The horizon must be at least one step long: take a longer horizon or shorter steps."
            raise NotAllowedError("steps", self.steps, phrase("1 to {longest}", longest=LONGEST), step)
        check_money(self.step_h, "step_hours", LONGEST_STEP_H, above_zero=True)
        check_money(self.hours_per_year, "hours_per_year", LONGEST_STEP_H, above_zero=True)
        check_money(self.discount_rate_per_year, "discount_rate_per_year", MOST_RATE)
        check_profile(self.stop_cost, "stop_cost", self.steps)
        check_names(tuple(group.name for group in self.groups), "groups")
        check_names(tuple(part.name for part in self.components), "components")
        if not self.components:
            raise NotAllowedError("components", "none", "one part or more", "Add the parts to plan for.")
        for group in self.groups:
            check_profile(group.cost, f"group {group.name}, cost", self.steps)
        for part in self.components:
            _check_part(part, self)
        _check_rules(self)

    @property
    def step_discount(self) -> float:
        """What money one step later is worth now [1]: the one place where interest is reckoned."""
        return float((1 + self.discount_rate_per_year) ** (-self.step_h / self.hours_per_year))

    def discount(self, step: int) -> float:
        """What money paid at a step is worth now.

        Returns
        -------
        float
            At most 1 [1].
        """
        return self.step_discount**step

    @property
    def horizon_h(self) -> float:
        """Hours from now to the sale [h]."""
        return self.steps * self.step_h


def _check_part(part: Component, instance: StopInstance) -> None:
    steps, known = instance.steps, [group.name for group in instance.groups]
    for stage in part.stages:
        where = f"{part.name}, stage {stage.name}"
        check_profile(stage.penalty_by_step, f"{where}, penalty_by_step", steps)
        check_profile(stage.end_credit_by_age, f"{where}, end_credit_by_age", steps + 1)
        check_profile(stage.prob_limit_by_step, f"{where}, prob_limit_by_step", steps + 1)
    for job in part.jobs:
        where = f"{part.name}, job {job.name}"
        check_profile(job.cost, f"{where}, cost", steps)
        for name in job.groups:
            if name not in known:
                allowed = (
                    phrase("one of {known}", known=", ".join(known))
                    if known
                    else "nothing; the instance has no groups"
                )
                raise NotAllowedError(
                    phrase("{where}, groups", where=where), name, allowed, "Name a group of this instance."
                )


def _check_rules(instance: StopInstance) -> None:
    jobs = {part.name: {job.name for job in part.jobs} for part in instance.components}
    for rule in instance.rules:
        for part, job in (rule.a, rule.b):
            if part not in jobs:
                raise NotAllowedError(
                    "rules", part, phrase("one of {jobs}", jobs=", ".join(jobs)), "Name a part of this instance."
                )
            if job not in jobs[part]:
                allowed = (
                    phrase("one of {jobs}", jobs=", ".join(sorted(jobs[part])))
                    if jobs[part]
                    else "nothing; it has no jobs"
                )
                raise NotAllowedError(phrase("rules, {part}", part=part), job, allowed, "Name a job of this part.")
    for part, job in {rule.a for rule in instance.rules} | {rule.b for rule in instance.rules}:
        taken = [name for name, _ in implied((part, job), instance.rules)]
        twice = sorted({name for name in taken if taken.count(name) > 1})
        if twice:
            seen = phrase("{part} {job} asks for two jobs on {twice} at once", part=part, job=job, twice=twice[0])
            step = "Take one of the rules away; nothing can keep them all."
            raise NotAllowedError("rules", seen, "one job on a part at a time", step)


def implied(job: tuple[str, str], rules: tuple[Rule, ...]) -> tuple[tuple[str, str], ...]:
    """All jobs that have to be done when one is, itself first.

    Examples
    --------
    >>> rule = Rule(RuleKind.A_NEEDS_B, ("chain", "replace"), ("sprocket", "replace"))
    >>> implied(("chain", "replace"), (rule,))
    (('chain', 'replace'), ('sprocket', 'replace'))
    """
    found = [job]
    for one in found:
        for rule in rules:
            if rule.a == one and rule.b not in found:
                found.append(rule.b)
            if rule.kind is RuleKind.SAME_TIME and rule.b == one and rule.a not in found:
                found.append(rule.a)
    return tuple(found)
