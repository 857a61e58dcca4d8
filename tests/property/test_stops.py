"""What every plan of stops must keep, on small random instances; and nothing beats it among all plans there are."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitchline.stops.instance import Component, Group, Rule, RuleKind, StopInstance
from pitchline.stops.planner import plan_stops
from pitchline.stops.recost import recost

SEEDS = st.integers(0, 10_000)
FEW = settings(max_examples=25, deadline=None)
NEAR = 1e-6


def cost_of(instance, method="auto"):
    plan = plan_stops(instance, method)
    assert plan.proven
    assert recost(instance, plan.done()) == pytest.approx(plan.expected_cost, rel=1e-9, abs=1e-9)
    return plan.expected_cost


def sequences(part, steps):
    """Every way through a part's stages: jobs with their steps."""

    def grow(stage, step):
        if step == steps:
            yield ()
            return
        yield from grow(stage, step + 1)
        for job in part.jobs:
            if job.from_stage == stage:
                yield from (((job.name, step), *rest) for rest in grow(job.to_stage, step + 1))

    yield from grow(0, 0)


def own_cost(instance, part, jobs):
    alone = replace(
        instance,
        components=(part,),
        rules=(),
        stop_cost=(0.0,) * instance.steps,
        groups=tuple(Group(group.name, (0.0,) * instance.steps) for group in instance.groups),
    )
    return recost(alone, {part.name: jobs})


def used(part, jobs, wanted):
    """Steps as bits at which a job of a kind is done; `wanted` says of name and stage whether it counts."""
    bits, stage = 0, 0
    for name, step in jobs:
        job = next(one for one in part.jobs if (one.name, one.from_stage) == (name, stage))
        bits |= wanted(job) << step
        stage = job.to_stage
    return bits


def brute_force(instance):
    """Least cost over every combination of every part's sequences."""
    worth = instance.step_discount ** np.arange(instance.steps)
    masks = np.arange(2**instance.steps)
    bit = (masks[:, None] >> np.arange(instance.steps)) & 1
    total, stops, opened = np.zeros((1, 1, 1)), np.zeros((1, 1, 1), dtype=int), {}
    renewed = []
    for axis, part in enumerate(instance.components):
        shape = [1, 1, 1]
        shape[axis] = -1
        every = list(sequences(part, instance.steps))
        total = total + np.array([own_cost(instance, part, jobs) for jobs in every]).reshape(shape)
        stops = stops | np.array([used(part, jobs, lambda _: True) for jobs in every]).reshape(shape)
        renewed.append(
            np.array([used(part, jobs, lambda job: job.name == "renew") for jobs in every]).reshape(shape)
        )
        for group in instance.groups:
            own = [used(part, jobs, lambda job, name=group.name: name in job.groups) for jobs in every]
            opened[group.name] = opened.get(group.name, 0) | np.array(own).reshape(shape)
    total = total + (bit @ (np.array(instance.stop_cost) * worth))[stops]
    for group in instance.groups:
        total = total + (bit @ (np.array(group.cost) * worth))[opened[group.name]]
    for rule in instance.rules:
        a, b = (renewed[int(part[-1])] for part, _ in (rule.a, rule.b))
        broken = a ^ b if rule.kind is RuleKind.SAME_TIME else a & ~b
        total = np.where(broken != 0, np.inf, total)
    return total.min()


@FEW
@given(SEEDS)
def test_nothing_beats_the_plan(random_stops, seed):
    instance = random_stops(seed, steps=4)
    best = brute_force(instance)
    assert cost_of(instance) == pytest.approx(best, rel=1e-9, abs=1e-9)
    assert cost_of(instance, "milp") == pytest.approx(best, rel=NEAR, abs=NEAR)


@FEW
@given(SEEDS, st.sampled_from(["stop", "job", "penalty"]), st.integers(0, 5))
def test_cost_never_falls_when_a_price_rises(random_stops, seed, what, step):
    instance = random_stops(seed, steps=6)

    def raised(figures):
        return tuple(each + 10.0 * (place == step) for place, each in enumerate(figures))

    part = instance.components[1]
    if what == "stop":
        dearer = replace(instance, stop_cost=raised(instance.stop_cost))
    else:
        jobs, stages = part.jobs, part.stages
        if what == "job":
            jobs = tuple(replace(job, cost=raised(job.cost)) for job in jobs)
        else:
            stages = tuple(replace(stage, penalty_by_step=raised(stage.penalty_by_step)) for stage in stages)
        parts = (instance.components[0], Component(part.name, stages, jobs), instance.components[2])
        dearer = replace(instance, components=parts)
    assert cost_of(dearer) >= cost_of(instance) - NEAR


@FEW
@given(SEEDS, st.integers(0, 5))
def test_a_step_more_to_stop_at_never_costs_more(random_stops, seed, step):
    instance = random_stops(seed, steps=6)
    closed = tuple(1e6 if place == step else cost for place, cost in enumerate(instance.stop_cost))
    assert cost_of(instance) <= cost_of(replace(instance, stop_cost=closed)) + NEAR


