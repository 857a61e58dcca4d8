"""Walk-rounds over the API: begun by a phone's own id, saved as the form saves, finished, judged."""

import uuid
from dataclasses import replace

import pytest

from pitchline.desk.trail.models import Change
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.parts import PartKind, Place, Side

RAIL = "link/left:rail_height"


@pytest.fixture
def begun(post, machine):
    """The id of a walk-round begun just now."""
    key = uuid.uuid4()
    assert post(f"/machines/{machine.pk}/walk-rounds", {}, key=key).status_code == 201
    return key


@pytest.fixture
def lines(post, begun):
    """A factory of savings."""
    me = str(uuid.uuid4())

    def make(*lines, writer=me, why=""):
        return post(f"/walk-rounds/{begun}/lines", {"writer": writer, "lines": list(lines), "why": why})

    return make


def test_walk_round_takes_the_key_as_its_id(get, begun, machine):
    whole = get(f"/walk-rounds/{begun}").json()
    assert (whole["id"], whole["state"], whole["machine_id"]) == (str(begun), "draft", str(machine.pk))
    listed = get(f"/machines/{machine.pk}/walk-rounds").json()
    print(listed)
    assert [one["state"] for one in listed["items"]] == ["draft", "finished", "finished"]


def test_reading_is_kept_as_typed_beside_its_value(get, lines, begun):
    (line,) = lines({"key": RAIL, "read": ["104,5", "104.7 mm"], "tool": "depth_gauge"}).json()["lines"]
    assert (line["version"], line["words"], line["problem"]) == (1, "saved", "")
    (reading,) = get(f"/walk-rounds/{begun}").json()["readings"]
    assert reading["read"] == ["104,5", "104.7 mm"]
    assert reading["value_m"] == pytest.approx(0.1046)


def test_same_lines_again_change_nothing(lines):
    versions = [lines({"key": RAIL, "read": ["104.5"]}).json()["lines"][0]["version"] for _ in range(3)]
    assert versions == [1, 1, 1]
    assert Change.objects.filter(what__startswith="link rail").count() == 1


def test_two_writers_lose_nothing_and_what_was_kept_aside_can_be_taken(get, post, lines, begun):
    lines({"key": RAIL, "read": ["104.5"]})
    (line,) = lines({"key": RAIL, "read": ["103.9"]}, writer=str(uuid.uuid4())).json()["lines"]
    assert line["aside"]
    (aside,) = get(f"/walk-rounds/{begun}").json()["aside"]
    settled = post(f"/walk-rounds/{begun}/aside/{aside['id']}", {"take": True})
    assert settled.json()["aside"] == []
    assert ReadingRow.objects.get(sheet=begun).typed == ["103.9"]


def test_what_cannot_be_read_is_told_beside_its_line_and_what_cannot_be_is_refused(lines):
    (line,) = lines({"key": RAIL, "read": ["about a hundred"]}).json()["lines"]
    assert "about a hundred" in line["problem"]
    answer = lines({"key": "moon/left:rail_height", "read": ["1"]})
    assert answer.status_code == 422
    assert answer.json()["problems"][0]["value"] == "moon/left:rail_height"


def whole(third):
    head = {"key": "head", "seen_version": 1, "date": "2026-11-02", "hours": "3600", "by": "A fitter"}
    found = [head]
    for reading in third.readings:
        line = {"key": f"{reading.place.key}:{reading.measurand.value}"}
        line["read"] = [f"{reading.repeats_m[0] * 1000:.6g}"]
        if reading.joints > 1:
            line["joints"] = str(reading.joints)
        found.append(line)
    return found


def test_whole_walk_round_from_begin_to_verdict(get, post, lines, begun, machine, walk_round):
    assert lines(*whole(walk_round("2026-11-02", 3600.0, 0.45))).status_code == 200
    done = post(f"/walk-rounds/{begun}/finish")
    assert (done.json()["state"], done.json()["by"]) == ("finished", "A fitter")
    assert post(f"/walk-rounds/{begun}/finish").json() == done.json()
    now = get(f"/machines/{machine.pk}").json()
    assert (now["last_walk_on"], now["hours_h"]) == ("2026-11-02", 3600.0)
    verdict = get(f"/machines/{machine.pk}/verdict").json()
    assert verdict["from_service_h"] - verdict["carried_h"] == pytest.approx(3600.0)
    assert lines({"key": RAIL, "read": ["103"], "seen_version": 1}).status_code == 422
    assert lines({"key": RAIL, "read": ["103"], "seen_version": 1}, why="slip").status_code == 200


