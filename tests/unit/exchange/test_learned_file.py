"""Constants out and in again: to the last bit, with where they come from, and refused when they do not hold together."""

import json
import math
import re
from pathlib import Path

import numpy as np
import pytest

from pitchline import __version__
from pitchline.exchange.learned_file import FORMAT, learned_from_json, learned_json, read_learned, write_learned
from pitchline.outlook.constants import Priors
from pitchline.outlook.late import Late
from pitchline.outlook.learned import Learned
from pitchline.outlook.learned_limit import LearnedLimit
from pitchline.trade.ground import GroundClass

PAGE = Path(__file__).parents[3] / "docs" / "reference" / "constants-file.md"


@pytest.fixture
def learned():
    """Invented constants, with digits that no short figure has."""
    rng = np.random.default_rng(3)
    ground = rng.normal(0, 0.4, 5)
    ground_u = rng.uniform(0.01, 0.1, 5)
    ground[GroundClass.MIDDLING] = ground_u[GroundClass.MIDDLING] = 0.0
    spreads = [
        (float(mean), float(sd)) for mean, sd in zip(rng.normal(-2, 0.5, 4), rng.uniform(0.01, 1, 4), strict=True)
    ]
    priors = Priors(rng.normal(-8.7, 0.2, 3), rng.uniform(0.01, 0.1, 3), ground, ground_u, *spreads)
    late = Late(0.63, np.array([1.0, 1.6123456789, 1.0]))
    limits = {
        "=odd": LearnedLimit(1.1123456789, 1.05, 1.17, 0.12, 31, 14, 0.1, 0.15),
        "bush_od": LearnedLimit(None, None, None, None, 3, 1),
    }
    return Learned(("bush_od", "Kettenglied-Höhe", "=odd"), priors, late, 300, 5488, 10341, limits)


@pytest.fixture
def entry(learned):
    return json.loads(learned_json(learned, "an invented fleet"))


def test_constants_come_back_to_the_last_bit(tmp_path, learned):
    path = tmp_path / "constants.json"
    write_learned(learned, path, "an invented fleet")
    found = read_learned(path)
    assert (found.kinds, found.machines, found.parts, found.readings) == (learned.kinds, 300, 5488, 10341)
    for name in ("log_rate", "log_rate_u", "ground", "ground_u"):
        np.testing.assert_array_equal(getattr(found.priors, name), getattr(learned.priors, name))
    assert found.priors.spreads == learned.priors.spreads
    assert found.limits == learned.limits
    assert (found.late.begins, found.late.times.tolist()) == (0.63, learned.late.times.tolist())


def test_a_file_of_before_is_read(learned, entry):
    called = {"mild": "light", "middling": "medium", "sharp": "heavy"}
    for ground in entry["grounds"]:
        ground["ground"] = called.get(ground["ground"], ground["ground"])
        ground["times_medium"] = ground.pop("times_middling")
    found = learned_from_json(json.dumps(entry), "file")
    np.testing.assert_array_equal(found.priors.ground, learned.priors.ground)


def test_the_file_says_where_it_comes_from_and_what_it_means(learned, entry):
    assert entry["format"] == FORMAT == "pitchline-constants/1"
    counts = {"machines": 300, "parts": 5488, "readings": 10341}
    assert entry["origin"] == {"pitchline": __version__, "made_from": "an invented fleet"} | counts
    for kind, rate in zip(entry["kinds"], learned.priors.log_rate, strict=True):
        assert kind["life_h"] == pytest.approx(math.exp(-rate), rel=1e-5)
    assert [ground["ground"] for ground in entry["grounds"]] == ["gentle", "mild", "middling", "sharp", "harsh"]
    assert entry["grounds"][2]["times_middling"] == 1.0


def test_figures_for_reading_may_be_left_out(entry):
    for each in entry["kinds"]:
        del each["life_h"]
    assert learned_from_json(json.dumps(entry), "c.json").kinds[0] == "bush_od"


def test_grounds_may_stand_in_any_order(learned, entry):
    entry["grounds"].reverse()
    np.testing.assert_array_equal(
        learned_from_json(json.dumps(entry), "c.json").priors.ground, learned.priors.ground
    )


def put(entry, path, value):
    *way, last = path
    for step in way:
        entry = entry[step]
    entry[last] = value


@pytest.mark.parametrize(
    ("path", "value", "field"),
    [
        (("format",), "pitchline-constants/2", "format"),
        (("kinds", 1, "log_rate"), "-8", "kinds, entry 2, log_rate"),
        (("kinds", 1, "log_rate"), 5.0, "kinds, entry 2, log_rate"),
        (("kinds", 1, "log_rate_sd"), 0.0, "kinds, entry 2, log_rate_sd"),
        (("kinds", 1, "life_h"), 4.0, "kinds, entry 2, life_h"),
        (("kinds", 1, "kind"), "bush_od", "kinds, entry 2"),
        (("kinds",), [], "kinds"),
        (("grounds", 0, "ground"), "middling", "grounds, entry 3"),
        (("grounds", 0, "ground"), "sandy", "grounds, entry 1, ground"),
        (("grounds", 2, "log_effect"), 0.2, "grounds, entry 3, log_effect"),
        (("grounds", 4, "log_effect"), True, "grounds, entry 5, log_effect"),
        (("noise", "log_sd"), -1.0, "noise, log_sd"),
        (("noise", "figure"), 1e300, "noise, figure"),
        (("noise",), None, "noise"),
        (("origin", "machines"), -1, "origin, machines"),
        (("origin", "machines"), 2.5, "origin, machines"),
        (("machine_spred",), 1, "machine_spred"),
    ],
)
def test_what_does_not_hold_is_told_with_its_line(entry, refused, path, value, field):
    put(entry, path, value)
    problems = refused(learned_from_json, json.dumps(entry, indent=1), "c.json")
    assert field in [problem.field for problem in problems]
    assert all(problem.file == "c.json" and problem.allowed and problem.next_step for problem in problems)


def test_a_missing_ground_is_told(entry, refused):
    del entry["grounds"][4]
    (problem,) = refused(learned_from_json, json.dumps(entry), "c.json")
    assert problem.seen == "no entry for harsh"


def test_the_nearest_key_is_offered(entry, refused):
    entry["machine_spred"] = entry.pop("machine_spread")
    steps = {
        problem.field: problem.next_step for problem in refused(learned_from_json, json.dumps(entry), "c.json")
    }
    assert steps["machine_spred"] == "Did you mean 'machine_spread'?"


@pytest.mark.parametrize("text", ["", "[]", "{", "null", '{"format": 1}', "NaN", '{"a": 1, "a": 2}'])
def test_other_text_is_refused(refused, text):
    assert refused(learned_from_json, text, "c.json")


def test_not_a_number_is_refused(entry, refused):
    text = json.dumps(entry).replace(json.dumps(entry["kinds"][0]["log_rate"]), "NaN")
    assert refused(learned_from_json, text, "c.json")


def test_the_example_on_the_page_reads():
    (example,) = re.findall(r"```json\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    found = learned_from_json(example, "constants-file.md")
    assert found.machines == 300
    page = PAGE.read_text(encoding="utf-8")
    for key in json.loads(example):
        assert f"`{key}`" in page