@FEW
@given(SEEDS)
def test_free_stops_without_groups_and_ties_are_planned_part_by_part(random_stops, seed):
    """Each part's shortest path is the least over all its sequences of jobs."""
    instance = random_stops(seed, steps=6, rules=False)
    parts = tuple(
        replace(part, jobs=tuple(replace(job, groups=()) for job in part.jobs)) for part in instance.components
    )
    free = replace(instance, stop_cost=(0.0,) * 6, groups=(), components=parts)
    alone = sum(min(own_cost(free, part, jobs) for jobs in sequences(part, 6)) for part in parts)
    assert cost_of(free) == pytest.approx(alone, rel=1e-9, abs=NEAR)


@FEW
@given(SEEDS)
def test_very_dear_stops_are_made_once_at_most(random_stops, seed):
    instance = replace(random_stops(seed, steps=6), stop_cost=(1e5,) * 6)
    assert len(plan_stops(instance).stops) <= 1


@FEW
@given(SEEDS)
def test_dropping_a_rule_never_costs_more(random_stops, seed):
    instance = random_stops(seed, steps=6)
    assert cost_of(replace(instance, rules=instance.rules[1:])) <= cost_of(instance) + NEAR


@FEW
@given(SEEDS)
def test_renaming_and_reordering_change_nothing(random_stops, seed):
    instance = random_stops(seed, steps=6)
    word = {part.name: f"other {number}" for number, part in enumerate(instance.components)}
    side = {"open_L": "open_R", "open_R": "open_L"}

    def renamed(job):
        return replace(job, groups=tuple(side[group] for group in job.groups))

    parts = tuple(
        replace(part, name=word[part.name], jobs=tuple(map(renamed, reversed(part.jobs))))
        for part in reversed(instance.components)
    )
    groups = tuple(replace(group, name=side[group.name]) for group in reversed(instance.groups))
    rules = tuple(
        replace(rule, a=(word[rule.a[0]], rule.a[1]), b=(word[rule.b[0]], rule.b[1])) for rule in instance.rules
    )
    other = replace(instance, components=parts, groups=groups, rules=rules)
    assert cost_of(other) == pytest.approx(cost_of(instance), rel=1e-9, abs=NEAR)


@FEW
@given(SEEDS, st.sampled_from([0.01, 3.0, 1000.0]))
def test_money_in_another_unit_scales_the_cost(random_stops, seed, scale):
    instance = random_stops(seed, steps=6)
    assert cost_of(scaled(instance, scale)) == pytest.approx(scale * cost_of(instance), rel=1e-9, abs=NEAR * scale)


def scaled(instance: StopInstance, scale: float) -> StopInstance:
    def times(figures):
        return tuple(scale * each for each in figures)

    parts = tuple(
        Component(
            part.name,
            tuple(
                replace(
                    stage,
                    penalty_by_step=times(stage.penalty_by_step),
                    end_credit_by_age=times(stage.end_credit_by_age),
                )
                for stage in part.stages
            ),
            tuple(replace(job, cost=times(job.cost)) for job in part.jobs),
        )
        for part in instance.components
    )
    groups = tuple(replace(group, cost=times(group.cost)) for group in instance.groups)
    return replace(instance, stop_cost=times(instance.stop_cost), groups=groups, components=parts)


@FEW
@given(SEEDS)
def test_the_same_instance_gives_the_same_plan(random_stops, seed):
    instance = random_stops(seed, steps=6)
    assert plan_stops(instance) == plan_stops(instance)


@FEW
@given(SEEDS)
def test_a_bound_holds_when_there_is_no_time(random_stops, seed):
    instance = random_stops(seed, steps=6)
    hurried = plan_stops(instance, seconds_left=lambda: 0.0)
    assert hurried.lower_bound <= cost_of(instance) + NEAR <= hurried.expected_cost + 2 * NEAR
    assert recost(instance, hurried.done()) == pytest.approx(hurried.expected_cost, rel=1e-9, abs=NEAR)


def test_rules_of_any_shape_are_planned_too(random_stops):
    """A turn that asks for a renewal elsewhere is no nest of pairs; brute force agrees."""
    made = 0
    for seed in range(40):
        instance = random_stops(seed, steps=4, rules=False)
        if not any(job.name == "turn" for job in instance.components[0].jobs):
            continue
        needs = Rule(RuleKind.A_NEEDS_B, ("part 0", "turn"), ("part 1", "renew"))
        other = Rule(RuleKind.A_NEEDS_B, ("part 1", "renew"), ("part 2", "renew"))
        tied = replace(instance, rules=(needs, other))
        assert cost_of(tied) == pytest.approx(cost_of(tied, "milp"), rel=NEAR, abs=NEAR)
        made += 1
    assert made > 5


def test_every_sequence_is_counted(random_stops):
    """The brute force sees all of them: two choices a step for a part with one job from every stage."""
    part = replace(random_stops(0).components[0], jobs=random_stops(0).components[0].jobs[:2])
    assert len(list(sequences(part, 4))) == len(list(product((0, 1), repeat=4)))
