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
