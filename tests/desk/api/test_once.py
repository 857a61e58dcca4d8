"""A write sent twice is done once, whatever happens between."""

import threading
import uuid

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client

from pitchline.desk.api import once
from pitchline.desk.api.models import Answered
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Member
from pitchline.desk.people.rights import FITTER

BODY = {"kind": "dozer", "name": "A dozer", "hours": "8150"}


def test_same_write_again_gives_the_same_answer_and_no_second_effect(post, db):
    key = uuid.uuid4()
    first, second = (post("/machines", BODY, key=key) for _ in range(2))
    assert (first.status_code, first.content) == (second.status_code, second.content)
    assert first.json()["id"] == str(key)
    assert (first.get("Idempotent-Replay"), second["Idempotent-Replay"]) == (None, "true")
    assert Machine.objects.count() == 1


def test_same_answer_even_after_something_else_was_changed(post, machine):
    """The second asks what became of the first, not what is there now."""
    key = uuid.uuid4()
    first = post(f"/machines/{machine.pk}/archive", {"archived": True}, key=key)
    post(f"/machines/{machine.pk}/archive", {"archived": False})
    assert post(f"/machines/{machine.pk}/archive", {"archived": True}, key=key).content == first.content
    machine.refresh_from_db()
    assert machine.archived_at is None


def test_answer_kept_for_one_person_is_not_for_another(send, owner, owner_client):
    """A key is an id and no secret; what an owner was answered says prices a fitter does not see."""
    mate = User.objects.create_user("mate")
    Member.objects.create(user=mate, business=owner.business, role=FITTER)
    theirs, key = Client(), uuid.uuid4()
    theirs.force_login(mate)
    assert send(owner_client, "post", "/machines", BODY, key=key).status_code == 201
    again = send(theirs, "post", "/machines", BODY, key=key)
    assert (again.status_code, again.get("Idempotent-Replay")) == (422, None)
    assert send(owner_client, "post", "/machines", BODY, key=key)["Idempotent-Replay"] == "true"


@pytest.mark.parametrize(
    ("address", "body", "kind"),
    [
        ("/machines", BODY | {"name": "Another"}, None),
        ("/machine-files", BODY, None),
    ],
)
def test_same_key_for_something_else_is_refused(post, db, address, body, kind):
    key = uuid.uuid4()
    post("/machines", BODY, key=key)
    answer = post(address, body, key=key)
    assert answer.status_code == 422
    assert answer.json()["problems"][0]["field"] == "Idempotency-Key"
    assert Machine.objects.get().name == "A dozer"


def test_refused_write_leaves_its_key_free(post, db):
    key = uuid.uuid4()
    assert post("/machines", BODY | {"hours": "8.150"}, key=key).status_code == 422
    assert post("/machines", BODY, key=key).status_code == 201


@pytest.mark.parametrize("key", ["", "1", "x" * 36, "{c455c05d-0e45-77ac-e369-bb4defd2000}", "\u00e9" * 36])
def test_key_that_is_no_uuid_is_refused(post, db, key):
    answer = post("/machines", BODY, **{"Idempotency-Key": key})
    assert answer.status_code == 400
    assert answer.json()["problems"][0]["field"] == "Idempotency-Key"
    assert not Machine.objects.exists()


def test_keys_of_two_businesses_are_apart(send, owner_client, stranger_client):
    key = uuid.uuid4()
    search = {"away": True}
    for client in (owner_client, stranger_client):
        answer = send(client, "post", f"/walk-rounds/{uuid.uuid4()}/put-away", search, key=key)
        assert answer.status_code == 404
    assert not Answered.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_two_that_arrive_together_are_done_once(send, monkeypatch):
    """The first stands still inside its work until the second has asked for the same key and is waiting."""
    inside, waiting = threading.Event(), threading.Event()
    key, answers = uuid.uuid4(), []
    real = once._taken

    def slow(actor, machine_key, digest):
        taken = real(actor, machine_key, digest)
        if taken:
            inside.set()
            assert waiting.wait(20)
        else:
            waiting.set()
        return taken

    monkeypatch.setattr(once, "_taken", slow)

    def ask():
        answers.append(send(Client(), "post", "/machines", BODY, key=key))
        connection.close()

    first = threading.Thread(target=ask)
    first.start()
    assert inside.wait(20)
    second = threading.Thread(target=ask)
    second.start()
    first.join(30)
    second.join(30)
    assert [answer.status_code for answer in answers] == [201, 201]
    assert answers[0].content == answers[1].content
    assert Machine.objects.count() == 1
    assert sorted(answer.get("Idempotent-Replay", "") for answer in answers) == ["", "true"]


@pytest.mark.django_db(transaction=True)
def test_eight_at_once_write_a_line_once(send, bring, dossier):
    from pitchline.desk.trail.models import Change

    machine = bring(dossier)
    sheet, key, writer = uuid.uuid4(), uuid.uuid4(), str(uuid.uuid4())
    client = Client()
    send(client, "post", f"/machines/{machine.pk}/walk-rounds", {}, key=sheet)
    lines = {"writer": writer, "lines": [{"key": "link/left:rail_height", "read": ["104.5"]}]}
    answers = []

    def ask():
        answers.append(send(Client(), "post", f"/walk-rounds/{sheet}/lines", lines, key=key))
        connection.close()

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    assert [answer.status_code for answer in answers] == [200] * 8
    assert len({answer.content for answer in answers}) == 1
    assert Change.objects.filter(what__startswith="link rail").count() == 1


def test_work_left_by_a_desk_that_was_killed_is_taken_up_again(post, actor, monkeypatch):
    """Its row stands there without an answer. While it is fresh the sender is told to ask again; then it is done anew."""
    monkeypatch.setattr(once, "WAIT_S", 0.0)
    key = uuid.uuid4()
    post("/machines", BODY, key=key)
    Answered.objects.update(status=None, content=b"")
    early = post("/machines", BODY, key=key)
    assert (early.status_code, early["Retry-After"]) == (409, "5")
    Answered.objects.update(begun_at=Answered.objects.get().begun_at - once.GIVEN_UP)
    assert post("/machines", BODY, key=key).json()["id"] == str(key)
    assert Machine.objects.count() == 1


def test_answers_older_than_a_week_are_not_kept(post, db):
    post("/machines", BODY)
    Answered.objects.update(begun_at=Answered.objects.get().begun_at - once.KEPT)
    post("/machines", BODY)
    assert Answered.objects.count() == 1
