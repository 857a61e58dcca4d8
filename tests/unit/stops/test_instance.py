"""An instance that nothing could be planned from is refused, and the error says why."""

import math
from dataclasses import replace

import pytest

from pitchline.stops.instance import Component, Group, Rule, RuleKind, Stage, StageJob, implied
from pitchline.trade.errors import NotAllowedError

CHAIN, BUSH, SPROCKET = ("A", "replace"), ("B", "replace"), ("C", "replace")


def with_jobs(instance, **changes):
    first, *others = instance.components
    return replace(
        instance,
        components=(replace(first, jobs=tuple(replace(job, **changes) for job in first.jobs)), *others),
    )


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"steps": 0}, "horizon must be at least one step long"),
        ({"steps": 1001}, "1 to 1000"),
        ({"step_h": 0.0}, "step_hours"),
        ({"hours_per_year": -1.0}, "hours_per_year"),
        ({"discount_rate_per_year": -0.01}, "discount_rate_per_year"),
        ({"stop_cost": (4.0,) * 3}, "4 figures"),
        ({"stop_cost": (4.0, 4.0, -4.0, 4.0)}, "stop_cost, entry 3"),
        ({"stop_cost": (4.0, 4.0, math.nan, 4.0)}, "stop_cost, entry 3"),
        ({"components": ()}, "one part or more"),
        ({"groups": (Group("open", (1.0,)),)}, "group open, cost"),
        ({"groups": (Group("open", (1.0,) * 4),) * 2}, "each name once"),
    ],
)
def test_a_bad_instance_is_refused(tiny_stops, changes, says):
    with pytest.raises(NotAllowedError, match=says):
        replace(tiny_stops(), **changes)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"cost": (-1.0,) * 4}, "cost, entry 1"),
        ({"cost": (1.0,) * 3}, "A, job replace, cost"),
        ({"groups": ("open",)}, "the instance has no groups"),
        ({"from_stage": 2}, "0 to 1"),
        ({"to_stage": -1}, "from 0"),
        ({"from_stage": 0}, "twice from stage 0"),
    ],
)
def test_a_bad_job_is_refused(tiny_stops, changes, says):
    with pytest.raises(NotAllowedError, match=says):
        with_jobs(tiny_stops(), **changes)


def test_a_part_without_a_stage_is_refused():
    with pytest.raises(NotAllowedError, match="Say how the part is wearing today"):
        Component("roller", (), ())


def test_a_stage_as_long_as_the_horizon_is_asked_for(tiny_stops):
    instance = tiny_stops()
    first, second = instance.components
    short = replace(first.stages[0], penalty_by_step=(0.0,) * 3)
    with pytest.raises(NotAllowedError, match="A, stage current, penalty_by_step"):
        replace(instance, components=(replace(first, stages=(short, first.stages[1])), second))


@pytest.mark.parametrize(
    ("a", "b", "says"),
    [
        (("D", "replace"), ("B", "replace"), "one of A, B"),
        (("A", "turn"), ("B", "replace"), "one of replace"),
    ],
)
def test_a_rule_about_nothing_known_is_refused(tiny_stops, a, b, says):
    with pytest.raises(NotAllowedError, match=says):
        replace(tiny_stops(), rules=(Rule(RuleKind.SAME_TIME, a, b),))


def test_a_rule_on_one_part_is_refused():
    with pytest.raises(NotAllowedError, match="jobs on two parts"):
        Rule(RuleKind.SAME_TIME, ("A", "replace"), ("A", "turn"))


def test_rules_that_ask_for_two_jobs_on_one_part_are_refused(tiny_stops):
    instance = tiny_stops()
    first, second = instance.components
    turn = StageJob("turn", 0, 1, (1.0,) * 4)
    instance = replace(instance, components=(first, replace(second, jobs=(*second.jobs, turn))))
    both = tuple(Rule(RuleKind.A_NEEDS_B, CHAIN, ("B", job)) for job in ("replace", "turn"))
    with pytest.raises(NotAllowedError, match="A replace asks for two jobs on B at once"):
        replace(instance, rules=both)


def test_rules_are_followed_from_job_to_job():
    rules = (Rule(RuleKind.SAME_TIME, CHAIN, BUSH), Rule(RuleKind.A_NEEDS_B, CHAIN, SPROCKET))
    assert implied(BUSH, rules) == (BUSH, CHAIN, SPROCKET)
    assert implied(SPROCKET, rules) == (SPROCKET,)


def test_money_shrinks_by_the_step(tiny_stops):
    """A quarter of a year at 10 %: 1.1 to the power of -0.25, computed."""
    instance = replace(tiny_stops(), step_h=500.0, hours_per_year=2000.0, discount_rate_per_year=0.1)
    assert instance.step_discount == pytest.approx(0.9764540896763105, rel=1e-12)
    assert instance.horizon_h == 2000.0


def test_a_chance_that_falls_is_refused():
    with pytest.raises(NotAllowedError, match="the chance never falls"):
        Stage("new", (0.2, 0.1), (0.0,), (0.0, 0.0))
