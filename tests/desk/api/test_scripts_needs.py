"""What a script needs: what can be read, slips told, marks of what was seen, long pages, many writes at once."""

import json
import uuid

import pytest

from pitchline.desk.api.models import Job, JobPiece
from pitchline.desk.clock import today
from pitchline.desk.machine.models import Machine
from pitchline.desk.walkround.models import Sheet
from pitchline.exchange.machine_file import machine_json

OCTETS = "application/octet-stream"


@pytest.fixture
def begun(machine, post):
    key = uuid.uuid4()
    post(f"/machines/{machine.pk}/walk-rounds", key=key)
    return key


def lines(post, sheet, *keys, **fields):
    sent = [{"key": key, **fields} for key in keys]
    return post(f"/walk-rounds/{sheet}/lines", {"writer": str(uuid.uuid4()), "lines": sent})


def test_all_that_is_told_to_be_readable_can_be_read_and_seen(get, post, machine, begun, dossier):
    told = get(f"/machines/{machine.pk}/readable").json()
    assert [place["key"] for place in told["places"]] == [place.key for place in dossier.gear.walked()]
    quantities = [one for place in told["places"] for one in place["quantities"]]
    sized = {(one.part.value, one.measurand.value): one for one in dossier.limits}
    for place in told["places"]:
        for one in place["quantities"]:
            limit = sized.get((place["part"], one["measurand"]))
            assert (one["new_m"], one["limit_m"]) == ((limit.new_m, limit.limit_m) if limit else (None, None))
    assert lines(post, begun, *(one["key"] for one in quantities), read=[]).status_code == 200
    findings = [one["key"] for place in told["places"] for one in place["findings"]]
    assert lines(post, begun, *findings, severity="").status_code == 200
    assert lines(post, begun, *(place["looked_over"] for place in told["places"]), looked=True).status_code == 200
    assert "depth_gauge" in {tool["name"] for tool in told["tools"]}


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("link/left:rail_heigth", "link/left:rail_height"),
        ("lnk/left:rail_height", "link/left"),
        ("bottom_roller/left/1:leek", "bottom_roller/left/1:leak"),
        ("haed", "head"),
    ],
)
def test_slip_in_a_key_is_told_at_its_own_line(post, begun, slip, meant):
    (problem,) = lines(post, begun, "link/left:rail_height", slip).json()["problems"]
    assert problem["field"] == "body.lines.1.key"
    assert problem["value"] == slip
    assert meant in problem["next_step"]


def test_slip_in_a_field_or_a_question_is_told(post, get, machine):
    (problem,) = post("/machines", {"kind": "dozer", "name": "A", "hours": "1", "custmer": "x"}).json()["problems"]
    assert (problem["field"], problem["next_step"]) == ("body.custmer", "Did you mean customer?")
    (problem,) = get("/machines", custmer="x").json()["problems"]
    assert (problem["field"], problem["next_step"]) == ("query.custmer", "Did you mean customer?")


