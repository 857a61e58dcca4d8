"""The general solver's way: limited steps, and what it says when time runs out."""

import numpy as np
import pytest

from pitchline.stops.milp import plan_by_milp
from pitchline.stops.planner import no_limit
from pitchline.stops.recost import recost
from pitchline.stops.tables import tables_of


def test_only_the_steps_allowed_are_used(tiny_stops):
    """At step 2 alone, all four plans there are: nothing 58, A 44, B 41, both cheaper still; by hand and by recost."""
    instance = tiny_stops()
    plan = plan_by_milp(tables_of(instance), no_limit, np.array([2]))
    every = [
        recost(instance, {"A": [("replace", 2)] * a, "B": [("replace", 2)] * b}) for a in (0, 1) for b in (0, 1)
    ]
    assert plan.expected_cost == pytest.approx(min(every))
    assert plan.stop_steps == (2,)
    assert plan.method == "milp"


def test_time_run_out_leaves_a_bound_and_says_so(shared_stops):
    raw, instance = shared_stops["S08"]
    plan = plan_by_milp(tables_of(instance), lambda: 0.0)
    assert not plan.proven
    assert plan.lower_bound <= raw["optimum"]["expected_cost"] * (1 + 1e-6)
    assert plan.expected_cost >= raw["optimum"]["expected_cost"] * (1 - 1e-6)
    assert recost(instance, plan.done()) == pytest.approx(plan.expected_cost)
