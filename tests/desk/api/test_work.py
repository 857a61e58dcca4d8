"""Work done over the API: written down, listed and taken out, by the pages' own form and actions."""

import uuid
from dataclasses import replace

import pytest

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.models import Machine
from pitchline.desk.undo.models import Undoable
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.parts import PartKind, Place, Side

ROLLER = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)
SIZE = {"place": ROLLER.key, "measurand": "tread_diameter", "read": "154 mm"}


@pytest.fixture
def machine(bring, dossier, priced):
    last = dossier.walk_rounds[-1]
    looked = tuple(place for place in last.looked_over if place != ROLLER)
    last = replace(last, findings=(Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE),), looked_over=looked)
    return bring(replace(dossier, walk_rounds=(dossier.walk_rounds[0], last)))


@pytest.fixture
def body(machine):
    return {
        "seen_version": machine.version,
        "what": "fitted_part_worn",
        "places": [ROLLER.key],
        "date": "2026-11-26",
        "hours": "3,343",
        "put_right": [{"place": ROLLER.key, "seen": "leak"}],
        "sizes": [SIZE],
        "by": "A fitter",
        "parts": "140.50",
    }


def test_work_is_written_down_once_and_the_verdict_follows(machine, body, post, get):
    key = uuid.uuid4()
    answer = post(f"/machines/{machine.pk}/work", body, key=key)
    assert answer.status_code == 201, answer.content
    told = answer.json()
    assert (told["id"], told["service_h"], told["seen_on"]) == (str(key), 3343.0, "2026-09-07")
    assert told["cost"] == {"labour": 0.0, "parts": 140.5, "currency": "EUR"}
    assert told["sizes"] == ["bottom_roller/left/3 tread_diameter: 154 mm"]
    assert post(f"/machines/{machine.pk}/work", body, key=key).json() == told
    listed = get(f"/machines/{machine.pk}/work").json()
    assert (listed["count"], listed["items"]) == (1, [told])
    part = next(one for one in verdict_of(Machine.objects.get().judgement).parts if one.place == ROLLER)
    assert part.findings == ()
    assert part.judged[0].status == "judged"
    assert Undoable.objects.filter(way="work done").count() == 1


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"date": "2026-11-27"}, "date"),
        ({"hours": "2,999"}, "hours"),
        ({"hours": "many"}, "hours"),
        ({"what": "fitted_new"}, "size-bottom_roller/left/3-tread_diameter"),
        ({"what": "turned"}, "what"),
        ({"places": ["bottom_roller/left/9"]}, "places"),
        ({"places": [ROLLER.key, "idler/left/1"]}, "places"),
        ({"places": ["wing/left"]}, "places"),
        ({"put_right": [{"place": ROLLER.key, "seen": "cracked"}]}, "put_right"),
        ({"sizes": [SIZE | {"measurand": "sag"}]}, "sizes"),
        ({"parts": "-1"}, "parts"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(machine, body, post, change, field):
    answer = post(f"/machines/{machine.pk}/work", body | change)
    assert answer.status_code == 422
    (problem,) = answer.json()["problems"]
    assert problem["field"] == field
    assert problem["next_step"]
    assert not Undoable.objects.filter(way="work done").exists()


def test_an_old_version_is_told_with_the_machine_as_it_is(machine, body, post):
    answer = post(f"/machines/{machine.pk}/work", body | {"seen_version": 99})
    assert answer.status_code == 409
    assert answer.json()["now"]["version"] == machine.version


def test_a_record_is_taken_out_with_a_reason(machine, body, post, get):
    key = uuid.uuid4()
    post(f"/machines/{machine.pk}/work", body, key=key)
    address, version = f"/machines/{machine.pk}/work/{key}/take-out", Machine.objects.get().version
    assert post(address, {"seen_version": version, "why": " "}).status_code == 422
    assert post(address, {"seen_version": 99, "why": "wrong"}).status_code == 409
    assert post(address, {"seen_version": version, "why": "It was roller 4."}).status_code == 200
    assert get(f"/machines/{machine.pk}/work").json()["items"] == []
    again = {"seen_version": version + 1, "why": "Once more."}
    assert post(address, again).status_code == 404


def test_without_running_gear_there_is_nothing_to_write_down(actor, body, post, get):
    bare = Machine.objects.create(business=actor.business, short_name="B", name="Bare", kind="dozer")
    assert post(f"/machines/{bare.pk}/work", body).status_code == 409
    assert get(f"/machines/{bare.pk}/work").status_code == 409
