"""Machines over the API: the same search, the same forms, optimistic locking, the machine file in and out."""

import json
import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from pitchline.desk.machine.models import Machine
from pitchline.desk.trail.models import Change
from pitchline.exchange.machine_file import machine_json


def test_list_finds_filters_and_sorts_as_the_page_does(get, machine):
    whole = get("/machines").json()
    assert (whole["count"], whole["page"], whole["pages"]) == (1, 1, 1)
    one = whole["items"][0]
    assert one["name"] == machine.name
    assert one["call"] == machine.call
    assert one["due"]["middle_h"] == machine.due_middle_h
    assert one["verdict_id"] == str(machine.judgement_id)
    assert get("/machines", text="TEST", kind="excavator", sort="name").json()["count"] == 1
    for nothing in ({"text": "moon"}, {"kind": "dozer"}, {"archived": "true"}, {"customer": "x"}):
        assert get("/machines", **nothing).json()["items"] == []
    assert get("/machines", page=2).json()["items"] == []


def test_list_takes_the_same_number_of_queries_for_any_number_of_machines(get, machine, actor):
    def queries():
        with CaptureQueriesContext(connection) as caught:
            assert get("/machines").status_code == 200
        return len(caught)

    one = queries()
    Machine.objects.bulk_create(
        Machine(business=actor.business, short_name=f"n{number}", name="x", kind="dozer") for number in range(30)
    )
    assert queries() == one


@pytest.mark.parametrize(
    "asked", [{"sort": "luck"}, {"call": "red"}, {"page": "0"}, {"page": "9" * 40}, {"text": "\x00"}]
)
def test_what_is_not_allowed_in_a_search_is_told(get, db, asked):
    answer = get("/machines", **asked)
    assert answer.status_code == 422
    (problem,) = answer.json()["problems"]
    assert next(iter(asked)) in problem["field"]
    assert all(problem.values())


def test_new_machine_from_kind_name_and_hours_takes_the_key_as_its_id(post, get, db):
    key = uuid.uuid4()
    answer = post("/machines", {"kind": "dozer", "name": "A dozer", "hours": "8150,5 h"}, key=key)
    assert answer.status_code == 201
    one = answer.json()
    assert one["id"] == str(key)
    assert (one["hours_text"], one["hours_h"], one["gear_entered"]) == ("8150,5 h", 8150.5, False)
    assert one["not_judged_because"] == "its running gear is not entered yet"
    assert get(f"/machines/{key}").json() == one


@pytest.mark.parametrize(
    ("change", "field"),
    [({"hours": "8.150"}, "hours"), ({"kind": "spade"}, "kind"), ({"name": "   "}, "name"), ({"name": "a\x07"}, "name"),
     ({"extra": 1}, "extra"), ({"hours": 8150}, "hours"), ({"name": "\ud800"}, "name")],
)  # fmt: skip
def test_forms_decide_what_a_machine_may_be(post, change, field, db):
    body = {"kind": "dozer", "name": "A dozer", "hours": "8150"} | change
    answer = post("/machines", body)
    assert answer.status_code == 422
    assert field in answer.json()["problems"][0]["field"]
    assert not Machine.objects.exists()


def test_change_needs_the_version_seen_and_a_late_one_is_shown_what_is_there(client, send, machine):
    address = f"/machines/{machine.pk}"
    first = send(client, "patch", address, {"seen_version": machine.version, "customer": "Ann"})
    assert first.json()["customer"] == "Ann"
    assert first.json()["version"] == machine.version + 1
    late = send(client, "patch", address, {"seen_version": machine.version, "customer": "Ben"})
    assert late.status_code == 409
    assert late.json()["now"]["customer"] == "Ann"
    assert late.json()["problems"][0]["field"] == "seen_version"
    assert Machine.objects.get().customer == "Ann"
    assert Change.objects.filter(what="customer").count() == 1


def test_the_year_can_be_taken_out_again(client, send, machine):
    address, shown = f"/machines/{machine.pk}", {}
    for year in (2014, ""):
        sent = {"seen_version": Machine.objects.get().version, "year_built": year}
        shown[year] = send(client, "patch", address, sent).json()["year_built"]
    assert shown == {2014: 2014, "": None}


def test_archived_and_brought_back(post, get, machine):
    assert post(f"/machines/{machine.pk}/archive", {"archived": True}).json()["archived"]
    assert get("/machines").json()["count"] == 0
    assert get("/yard").json()["machines"] == 0
    assert not post(f"/machines/{machine.pk}/archive", {"archived": False}).json()["archived"]
    assert get("/yard").json()["machines"] == 1


