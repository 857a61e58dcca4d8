"""Odd bodies, odd figures and odd letters are told apart from each other, and none is an error of the desk's own."""

import json
import uuid

import pytest

from pitchline.exchange.machine_file import machine_json

START = '{"kind": "dozer", "name": "A dozer", "hours": '


@pytest.mark.parametrize(
    "body",
    [
        b"\xff\xfe", b"{", b"nul", START + "NaN}", START + "Infinity}", START + "-Infinity}", "[" * 100_000,
        START + '"1", "hours": "2"}', START + "9" * 5_000 + "}", '{"a":' * 50_000, "\ufeff{}", "'x'", b'"\x00"',
    ],
)  # fmt: skip
def test_what_is_no_json_is_told_with_its_place(client, db, body):
    answer = client.generic(
        "POST", "/api/v1/machines", body, "application/json", headers={"Idempotency-Key": str(uuid.uuid4())}
    )
    (problem,) = answer.json()["problems"]
    assert answer.status_code in (400, 422)
    assert problem["field"].startswith("body")
    assert problem["value"]


@pytest.mark.parametrize(
    "body", ["[]", "1", "1e400", '"x"', "null", START + "1e400}", START + "true}", START + "[[[[1]]]]}"]
)
def test_json_that_is_something_else_does_not_fit(post, db, body):
    answer = post("/machines", body)
    assert answer.status_code == 422
    assert answer.json()["problems"]


LONG = "x" * 100_000
ODD = [
    "\x00",
    "\x1b[2J",
    "\u202e",
    "\u200b",
    "\ud800",
    "\ufffe",
    "\U0001f69c",
    "e\u0301" * 80,
    "=1+1",
    "<script>",
    "'; --",
    LONG,
]


@pytest.mark.parametrize("text", ODD)
def test_odd_letters_are_kept_as_they_are_or_refused(post, get, machine, text):
    """Kept whole or refused whole; never changed on the way."""
    answer = post("/machines", {"kind": "dozer", "name": text, "hours": "1"})
    assert answer.status_code in (201, 422)
    if answer.status_code == 201:
        assert answer.json()["name"] == text
        assert get("/machines", text=text).json()["count"] == 1
    sheet = uuid.uuid4()
    post(f"/machines/{machine.pk}/walk-rounds", key=sheet)
    line = {"key": "link/left:rail_height", "read": [text, "1"], "tool": text, "keep": text}
    answer = post(f"/walk-rounds/{sheet}/lines", {"writer": str(uuid.uuid4()), "lines": [line]})
    assert answer.status_code in (200, 422)
    assert post(f"/walk-rounds/{sheet}/put-away", {"away": True, "why": text}).status_code in (200, 422)


@pytest.mark.parametrize(
    "key", ["", "head~", ":", "/", "bottom_roller/left/99999:leak", "head:leak", "link/left", "link/left:", LONG]
)
def test_keys_of_no_line_are_refused(post, machine, key):
    sheet = uuid.uuid4()
    post(f"/machines/{machine.pk}/walk-rounds", key=sheet)
    line = {"key": key, "read": ["1"], "severity": "severe"}
    answer = post(f"/walk-rounds/{sheet}/lines", {"writer": str(uuid.uuid4()), "lines": [line]})
    assert answer.status_code == 422


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("walk_rounds", 0, "date"), "9999-12-31"),
        (("walk_rounds", 1, "service_h"), 1e300),
        (("walk_rounds", 0, "readings", 0, "read"), ["9" * 40]),
        (("machine", "mass"), 1e308),
        (("hours", "per_week", "high"), 1e308),
        (("running_gear", "joints_per_side"), 10**30),
        (("limits", 0, "new"), 1e-300),
        (("calls", ), {"booking_window_weeks": 1e308}),
    ],
)  # fmt: skip
def test_figures_out_of_all_range_in_a_machine_file_never_break_the_desk(post, get, db, dossier, place, value):
    whole = json.loads(machine_json(dossier))
    inner = whole
    for step in place[:-1]:
        inner = inner[step]
    inner[place[-1]] = value
    answer = post("/machine-files", whole)
    assert answer.status_code in (201, 422)
    if answer.status_code == 201:
        one = answer.json()["machine"]["id"]
        assert get(f"/machines/{one}/verdict").status_code in (200, 409)
        assert get(f"/machines/{one}").status_code == 200


@pytest.mark.parametrize("asked", [{"horizon_h": "1e400"}, {"horizon_h": "-1"}, {"horizon_h": "600", "stop_cost": "Infinity"},
                                   {"horizon_h": "600", "what_ifs": "perhaps"}, {}])  # fmt: skip
def test_figures_of_a_plan_have_their_range(get, machine, asked):
    assert get(f"/machines/{machine.pk}/plan", **asked).status_code == 422


@pytest.mark.parametrize("kind", ["application/json; charset=latin-1", "APPLICATION/JSON", "application/json;;"])
def test_json_is_json_by_any_spelling(post, db, kind):
    body = json.dumps({"kind": "dozer", "name": "Grün", "hours": "1"}).encode()
    assert post("/machines", body, content_type=kind).status_code in (201, 415)
