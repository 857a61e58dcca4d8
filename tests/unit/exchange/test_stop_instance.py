"""A stop instance in and its plan out as JSON; what is wrong is told with its place, all of it at once."""

import copy
import json

import pytest

from pitchline.exchange.stop_instance import instance_from_json, plan_json, read_instance
from pitchline.stops.planner import plan_stops
from pitchline.stops.recost import recost
from pitchline.trade.errors import InputError


@pytest.fixture
def raw(shared_stops):
    return copy.deepcopy(shared_stops["S01"][0])


def problems(raw):
    with pytest.raises(InputError) as caught:
        instance_from_json(json.dumps(raw, indent=1), "plan.json")
    return caught.value.problems


def test_a_file_is_read(tmp_path, raw, shared_stops):
    path = tmp_path / "s1.json"
    path.write_text(json.dumps(raw), encoding="utf-8")
    assert read_instance(path) == shared_stops["S01"][1]


def test_a_plan_reads_back_and_costs_what_it_says(raw, shared_stops):
    instance = shared_stops["S01"][1]
    told = json.loads(plan_json(plan_stops(instance), instance.name))
    done = {row["component"]: [(job["job"], job["step"]) for job in row["jobs"]] for row in told["plan"]}
    assert recost(instance, done) == pytest.approx(told["expected_cost"])
    assert told["expected_cost"] == pytest.approx(raw["optimum"]["expected_cost"], rel=1e-6)
    assert set(done) == {part.name for part in instance.components}


def spoil_price(raw):
    raw["stop_cost"][2] = -5.0


def spoil_missing(raw):
    raw["components"][0]["jobs"][0]["cost"].pop()


def spoil_job(raw):
    raw["rules"][0]["b"][1] = "polish"


def spoil_part(raw):
    raw["rules"][0]["a"][0] = "mast"


def spoil_rule(raw):
    raw["rules"][0]["b"] = raw["rules"][0]["a"]


def spoil_steps(raw):
    raw["steps"] = 0


def spoil_parts(raw):
    del raw["components"]


def spoil_word(raw):
    raw["stop_price"] = 3


@pytest.mark.parametrize(
    ("spoil", "seen"),
    [
        (spoil_price, "-5.0"),
        (spoil_missing, "5 figures"),
        (spoil_job, "polish"),
        (spoil_part, "mast"),
        (spoil_rule, "with"),
        (spoil_steps, "0"),
        (spoil_parts, "nothing"),
        (spoil_word, "stop_price"),
    ],
)
def test_what_is_wrong_is_named(raw, spoil, seen):
    spoil(raw)
    told = problems(raw)
    assert any(seen in str(problem) for problem in told)
    assert all(problem.file == "plan.json" and problem.allowed and problem.next_step for problem in told)


def test_several_problems_are_told_at_once(raw):
    raw["stop_cost"][2] = -5.0
    raw["components"][1]["jobs"][0]["cost"][0] = "dear"
    raw["components"][0]["stages"][0]["prob_limit_by_step"][1] = 2.0
    assert len(problems(raw)) >= 3


def test_a_collection_is_asked_to_be_parted(raw):
    (told,) = problems({"instances": [raw]})
    assert "Save one of them" in told.next_step


@pytest.mark.parametrize("text", ["[]", "{", "", "NaN"])
def test_a_text_that_is_no_instance_is_refused(text):
    with pytest.raises(InputError):
        instance_from_json(text, "plan.json")