def test_machine_file_in_and_out_is_the_same_byte_for_byte(post, get, db, dossier):
    text = machine_json(dossier)
    brought = post("/machine-files", text)
    assert brought.status_code == 201
    assert brought.json()["added"]
    assert brought.json()["machine"]["call"]
    machine_id = brought.json()["machine"]["id"]
    assert get(f"/machines/{machine_id}/file").content == text.encode()
    again = post("/machine-files", text)
    assert (again.json()["added"], again.json()["machine"]["id"]) == (False, machine_id)


def test_file_written_otherwise_comes_back_as_it_was_sent(post, get, db, dossier):
    """Other blanks, another order of keys: kept, until something in the machine is changed."""
    text = json.dumps(dict(reversed(json.loads(machine_json(dossier)).items())), indent=None)
    machine_id = post("/machine-files", text).json()["machine"]["id"]
    assert get(f"/machines/{machine_id}/file").content.decode() == text


def test_changed_file_replaces_the_entered_one(client, send, get, machine):
    bare = json.loads(get(f"/machines/{machine.pk}/file", walk_rounds="false").content)
    assert "walk_rounds" not in bare
    bare["machine"]["name"] = "Renamed"
    address = f"/machines/{machine.pk}/file?seen_version={machine.version}&why=typo"
    assert send(client, "put", address, bare).json()["name"] == "Renamed"
    assert len(json.loads(get(f"/machines/{machine.pk}/file").content)["walk_rounds"]) == 2
    assert Change.objects.filter(what="machine file", why="typo").count() == 1
    late = send(client, "put", address, bare | {"hours": {}})
    assert late.status_code == 409
    assert late.json()["now"]["name"] == "Renamed"


def test_same_short_name_with_other_content_is_refused(post, machine, dossier):
    other = json.loads(machine_json(dossier))
    other["running_gear"]["sprocket_teeth"] = 25
    answer = post("/machine-files", other)
    assert answer.status_code == 409
    assert answer.json()["problems"][0]["value"] == "T1"


@pytest.mark.parametrize(
    "text", ["[]", "{", "\ufeff{}", "[" * 100_000, '{"format": "pitchline-machine/1"}', "nul\x00"]
)
def test_what_is_no_machine_file_is_told(post, text, db):
    answer = post("/machine-files", text)
    assert answer.status_code == 422
    assert answer.json()["problems"]


def test_asking_price_is_sent_shown_and_taken_out(client, get, send, machine):
    def now():
        return get(f"/machines/{machine.pk}").json()

    def patch(address, body):
        return send(client, "patch", address, body)

    assert now()["asking_price"] is None
    body = {"seen_version": now()["version"], "asking_price": "EUR 48000"}
    assert patch(f"/machines/{machine.pk}", body).json()["asking_price"] == {"amount": 48000.0, "currency": "EUR"}
    other = {"seen_version": now()["version"], "customer": "Hill"}
    assert patch(f"/machines/{machine.pk}", other).json()["asking_price"] == {"amount": 48000.0, "currency": "EUR"}
    for wrong in ("abc", "48000"):
        answer = patch(f"/machines/{machine.pk}", {"seen_version": now()["version"], "asking_price": wrong})
        assert answer.status_code == 422
    gone = {"seen_version": now()["version"], "asking_price": ""}
    assert patch(f"/machines/{machine.pk}", gone).json()["asking_price"] is None


def test_without_prices_the_running_gear_has_no_worth(get, machine):
    assert get("/machines").json()["items"][0]["running_gear_worth"] is None
    assert get("/yard").json()["running_gear_worth"] is None


def test_a_site_is_read_as_the_place_it_was_called_before_too(post, get, db):
    for word in ("site", "place"):
        body = {"kind": "excavator", "name": f"By {word}", "hours": "10", word: f"Yard {word}"}
        one = post("/machines", body).json()
        assert (one["site"], one["place"]) == (f"Yard {word}", f"Yard {word}")
        found = get(f"/machines?{word}=Yard {word}").json()["items"]
        assert [each["name"] for each in found] == [f"By {word}"]


def test_what_a_workshop_found_is_kept_in_the_machines_file(post, get, machine):
    address = f"/machines/{machine.pk}/looked-for"
    assert post(address, {"about": "cause:slack", "there": False, "note": "gauged"}).status_code == 200
    (found,) = get(f"/machines/{machine.pk}/file").json()["looked_for"]
    assert (found["cause"], found["there"], found["note"]) == ("slack", False, "gauged")
    assert post(address, {"about": "cause:spin", "there": True}).status_code == 422
