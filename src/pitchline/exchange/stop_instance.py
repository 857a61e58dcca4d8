"""A stop instance in one JSON file, and its plan as JSON.

See docs/reference/stop-instance.md.
"""

import json
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

from pitchline.exchange.entries import Entries
from pitchline.exchange.gathering import Gathering, refuse
from pitchline.exchange.json_in import loaded
from pitchline.exchange.machine_values import Name
from pitchline.exchange.text_in import read_text
from pitchline.stops.checks import MOST_MONEY
from pitchline.stops.instance import (
    LONGEST,
    LONGEST_STEP_H,
    MOST_RATE,
    Component,
    Group,
    Rule,
    RuleKind,
    Stage,
    StageJob,
    StopInstance,
)
from pitchline.stops.plan import StopPlan
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.words.catalogue import in_english

Figure = Annotated[float, Field(ge=0, le=MOST_MONEY, allow_inf_nan=False, strict=True)]
Chance = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False, strict=True)]
Number = Annotated[int, Field(ge=0, le=LONGEST, strict=True)]
Profile = Annotated[list[Figure], Field(max_length=LONGEST + 1)]
Hours = Annotated[float, Field(gt=0, le=LONGEST_STEP_H, allow_inf_nan=False, strict=True)]
IGNORED = ("optimum", "rules_of_thumb_cost")
"""Keys that may stand in the file and say nothing to the planner."""


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class StageEntry(_Entry):
    """A stage of a part."""

    name: Name
    prob_limit_by_step: Annotated[list[Chance], Field(max_length=LONGEST + 1)]
    penalty_by_step: Profile
    end_credit_by_age: Profile


class JobEntry(_Entry):
    """A way from a stage to a stage."""

    name: Name
    from_stage: Number
    to_stage: Number
    cost: Profile
    groups: list[Name] = []


class ComponentEntry(_Entry):
    """A part."""

    name: Name
    stages: list[StageEntry]
    jobs: list[JobEntry] = []


class GroupEntry(_Entry):
    """Something opened."""

    name: Name
    cost: Profile


class RuleEntry(_Entry):
    """Two jobs that go together."""

    kind: RuleKind
    a: tuple[Name, Name]
    b: tuple[Name, Name]


class HeadEntry(_Entry):
    """Everything that is not a list of entries."""

    name: Name
    steps: Annotated[int, Field(ge=1, le=LONGEST, strict=True)]
    step_hours: Hours
    hours_per_year: Hours
    discount_rate_per_year: Annotated[float, Field(ge=0, le=MOST_RATE, allow_inf_nan=False, strict=True)]
    stop_cost: Profile


_LISTS = ("groups", "components", "rules")


def instance_from_json(text: str, file: str) -> StopInstance:
    """The instance a text tells of.

    Parameters
    ----------
    text : str
        One instance as JSON, with or without its optimum.
    file : str
        Its name, for the errors.

    Raises
    ------
    InputError
        With every problem found: line, field, value seen, what is allowed and what to do.
    """
    gathering = Gathering(file)
    raw = loaded(text, gathering, "a stop instance")
    if not isinstance(raw, dict):
        raise refuse(file, "file", f"a {type(raw).__name__}", "one instance in braces", "Take one instance.")
    if "instances" in raw:
        step = in_english("Save one of them in a file of its own.")
        raise refuse(file, "instances", phrase("a collection of instances"), "one instance", step)
    entries = Entries(raw, text, gathering)
    found = _instance(entries)
    gathering.raise_if_any()
    if found is None:
        raise AssertionError("a file without problems gives an instance")
    return found


def _instance(entries: Entries) -> StopInstance | None:
    raw = entries.raw
    head = entries.checked(
        {key: each for key, each in raw.items() if key not in (*_LISTS, *IGNORED)}, HeadEntry, ()
    )
    if "components" not in raw:
        entries.add(("components",), phrase("nothing"), "a list of parts", "Add it.")
    groups = entries.built(
        entries.each(raw, "groups", GroupEntry), lambda each: Group(each.name, tuple(each.cost))
    )
    parts = entries.built(entries.each(raw, "components", ComponentEntry), _component)
    rules = entries.built(entries.each(raw, "rules", RuleEntry), lambda each: Rule(each.kind, each.a, each.b))
    whole = [len(raw[key]) for key in _LISTS if isinstance(raw.get(key), list)]
    if head is None or sum(whole) > len(groups) + len(parts) + len(rules):
        return None
    build = partial(
        StopInstance,
        head.name,
        head.steps,
        head.step_hours,
        head.hours_per_year,
        head.discount_rate_per_year,
        tuple(head.stop_cost),
        tuple(group for _, group in groups),
        tuple(part for _, part in parts),
        tuple(rule for _, rule in rules),
    )
    try:
        return build()
    except NotAllowedError as error:
        entries.gathering.take(error.problem)
        return None


def _component(entry: ComponentEntry) -> Component:
    stages = tuple(
        Stage(
            each.name,
            tuple(each.prob_limit_by_step),
            tuple(each.penalty_by_step),
            tuple(each.end_credit_by_age),
        )
        for each in entry.stages
    )
    jobs = tuple(
        StageJob(each.name, each.from_stage, each.to_stage, tuple(each.cost), tuple(each.groups))
        for each in entry.jobs
    )
    return Component(entry.name, stages, jobs)


def read_instance(path: Path) -> StopInstance:
    """The instance a file tells of.

    Raises
    ------
    InputError
        The file cannot be read, or with every problem found in it.
    """
    return instance_from_json(read_text(path), path.name)


def instance_json(instance: StopInstance) -> str:
    """An instance as JSON text.

    Returns
    -------
    str
        One object that reads back as the same instance.
    """
    parts = [
        {
            "name": part.name,
            "stages": [asdict(stage) for stage in part.stages],
            "jobs": [asdict(job) for job in part.jobs],
        }
        for part in instance.components
    ]
    whole: dict[str, Any] = {
        "name": instance.name,
        "steps": instance.steps,
        "step_hours": instance.step_h,
        "hours_per_year": instance.hours_per_year,
        "discount_rate_per_year": instance.discount_rate_per_year,
        "stop_cost": list(instance.stop_cost),
        "groups": [asdict(group) for group in instance.groups],
        "components": parts,
        "rules": [{"kind": rule.kind.value, "a": list(rule.a), "b": list(rule.b)} for rule in instance.rules],
    }
    return json.dumps(whole, ensure_ascii=False, allow_nan=False) + "\n"


def _whole(hours: float) -> float | int:
    return int(hours) if float(hours).is_integer() else hours


def plan_json(plan: StopPlan, name: str) -> str:
    """A plan as JSON text.

    Returns
    -------
    str
        One object in the field names of the instance file's optimum, and what else there is to say.
    """
    jobs = [
        {
            "component": part,
            "jobs": [
                {"job": row.job, "step": row.step, "hour": _whole(row.hour)}
                for row in plan.plan
                if row.component == part
            ],
        }
        for part in plan.components
    ]
    stops = [
        {
            "step": stop.step,
            "hour": _whole(stop.hour),
            "earliest_hour": _whole(stop.earliest_h),
            "latest_hour": _whole(stop.latest_h),
            "opened": list(stop.opened),
        }
        for stop in plan.stops
    ]
    whole: dict[str, Any] = {
        "name": name,
        "expected_cost": plan.expected_cost,
        "lower_bound": plan.lower_bound,
        "proven": plan.proven,
        "method": plan.method,
        "stop_steps": list(plan.stop_steps),
        "plan": jobs,
        "stops": stops,
    }
    return json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
