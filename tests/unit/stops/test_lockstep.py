"""Parts in step planned as one: the same plans at the same costs."""

from dataclasses import replace

import numpy as np
import pytest

from pitchline.stops.instance import Component, Group, Rule, RuleKind, Stage, StageJob, StopInstance
from pitchline.stops.lockstep import in_lockstep
from pitchline.stops.planner import plan_stops
from pitchline.stops.solver import Neighbour, Solver


def part(name, rng, steps, group):
    losses = [tuple(np.cumsum(rng.uniform(0, 6, steps)).tolist()) for _ in range(2)]
    chance = tuple(np.linspace(0, 1, steps + 1).tolist())
    credit = tuple(np.linspace(5, 0, steps + 1).tolist())
    stages = tuple(Stage(word, chance, loss, credit) for word, loss in zip(("now", "new"), losses, strict=True))
    jobs = tuple(StageJob("replace", stage, 1, (float(rng.uniform(5, 30)),) * steps, (group,)) for stage in (0, 1))
    return Component(name, stages, jobs)


@pytest.fixture(params=range(6))
def tied(request):
    """Two pairs in step and a part alone, at random."""
    rng, steps = np.random.default_rng(request.param), 7
    parts = [part(f"{kind}, {side}", rng, steps, side) for kind in ("shoes", "pads") for side in ("left", "right")]
    rules = tuple(
        Rule(RuleKind.SAME_TIME, (f"{kind}, left", "replace"), (f"{kind}, right", "replace"))
        for kind in ("shoes", "pads")
    )
    groups = tuple(Group(side, (3.0,) * steps) for side in ("left", "right"))
    alone = part("idler", rng, steps, "left")
    return StopInstance("tied", steps, 100.0, 2000.0, 0.05, (12.0,) * steps, groups, (*parts, alone), rules)


def test_pairs_become_one_and_their_rules_go(tied):
    smaller, members = in_lockstep(tied)
    assert members == (("shoes, left", "shoes, right"), ("pads, left", "pads, right"), ("idler",))
    assert smaller.rules == ()
    assert set(smaller.components[0].jobs[0].groups) == {"left", "right"}


def test_a_part_with_a_job_of_its_own_stays_apart(tied):
    shoes = tied.components[0]
    more = replace(shoes, jobs=(*shoes.jobs, StageJob("weld", 0, 1, (4.0,) * tied.steps)))
    other = replace(tied, components=(more, *tied.components[1:]))
    assert ("shoes, left",) in in_lockstep(other)[1]


def closed(solver):
    for _ in range(6):
        if not solver.closed:
            solver.attempt()
    return solver


def test_from_a_neighbour_the_same_cost_is_found(tied):
    near = closed(Solver(tied)).neighbour()
    dearer = replace(tied, stop_cost=tuple(2 * cost for cost in tied.stop_cost))
    warm = closed(Solver(dearer, near))
    assert warm.closed
    assert warm.best.cost == pytest.approx(plan_stops(dearer).expected_cost, abs=1e-6)


def test_a_neighbour_of_another_shape_is_left_alone(tied):
    assert Solver(tied, Neighbour(np.zeros((1, 1)), ())).best.chosen == ()


def test_a_first_stop_said_to_stay_does_stay(tied):
    near = closed(Solver(tied)).neighbour()
    for times in (0.5, 1.0, 3.0):
        other = replace(tied, stop_cost=tuple(times * cost for cost in tied.stop_cost))
        steps = plan_stops(other).stop_steps
        for earliest in range(tied.steps):
            if Solver(other, near).first_stop_stays(earliest, earliest + 1, 20):
                assert steps
                assert earliest <= steps[0] <= earliest + 1
