"""Plans from the front door: methods, time running out, many openings, parts that are only watched."""

from dataclasses import replace

import pytest

from pitchline.stops.instance import Component, Group
from pitchline.stops.planner import plan_stops
from pitchline.stops.recost import recost
from pitchline.trade.errors import NotAllowedError


class Clock:
    """Seconds left, fewer by one each time it is asked."""

    def __init__(self, seconds):
        self.seconds = seconds

    def __call__(self):
        self.seconds -= 1
        return float(self.seconds)


def test_an_unknown_method_is_refused(tiny_stops):
    with pytest.raises(NotAllowedError, match="auto or milp"):
        plan_stops(tiny_stops(), "guess")


@pytest.mark.parametrize("seconds", [0, 5, 50])
def test_time_run_out_leaves_a_plan_with_its_bound(shared_stops, seconds):
    raw, instance = shared_stops["S08"]
    plan, best = plan_stops(instance, seconds_left=Clock(seconds)), raw["optimum"]["expected_cost"]
    assert plan.lower_bound <= best * (1 + 1e-6)
    assert plan.expected_cost >= best * (1 - 1e-6)
    assert recost(instance, plan.done()) == pytest.approx(plan.expected_cost)
    assert plan.proven == (plan.gap <= 1e-7)


def test_no_time_at_all_proves_nothing(shared_stops):
    plan = plan_stops(shared_stops["S08"][1], seconds_left=lambda: 0.0)
    assert not plan.proven
    assert plan.gap > 1e-4


def test_many_openings_are_planned_by_the_general_solver(tiny_stops):
    """Seven groups at no cost change nothing; 26 by full enumeration."""
    groups = tuple(Group(f"open {number}", (0.0,) * 4) for number in range(7))
    plan = plan_stops(replace(tiny_stops(), groups=groups))
    assert plan.method == "milp"
    assert plan.expected_cost == pytest.approx(26.0)


def test_a_part_without_jobs_is_in_the_plan_and_its_wear_in_the_cost(tiny_stops):
    instance = tiny_stops()
    stage = replace(instance.components[0].stages[0], penalty_by_step=(1.0, 2.0, 3.0, 4.0))
    watched = Component("guard", (stage,), ())
    plan = plan_stops(replace(instance, components=(*instance.components, watched)))
    assert plan.components == ("A", "B", "guard")
    assert plan.done()["guard"] == ()
    assert plan.expected_cost == pytest.approx(26.0 + 10.0)


def test_one_step_is_enough_for_a_plan(tiny_stops):
    """Now or never, by hand: A never (0 or 12 less a credit of 3), B never (0 or 6)."""
    instance = tiny_stops()
    short = replace(
        instance,
        steps=1,
        stop_cost=(4.0,),
        components=tuple(
            replace(
                part,
                stages=tuple(
                    replace(
                        stage,
                        prob_limit_by_step=stage.prob_limit_by_step[:2],
                        penalty_by_step=stage.penalty_by_step[:1],
                        end_credit_by_age=stage.end_credit_by_age[:2],
                    )
                    for stage in part.stages
                ),
                jobs=tuple(replace(job, cost=job.cost[:1]) for job in part.jobs),
            )
            for part in instance.components
        ),
    )
    plan = plan_stops(short)
    assert (plan.expected_cost, plan.stop_steps, plan.proven) == (0.0, (), True)
