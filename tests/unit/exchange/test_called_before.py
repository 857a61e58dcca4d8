"""Words of before are read as the words of now, and never written."""

import json

import pytest

from pitchline.exchange.machine_file import machine_from_json, machine_json
from pitchline.trade.findings import Severity
from pitchline.trade.ground import GroundClass


@pytest.mark.parametrize(
    ("before", "now"),
    [
        ("kind", GroundClass.GENTLE),
        ("light", GroundClass.MILD),
        ("medium", GroundClass.MIDDLING),
        ("heavy", GroundClass.SHARP),
    ],
)
def test_wear_classes(entry, before, now):
    entry["ground"] = {"usual": before, "to_come": [{"ground": before, "share": 1}]}
    read = machine_from_json(json.dumps(entry), "file")
    assert (read.usual_ground, read.mix_to_come.grounds) == (now, (now,))
    assert before not in json.loads(machine_json(read))["ground"].values()


def test_severity(entry):
    entry["walk_rounds"][0]["findings"][0]["how_bad"] = "marked"
    read = machine_from_json(json.dumps(entry), "file")
    assert read.walk_rounds[0].findings[0].severity is Severity.CLEAR
    assert '"marked"' not in machine_json(read)


def test_short_name_ranges_permitted_error_and_share(entry, dossier):
    entry["ground"]["named"] = [{"name": "peat", "share": 0.333}, {"name": "gravel", "share": 0.667}]
    now = machine_from_json(json.dumps(entry), "file")
    entry["machine"]["id"] = entry["machine"].pop("short_name")
    entry["bands"] = entry.pop("ranges")
    entry["tools"][0]["limit"] = entry["tools"][0].pop("permitted_error")
    entry["ground"]["named"] = [{"name": "peat", "percent": 33.3}, {"name": "gravel", "percent": 66.7}]
    before = machine_from_json(json.dumps(entry), "file")
    assert before == now
    written = json.loads(machine_json(before))
    assert not {"bands"} & written.keys()
    assert written["machine"]["short_name"] == "EX-07"
    assert "id" not in written["machine"]
    assert written["tools"][0]["permitted_error"] == "0.5 mm"
    assert [each["share"] for each in written["ground"]["named"]] == [0.333, 0.667]


@pytest.mark.parametrize(
    ("where", "before"),
    [(("machine",), "id"), ((), "bands"), (("tools", 0), "limit"), (("ground", "named", 0), "percent")],
)
def test_a_key_beside_its_own_of_before_is_refused(entry, refused, where, before):
    entry["ground"]["named"] = [{"name": "peat", "share": 1}]
    holder = entry
    for step in where:
        holder = holder[step]
    holder[before] = [] if before == "bands" else "1"
    problems = refused(machine_from_json, json.dumps(entry), "file")
    assert [problem.seen for problem in problems] == [before]
