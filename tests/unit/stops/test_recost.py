"""A plan's cost from the definition, by hand; and plans that cannot be carried out are refused."""

from dataclasses import replace

import pytest

from pitchline.stops.instance import Group, Rule, RuleKind
from pitchline.stops.recost import recost
from pitchline.trade.errors import NotAllowedError


def test_tiny_plans_by_hand(tiny_stops):
    """Nothing: 30 and 28. A at 2: 0 + 2, 12, then 0 + 1, less a credit of 1; B at 1: 0, 6, then 0 + 0 + 1. Two stops."""
    assert recost(tiny_stops(), {}) == pytest.approx(30 + 28)
    done = {"A": [("replace", 2)], "B": [("replace", 1)]}
    assert recost(tiny_stops(), done) == pytest.approx((2 + 12 + 1 - 1) + (6 + 1) + 2 * 4)


def test_an_opening_is_paid_once_a_stop(tiny_stops):
    instance = tiny_stops(0.0)
    parts = tuple(
        replace(part, jobs=tuple(replace(job, groups=("open",)) for job in part.jobs))
        for part in instance.components
    )
    opened = replace(instance, groups=(Group("open", (1.0, 2.0, 4.0, 8.0)),), components=parts)
    for done, extra in (
        ({"A": [("replace", 2)], "B": [("replace", 2)]}, 4.0),
        ({"A": [("replace", 3)], "B": [("replace", 1)]}, 10.0),
    ):
        assert recost(opened, done) - recost(instance, done) == pytest.approx(extra)


@pytest.mark.parametrize(
    ("done", "says"),
    [
        ({"C": []}, "a part of the instance"),
        ({"A": [("turn", 1)]}, "a job from stage current"),
        ({"A": [("replace", 4)]}, "at steps 0 to 3"),
        ({"A": [("replace", 2), ("replace", 2)]}, "a step after 2"),
    ],
)
def test_a_plan_that_cannot_be_carried_out_is_refused(tiny_stops, done, says):
    with pytest.raises(NotAllowedError, match=says):
        recost(tiny_stops(), done)


@pytest.mark.parametrize(
    ("kind", "done", "says"),
    [
        (RuleKind.SAME_TIME, {"A": [("replace", 1)]}, "A replace without B replace at step 1"),
        (RuleKind.SAME_TIME, {"B": [("replace", 1)]}, "B replace without A replace at step 1"),
        (
            RuleKind.A_NEEDS_B,
            {"A": [("replace", 2)], "B": [("replace", 1)]},
            "A replace without B replace at step 2",
        ),
    ],
)
def test_a_broken_rule_is_refused(tiny_stops, kind, done, says):
    tied = replace(tiny_stops(), rules=(Rule(kind, ("A", "replace"), ("B", "replace")),))
    with pytest.raises(NotAllowedError, match=says):
        recost(tied, done)
    if kind is RuleKind.A_NEEDS_B:
        assert recost(tied, {"B": [("replace", 1)]}) == recost(tiny_stops(), {"B": [("replace", 1)]})