def test_as_it_was_seen_or_not_at_all(client, get, send, machine):
    first = get(f"/machines/{machine.pk}")
    again = client.get(f"/api/v1/machines/{machine.pk}", headers={"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", first["ETag"])
    change, key = {"seen_version": machine.version, "site": "North yard"}, uuid.uuid4()
    for _ in range(2):  # the second time the mark no longer stands, and it is the same answer all the same
        answer = send(client, "patch", f"/machines/{machine.pk}", change, key, **{"If-Match": first["ETag"]})
        assert answer.status_code == 200
    late = send(client, "patch", f"/machines/{machine.pk}", {"seen_version": 9}, **{"If-Match": first["ETag"]})
    assert (late.status_code, late.json()["problems"][0]["field"]) == (412, "If-Match")
    assert (
        client.get(f"/api/v1/machines/{machine.pk}", headers={"If-None-Match": first["ETag"]}).status_code == 200
    )


def test_pages_are_as_long_as_asked(get, post, db):
    for name in "abc":
        post("/machines", {"kind": "dozer", "name": name, "hours": "1"})
    page = get("/machines", page_size=2, page=2, sort="name").json()
    assert ([one["name"] for one in page["items"]], page["pages"], page["count"]) == (["c"], 2, 3)
    assert get("/machines", page_size=501).status_code == 422


def test_many_writes_each_refused_on_its_own_and_done_once(get, post, actor, bring, dossier, later):
    text = json.loads(machine_json(later(0.6)))
    text["machine"]["short_name"] = "T9"
    key, own = uuid.uuid4(), str(uuid.uuid4())
    writes = [
        {"path": "/machine-files", "body": text},
        {"path": "/machines", "body": {"kind": "dozer", "name": "Dozer", "hours": "many"}},
        {"path": "/machines", "body": {"kind": "dozer", "name": "Dozer", "hours": "8150"}, "key": own},
        {"path": "/nowhere"},
        {"path": "/jobs", "body": {"writes": []}},
    ]
    job = post("/jobs", {"writes": writes}, key=key).json()
    assert (job["id"], job["state"], job["of"], job["done"], job["refused"]) == (str(key), "done", 5, 5, 3)
    pieces = get(f"/jobs/{key}/pieces").json()["items"]
    assert [one["status"] for one in pieces] == [201, 422, 201, 404, 404]
    assert pieces[1]["problems"][0]["field"] == "hours"
    assert pieces[2]["made"] == own
    assert get(f"/jobs/{key}/pieces", refused=True).json()["count"] == 3
    assert Machine.objects.count() == 2
    assert not JobPiece.objects.exclude(sent="").exists()
    JobPiece.objects.filter(number=3).update(status=None, sent=json.dumps(writes[2]["body"]))
    Job.objects.update(done_at=None)  # stopped after the write was done, before it was noted
    from pitchline.desk.api.job_work import JOBS

    JOBS.work()
    assert get(f"/jobs/{key}").json()["state"] == "done"
    assert Machine.objects.count() == 2


def test_job_does_no_more_than_whoever_sent_it_may(client, send, owner, with_login, machine):
    """A fitter's job: bringing a whole machine file asks a right they lack, a walk-round does not."""
    from django.contrib.auth.models import User

    from pitchline.desk.people.models import Member
    from pitchline.desk.people.rights import FITTER

    user = User.objects.create_user("fit", password="long enough 1")
    Member.objects.create(user=user, business=owner.business, role=FITTER)
    client.force_login(user)
    key = uuid.uuid4()
    writes = [
        {"path": "/machine-files", "body": {}},
        {"path": "/machines", "body": {"kind": "dozer", "name": "Dozer", "hours": "1"}},
        {"path": f"/machines/{machine.pk}/archive", "body": {"archived": True}},
    ]
    assert send(client, "post", "/jobs", {"writes": writes}, key).status_code == 201
    pieces = client.get(f"/api/v1/jobs/{key}/pieces").json()["items"]
    assert [one["status"] for one in pieces] == [403, 201, 403]
    client.logout()
    client.force_login(User.objects.get(username="owner"))
    assert client.get(f"/api/v1/jobs/{key}").status_code == 404


def test_list_of_machines_is_shown_then_applied(client, send, get, actor):
    table = b"name,kind,hours\nDozer Hazel,dozer,8150\nNo such,spaceship,1\n"
    sent = send(client, "post", "/machine-lists?filename=yard.csv", table, content_type=OCTETS).json()
    assert (sent["state"], sent["rows_new"], sent["rows_refused"]) == ("shown", 1, 1)
    assert not Machine.objects.exists()
    refused = get(f"/machine-lists/{sent['id']}", what="refused").json()["rows"]["items"]
    assert [(one["row"], bool(one["problems"])) for one in refused] == [(3, True)]
    assert send(client, "post", f"/machine-lists/{sent['id']}/apply").json()["state"] == "applied"
    assert Machine.objects.get().name == "Dozer Hazel"


def test_limits_go_up_as_a_table(client, send, machine):
    table = client.get(f"/machines/{machine.pk}/limits.csv").content.decode().splitlines()
    (number,) = [n for n, line in enumerate(table) if "rail" in line and line.startswith("link")]
    table[number] = table[number].replace("100 mm", "99 mm", 1)
    path = f"/machines/{machine.pk}/limits?filename=limits.csv&seen_version={machine.version}"
    answer = send(client, "post", path, "\n".join(table).encode(), content_type=OCTETS)
    assert answer.status_code == 200, answer.content
    entered = json.loads(client.get(f"/api/v1/machines/{machine.pk}/file").content)["limits"]
    assert next(one["limit"] for one in entered if one["measurand"] == "rail_height") == "99 mm"


def test_walk_rounds_by_state(get, machine, begun):
    drafts = get(f"/machines/{machine.pk}/walk-rounds", state="draft").json()["items"]
    assert [one["id"] for one in drafts] == [str(begun)]
    assert Sheet.objects.get(pk=begun).date == today()
