"""The planner against optima from outside the code: eight instances, lot-sizing examples and an example worked by hand.

Sources: tests/data/stops-instances.json, invented instances whose optima were proven by another program; Wagner and Whitin,
Management Science 5 (1958), the twelve-period example; Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., example
3.9; Hillier and Lieberman's aircraft example (holding cost from memory). The others are computed: full enumeration.
"""

import itertools

import pytest

from pitchline.stops.instance import Component, Stage, StageJob, StopInstance
from pitchline.stops.plan import plan_of
from pitchline.stops.planner import plan_stops
from pitchline.stops.recost import recost
from pitchline.stops.tables import tables_of
from pitchline.stops.thumb import all_at_once, by_window

WITHIN = 1e-6
NAMES = [f"S0{number}" for number in range(1, 9)]
FORBIDDEN = 1e6


@pytest.mark.parametrize("name", NAMES)
def test_optimum_is_reached_and_proven(shared_stops, name):
    raw, instance = shared_stops[name]
    plan, optimum = plan_stops(instance), raw["optimum"]
    assert plan.expected_cost == pytest.approx(optimum["expected_cost"], rel=WITHIN)
    assert plan.lower_bound == pytest.approx(optimum["lower_bound"], rel=WITHIN)
    assert plan.proven
    assert plan.method == "search"
    assert recost(instance, plan.done()) == pytest.approx(plan.expected_cost, rel=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_published_plan_costs_what_it_says(shared_stops, name):
    raw, instance = shared_stops[name]
    done = {row["component"]: [(job["job"], job["step"]) for job in row["jobs"]] for row in raw["optimum"]["plan"]}
    assert recost(instance, done) == pytest.approx(raw["optimum"]["expected_cost"], rel=WITHIN)


@pytest.mark.parametrize("name", NAMES[:5])
def test_general_solver_agrees(shared_stops, name):
    raw, instance = shared_stops[name]
    plan = plan_stops(instance, "milp")
    assert plan.expected_cost == pytest.approx(raw["optimum"]["expected_cost"], rel=WITHIN)
    assert plan.proven
    assert plan.method == "milp"


@pytest.mark.parametrize("name", NAMES)
def test_everything_at_once_costs_what_the_file_says(shared_stops, name):
    raw, instance = shared_stops[name]
    tables = tables_of(instance)
    cost = plan_of(tables, all_at_once(tables), 0.0, "thumb").expected_cost
    assert cost == pytest.approx(raw["rules_of_thumb_cost"]["everything_at_once_best_times"], rel=WITHIN)


@pytest.mark.parametrize("name", ["S01", "S03", "S04", "S06", "S08"])
def test_window_rule_costs_what_the_file_says(shared_stops, name):
    """In the other three the file's rule chose another job where two are due, which the file does not tell."""
    raw, instance = shared_stops[name]
    tables = tables_of(instance)
    cost = plan_of(tables, by_window(tables, round(1000 / instance.step_h)), 0.0, "thumb").expected_cost
    assert cost == pytest.approx(raw["rules_of_thumb_cost"]["with_1000_hour_window"], rel=WITHIN)


def deadlines(steps, stop_cost, jobs):
    """Jobs that must be done by a step and cost so much for each step they are done earlier."""
    zero = (0.0,) * (steps + 1)
    done = Stage("done", zero, zero[1:], zero)
    parts = []
    for number, (latest, early) in enumerate(jobs):
        late = tuple(FORBIDDEN if step == latest else 0.0 for step in range(steps))
        cost = tuple(early * (latest - step) if step <= latest else FORBIDDEN for step in range(steps))
        parts.append(
            Component(f"job {number}", (Stage("open", zero, late, zero), done), (StageJob("do", 0, 1, cost),))
        )
    return StopInstance("deadlines", steps, 1.0, 1.0, 0.0, stop_cost, (), tuple(parts), ())


def lots(demand, set_up, holding):
    return deadlines(len(demand), set_up, [(step, holding * each) for step, each in enumerate(demand) if each])


WAGNER_WHITIN = (
    (69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56),
    (85.0, 102.0, 102.0, 101.0, 98.0, 114.0, 105.0, 86.0, 119.0, 110.0, 98.0, 114.0),
)


@pytest.mark.parametrize("method", ["auto", "milp"])
@pytest.mark.parametrize(
    ("instance", "cost"),
    [
        (lots(*WAGNER_WHITIN, 1.0), 864.0),  # Wagner and Whitin 1958, the twelve-period example
        (lots((90, 120, 80, 70), (500.0,) * 4, 2.0), 1380.0),  # Snyder and Shen, example 3.9
        (
            lots((3, 2, 3, 2), (2.0,) * 4, 0.2),
            4.8,
        ),  # demand of Hillier and Lieberman; computed: one order, 2 + 0.2 x 14
        (lots((0, 1, 2, 2), (4.0,) * 4, 2.0), 12.0),  # computed by hand: orders of 1 and of 4, 2 x 4 + 2 x 2
    ],
    ids=["wagner-whitin", "snyder-shen", "aircraft", "opening stock"],
)
def test_lot_sizing_examples(instance, cost, method):
    plan = plan_stops(instance, method)
    assert plan.expected_cost == pytest.approx(cost, rel=1e-9)
    assert plan.proven


def test_costs_to_go_of_the_wagner_whitin_example():
    """The optimum of the first 1, 2 ... 12 periods: the last row of their table (Wagner and Whitin 1958)."""
    demand, set_up = WAGNER_WHITIN
    expected = [85, 114, 186, 277, 348, 400, 469, 555, 600, 710, 789, 864]
    found = [plan_stops(lots(demand[:n], set_up[:n], 1.0)).expected_cost for n in range(1, 13)]
    assert found == pytest.approx(expected, rel=1e-9)


def test_deadlines_and_lost_life():
    """Six jobs with deadlines in steps of 50 h: 2035, stops at 400, 900 and 1500 h (computed, brute force agrees)."""
    jobs = [(400, 1.2), (650, 0.5), (900, 2.0), (1000, 0.8), (1500, 1.5), (1600, 0.3)]
    in_steps = [(hours // 50, 50 * each) for hours, each in jobs]
    plan = plan_stops(deadlines(33, (600.0,) * 33, in_steps))
    assert plan.expected_cost == pytest.approx(2035.0, rel=1e-9)
    assert [50 * step for step in plan.stop_steps] == [400, 900, 1500]


@pytest.mark.parametrize("method", ["auto", "milp"])
@pytest.mark.parametrize(
    ("stop", "discount", "cost", "first", "second"),
    [
        (0.0, 0.0, 21.0, [2], [1]),
        (4.0, 0.0, 26.0, [1], [1]),
        (10.0, 0.0, 32.0, [1], [1]),
        (40.0, 0.0, 58.0, [], []),
        (4.0, 0.1, 22.8004, [1], [1]),
    ],
)
def test_tiny_example(tiny_stops, stop, discount, cost, first, second, method):
    """Two parts, four steps, worked by full enumeration."""
    plan = plan_stops(tiny_stops(stop, discount), method)
    assert plan.expected_cost == pytest.approx(cost, abs=5e-5)
    steps = {part: [step for _, step in jobs] for part, jobs in plan.done().items()}
    assert steps == {"A": first, "B": second}


def test_second_best_of_the_tiny_example(tiny_stops):
    instance = tiny_stops(4.0)
    costs = sorted(
        recost(instance, {"A": [("replace", a)] if a < 4 else [], "B": [("replace", b)] if b < 4 else []})
        for a, b in itertools.product(range(5), repeat=2)
    )
    assert costs[:2] == pytest.approx([26.0, 29.0])
