"""Rules of thumb do what their names say."""

from dataclasses import replace

import pytest

from pitchline.stops.instance import Component, Rule, RuleKind, Stage, StageJob, StopInstance
from pitchline.stops.planner import plan_stops
from pitchline.stops.tables import tables_of
from pitchline.stops.thumb import all_at_once, by_window, chances_passed, compared


def certain(name, today, fresh, steps=10):
    """A part that reaches its limit after so many steps, surely."""

    def stage(word, life):
        chance = tuple(float(step >= life) for step in range(steps + 1))
        return Stage(word, chance, tuple(100.0 * each for each in chance[1:]), (0.0,) * (steps + 1))

    jobs = tuple(StageJob("replace", start, 1, (10.0,) * steps) for start in (0, 1))
    return Component(name, (stage("current", today), stage("new", fresh)), jobs)


@pytest.fixture
def machine():
    """Lives of 2 and then 5 steps, and of 4 and then 4."""
    parts = (certain("roller", 2, 5), certain("idler", 4, 4))
    return StopInstance("certain", 10, 100.0, 1000.0, 0.0, (5.0,) * 10, (), parts, ())


@pytest.mark.parametrize(
    ("window", "roller", "idler"),
    [(0, [2, 7], [4, 8]), (1, [2, 7], [4, 7]), (2, [2, 6], [2, 6]), (9, [2, 6], [2, 6])],
)
def test_what_is_due_within_the_window_joins(machine, window, roller, idler):
    taken = by_window(tables_of(machine), window)
    assert [[step for _, step in ways] for ways in taken] == [roller, idler]


def test_a_cautious_rule_goes_at_a_smaller_chance():
    part = certain("roller", 10, 10)
    slow = replace(part.stages[0], prob_limit_by_step=tuple(step / 10 for step in range(11)))
    instance = StopInstance(
        "slow", 10, 100.0, 1000.0, 0.0, (5.0,) * 10, (), (replace(part, stages=(slow, part.stages[1])),), ()
    )
    first = [by_window(tables_of(instance), 0, chance)[0][0][1] for chance in (0.2, 0.5, 0.9)]
    assert first == [2, 5, 9]


def test_everything_at_once_renews_everything_at_every_stop(machine):
    """A limit costs 100 a step and a stop 25, so each comes a step before: at 1, and then 3 apart for the idler."""
    roller, idler = all_at_once(tables_of(machine))
    assert [step for _, step in roller] == [step for _, step in idler] == [1, 4, 7]


def test_chance_of_passing_a_limit_is_that_of_every_stay(machine):
    plan = plan_stops(machine)
    assert plan.stop_steps == (1, 4, 7)
    assert chances_passed(machine, plan) == [0.0] * 8
    never = compared(machine, plan)[-1]
    assert (never.limits_passed, never.chance_any) == (2.0, 1.0)


def test_a_rule_of_thumb_takes_tied_jobs_together(machine):
    tied = replace(machine, rules=(Rule(RuleKind.SAME_TIME, ("roller", "replace"), ("idler", "replace")),))
    taken = by_window(tables_of(tied), 0)
    assert [step for _, step in taken[0]] == [step for _, step in taken[1]]
