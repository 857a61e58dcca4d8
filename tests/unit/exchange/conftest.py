"""An invented machine and its files, to be spoilt in one way at a time."""

import json

import pytest

from pitchline.exchange.machine_file import machine_from_json
from pitchline.trade.errors import InputError

MACHINE = {
    "format": "pitchline-machine/1",
    "machine": {
        "short_name": "EX-07",
        "name": "Invented excavator",
        "kind": "excavator",
        "mass": "20.3 t",
        "note": "Invented.",
    },
    "running_gear": {
        "track": "steel",
        "joints_per_side": 47,
        "pitch": "187 mm",
        "shoe_width": 570,
        "sprocket_teeth": 25,
        "sprocket_gaps": "every_second",
        "bottom_rollers_per_side": 7,
        "upper_rollers_per_side": 2,
        "grousers_per_shoe": 3,
        "guards": ["track guide"],
        "slew_ring": True,
    },
    "hours": {
        "meter_changes": [{"date": "2025-06-01", "old_h": 5000, "new_h": 0}],
        "per_week": {"low": 15, "usual": 30, "high": 45},
    },
    "ground": {"usual": "middling", "spans": [{"from_h": 0, "to_h": 2000, "ground": "sharp"}]},
    "limits": [
        {"part": "link", "measurand": "rail_height", "new": "105 mm", "limit": "97 mm", "source": "invented"},
        {"part": "chain", "measurand": "pitch", "new": "187 mm", "limit": "193 mm"},
        {
            "part": "bottom_roller",
            "measurand": "tread_diameter",
            "new": "160 mm",
            "limit": "148 mm",
            "between": [{"size": "155 mm", "life_used": 0.3}],
        },
    ],
    "ranges": [{"part": "chain", "measurand": "sag", "least": "20 mm", "most": "40 mm"}],
    "kind_lives": [{"part": "bush", "measurand": "bush_od_forward", "typical_life_h": 5000}],
    "tools": [
        {"name": "long_rule", "resolution": "1 mm", "permitted_error": "0.5 mm", "repeatability": "0.8 mm"},
    ],
    "history": [
        {"what": "fitted_new", "part": "bottom_roller", "side": "left", "meter_h": 3000, "date": "2024-01-10"},
    ],
    "work_done": [
        {
            "id": "w1",
            "what": "fitted_part_worn",
            "places": [{"part": "bottom_roller", "side": "left", "position": 2}],
            "date": "2025-04-02",
            "meter_h": 4900,
            "seen_on": "2025-03-01",
            "put_right": [{"part": "bottom_roller", "side": "left", "position": 2, "seen": "leak"}],
            "readings": [
                {
                    "part": "bottom_roller",
                    "side": "left",
                    "position": 2,
                    "measurand": "tread_diameter",
                    "read": ["155 mm"],
                }
            ],
            "by": "A fitter",
            "cost": {"labour": 90, "parts": 140.5, "currency": "EUR"},
            "reckoned": {"amount": 260, "currency": "EUR", "source": "verdict of 2025-03-01"},
            "note": "From the shelf.",
        },
    ],
    "calls": {"booking_window_weeks": 6},
    "walk_rounds": [
        {
            "date": "2025-03-01",
            "meter_h": 4800,
            "by": "A fitter",
            "readings": [
                {
                    "part": "chain",
                    "side": "left",
                    "measurand": "pitch",
                    "read": ["764 mm", "764,5"],
                    "over_joints": 4,
                    "tool": "tape",
                },
                {
                    "part": "bottom_roller",
                    "side": "left",
                    "position": 3,
                    "measurand": "tread_diameter",
                    "read": ["6 1/8 in"],
                    "kept_because": "read twice",
                },
            ],
            "findings": [
                {"part": "bottom_roller", "side": "right", "position": 2, "seen": "leak", "how_bad": "clear"},
            ],
        },
        {"date": "2025-09-01", "meter_h": 200, "by": "A fitter"},
    ],
}


COLUMNS = (
    *("side", "part", "number", "quantity", "reading 1", "reading 2", "reading 3", "over joints", "tool"),
    *("seen", "how bad", "how many", "keep because", "note"),
)


@pytest.fixture
def entry():
    """The machine file as plain values, to be changed freely."""
    return json.loads(json.dumps(MACHINE))


@pytest.fixture
def dossier():
    return machine_from_json(json.dumps(MACHINE), "machine.json")


@pytest.fixture
def refused():
    """The problems a call is refused with."""

    def problems_of(call, *arguments):
        with pytest.raises(InputError) as caught:
            call(*arguments)
        return caught.value.problems

    return problems_of


@pytest.fixture
def sheet_text():
    """A sheet by hand, from its rows; the head can be changed."""

    def made(*rows, machine="EX-07", date="2026-05-31", meter="1500", unit="mm", delimiter=","):
        head = [
            ["machine", machine],
            ["day", date],
            ["hours on the meter", meter],
            ["who", "B"],
            ["unit", unit],
            [],
        ]
        columns = [*COLUMNS]
        body = [row.split("|") for row in rows]
        return "\n".join(delimiter.join(cells) for cells in [*head, columns, *body]) + "\n"

    return made