def test_what_stands_in_the_way_of_finishing_is_told(post, begun):
    answer = post(f"/walk-rounds/{begun}/finish")
    assert answer.status_code == 409
    assert Sheet.objects.get(pk=begun).state == "draft"
    assert answer.json()["problems"][0]["next_step"]


def test_put_away_and_brought_back(post, begun, lines):
    assert post(f"/walk-rounds/{begun}/put-away", {"away": True}).json()["state"] == "put away"
    assert lines({"key": RAIL, "read": ["104.5"]}).status_code == 422
    assert post(f"/walk-rounds/{begun}/finish").status_code == 409
    assert post(f"/walk-rounds/{begun}/put-away", {"away": False}).json()["state"] == "draft"


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "2026-02-30", "10000-01-01"])
def test_days_out_of_range_never_break_the_desk(post, get, lines, begun, machine, day, walk_round):
    """The last day there is leaves no room for a booking window; it is told, not tripped over."""
    head, *readings = whole(walk_round("2026-11-02", 3600.0, 0.45))
    lines(head | {"date": day}, *readings)
    answer = post(f"/walk-rounds/{begun}/finish")
    assert answer.status_code in (200, 409)
    assert get(f"/machines/{machine.pk}").status_code == 200
    assert get(f"/machines/{machine.pk}/verdict").status_code in (200, 409)


def test_machine_without_running_gear_has_no_walk_round(post, db):
    key = uuid.uuid4()
    post("/machines", {"kind": "dozer", "name": "A dozer", "hours": "8150"}, key=key)
    answer = post(f"/machines/{key}/walk-rounds")
    assert answer.status_code == 409
    assert answer.json()["problems"][0]["field"] == "running gear"


@pytest.mark.parametrize("looked", [True, False])
def test_what_was_seen_last_time_stands_until_somebody_looks(post, get, bring, dossier, looked):
    """A severe leak of 7 September 2026: our own rule, no source."""
    roller = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)
    *before, last = dossier.walk_rounds
    leaks = replace(last, findings=(Finding(roller, FindingKind.LEAK, Severity.SEVERE),))
    machine, key = bring(replace(dossier, walk_rounds=(*before, leaks)), judged=False), uuid.uuid4()
    post(f"/machines/{machine.pk}/walk-rounds", {}, key=key)
    sent = [
        {"key": "head", "seen_version": 1, "date": "2026-11-02", "hours": "3600"},
        {"key": RAIL, "read": ["104.5"]},
    ]
    if looked:
        sent.append({"key": f"{roller.key}:leak", "severity": ""})
    assert post(f"/walk-rounds/{key}/lines", {"writer": str(key), "lines": sent}).status_code == 200
    assert post(f"/walk-rounds/{key}/finish").status_code == 200
    (one,) = get(f"/walk-rounds/{key}").json()["seen"]
    assert one["severity"] == ("" if looked else "severe")
    assert (one["note"], one["last_seen_on"]) == ("", None if looked else "2026-09-07")
    call = get(f"/machines/{machine.pk}").json()["call"]
    assert (call == "stop") is not looked


@pytest.mark.parametrize(("severity", "count"), [("severity", "count"), ("bad", "many")])
def test_bolts_on_one_shoe_are_written_and_read_over_the_api(severity, count, post, get, machine):
    """By the names of now, and by those of before, which are read and written still."""
    key = uuid.uuid4()
    post(f"/machines/{machine.pk}/walk-rounds", {}, key=key)
    line = {"key": "shoe/left:missing_bolts", severity: "slight", count: 2, "on_one": True}
    assert post(f"/walk-rounds/{key}/lines", {"writer": str(key), "lines": [line]}).status_code == 200
    (one,) = get(f"/walk-rounds/{key}").json()["seen"]
    assert (one["severity"], one["count"], one["on_one"]) == ("slight", 2, True)
    assert (one["bad"], one["many"]) == (one["severity"], one["count"])
