"""Each record is done once, whatever a phone, a network or a killed desk makes of it."""

import threading
import uuid

import pytest
from django.db import connection
from django.test import Client

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.photos.models import Attachment
from pitchline.desk.pocket import intake
from pitchline.desk.pocket.intake import Sender, take
from pitchline.desk.pocket.models import Brought
from pitchline.desk.pocket.records import MOST_RECORD
from pitchline.desk.trail.models import Change
from pitchline.desk.uploads import Upload
from pitchline.desk.walkround.models import Aside, ReadingRow, SeenRow, Sheet
from pocket_of import Pocket, jpeg, read

BUSH = "bush/left:bush_od_forward"
COUNTED = {
    "joints_per_side": 45, "pitch": "190 mm", "shoe_width": "600 mm", "sprocket_teeth": 23, "bottom_rollers_per_side": 7,
    "upper_rollers_per_side": 2,
}  # fmt: skip


def test_round_brought_line_by_line_stands_as_one_made_at_the_desk(pocket, machine):
    sheet, began = pocket.begin(machine, by="Ann")
    assert began["became"] == "done"
    saved = pocket.line(sheet, **{"1": "58.1", "tool": "calliper"})
    assert (saved["became"], saved["line"]["v"]) == ("done", 1)
    pocket.line(sheet, "bush/left:cracked", bad="severe", note="two of them")
    pocket.line(sheet, "sprocket/left:nothing", looked="looked")
    done = pocket.became("finish", sheet=sheet)
    assert (done["became"], done["sheet"]["told"]) == ("done", "2 of 31 parts looked at")
    one = Sheet.objects.get(pk=sheet)
    assert (one.state, one.by, one.hours_text) == ("finished", "Ann", "3100")
    assert one.readingrows.get().value_m == pytest.approx(0.0581)
    machine.refresh_from_db()
    assert machine.last_walk_on == one.date
    assert machine.call == "stop"  # a bush cracked through, as at the desk: judged anew, nobody waited for it


def test_same_record_again_is_the_same_answer_and_nothing_twice(pocket, machine):
    sheet, _ = pocket.begin(machine)
    record = pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "58.1"}, seen=0)
    first = pocket.send(record).json()
    told = Change.objects.count()
    assert [pocket.send(record).json() for _ in range(3)] == [first] * 3
    assert ReadingRow.objects.get(sheet=sheet).version == 1
    assert Change.objects.count() == told


def test_same_id_with_other_content_is_refused_and_changes_nothing(pocket, machine):
    sheet, _ = pocket.begin(machine)
    record = pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "58.1"}, seen=0)
    pocket.send(record)
    crossed = pocket.send(record | {"about": record["about"] | {"fields": {"1": "57.0"}}})
    assert (crossed.status_code, crossed.json()["why"]) == (422, "other content")
    assert ReadingRow.objects.get(sheet=sheet).typed == ["58.1"]


def test_killed_between_work_and_answer_leaves_neither(pocket, machine, monkeypatch):
    """The row and what it does are one transaction: cut off before its end, the phone sends again and it is done once."""
    sheet, _ = pocket.begin(machine)
    record = read(pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "58.1"}, seen=0))
    with monkeypatch.context() as cut:
        cut.setattr(intake, "settle", _killed)
        with pytest.raises(KeyboardInterrupt):
            take(Sender(local_actor()), record)
    assert not ReadingRow.objects.filter(sheet=sheet).exists()
    assert not Brought.objects.filter(record_id=record.id).exists()
    assert take(Sender(local_actor()), record)["became"] == "done"
    assert ReadingRow.objects.get(sheet=sheet).version == 1


def _killed(*_):
    raise KeyboardInterrupt


def test_photo_killed_after_it_was_kept_is_kept_once(pocket, machine, monkeypatch):
    about = {"photo": str(uuid.uuid4()), "machine": str(machine.pk), "sheet": None, "place": "bush/left"}
    record, photo = read(pocket.record("photo", **about)), Upload("", "photo.jpg", jpeg())
    with monkeypatch.context() as cut:
        cut.setattr(intake, "settle", _killed)
        with pytest.raises(KeyboardInterrupt):
            take(Sender(local_actor()), record, photo)
    assert take(Sender(local_actor()), record, photo)["became"] == "done"
    assert Attachment.objects.get().part == "bush/left"


@pytest.mark.django_db(transaction=True)
def test_same_record_twice_at_one_moment_is_done_once(machine):
    """Both are on their way in together, as where a phone gave up waiting and sent again."""
    pocket = Pocket(Client())
    sheet, _ = pocket.begin(machine)
    record = read(pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "58.1"}, seen=0))
    actor, ready, answers = local_actor(), threading.Barrier(4), []

    def at_once():
        ready.wait()
        answers.append(take(Sender(actor), record))
        connection.close()

    threads = [threading.Thread(target=at_once) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert len(answers) == 4
    assert all(one == answers[0] for one in answers)
    assert (ReadingRow.objects.get(sheet=sheet).version, Brought.objects.filter(record_id=record.id).count()) == (
        1,
        1,
    )


def test_line_before_its_beginning_waits_on_the_phone(pocket, machine):
    record = pocket.record("line", sheet=str(uuid.uuid4()), key=BUSH, fields={"1": "58.1"}, seen=0)
    answer = pocket.send(record)
    assert (answer.status_code, answer.json()["why"]) == (409, "wait")
    assert not Brought.objects.exists()
    begin = pocket.record(
        "begin", sheet=record["about"]["sheet"], machine=str(machine.pk), date="2026-11-26", hours="3100"
    )
    assert pocket.send(begin).status_code == 200
    assert pocket.send(record).json()["became"] == "done"


def test_older_entry_of_the_same_phone_never_takes_the_place_of_its_newer_one(pocket, machine):
    """As where a phone's file is taken in after the phone itself got through."""
    sheet, _ = pocket.begin(machine)
    older = pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "59.9"}, seen=0)
    pocket.line(sheet, BUSH, **{"1": "58.1"})
    assert pocket.send(older).json()["became"] == "done"
    assert ReadingRow.objects.get(sheet=sheet).typed == ["58.1"]


def test_line_that_cannot_be_used_is_kept_as_typed_and_told(pocket, machine):
    sheet, _ = pocket.begin(machine)
    told = pocket.line(sheet, BUSH, **{"1": "fifty"})
    assert told["became"] == "questioned"
    assert "“fifty” cannot be used" in told["line"]["problem"]
    assert ReadingRow.objects.get(sheet=sheet).typed == ["fifty"]


def test_questioned_line_is_asked_about_as_on_the_page(pocket, machine):
    sheet, _ = pocket.begin(machine)
    told = pocket.line(sheet, BUSH, **{"1": "5.81"})
    assert told["became"] == "questioned"
    assert (told["line"]["warned"][0]["put"], told["line"]["warned"][0]["put_said"]) == ("1=58.1", "58.1 mm")


def test_machine_never_seen_before_comes_with_its_running_gear_and_its_round(pocket):
    new = str(uuid.uuid4())
    told = pocket.became(
        "machine", machine=new, kind="excavator", name="Hazel", hours="4100", site="Yard 2", counts=COUNTED
    )
    assert (told["became"], told["said"]) == ("done", "Hazel is in the yard.")
    sheet, began = pocket.begin(new, hours="4100")
    assert began["became"] == "done"
    assert pocket.line(sheet, "bottom_roller/left/7:leak", bad="severe")["became"] == "done"
    assert pocket.became("finish", sheet=sheet)["became"] == "done"
    one = Machine.objects.get(pk=new)
    assert (one.name, one.place, one.hours_h, one.looked_at) == ("Hazel", "Yard 2", 4100, 1)


def test_machine_with_too_few_counts_is_entered_and_its_round_waits_with_it(pocket, client):
    new = str(uuid.uuid4())
    told = pocket.became(
        "machine", machine=new, kind="dozer", name="Hazel", hours="4100", counts={"joints_per_side": 40}
    )
    assert told["became"] == "look"
    assert Machine.objects.get(pk=new).file_text == ""
    sheet, began = pocket.begin(new)
    assert (began["became"], pocket.line(sheet, "bottom_roller/left/1:leak", bad="severe")["became"]) == (
        "look",
        "look",
    )
    client.post(
        f"/machines/{new}/gear/",
        COUNTED
        | {
            "seen_version": 1,
            "track": "steel",
            "sprocket_gaps": "each",
            "layout": "level",
            "shoe_class": "standard",
        },
    )
    first = Brought.objects.filter(kind="begin").get()
    client.post(f"/pocket/brought/{first.pk}/", {"decision": "take"})
    assert not Brought.objects.filter(state="look", sheet_id=sheet).exists()
    assert SeenRow.objects.get(sheet=sheet).kind == "leak"


def test_photo_is_written_anew_and_stands_on_its_part(pocket, machine):
    sheet, _ = pocket.begin(machine)
    assert pocket.photo(machine, sheet, place="bush/left", caption="cracked").json()["became"] == "done"
    kept = Attachment.objects.get()
    assert (str(kept.sheet_id), kept.part, kept.caption, kept.name) == (sheet, "bush/left", "cracked", "photo.jpg")


def test_what_is_no_photo_stays_on_the_phone(pocket, machine):
    answer = pocket.photo(machine, photo=b"%PDF-1.4 not a photo %%EOF")
    assert (answer.status_code, answer.json()["why"]) == (422, "no photo")
    assert not Attachment.objects.exists()
    assert not Brought.objects.exists()


HOSTILE = {
    "no JSON": b"{",
    "no object": b"[]",
    "deep": b'{"shape":1,"about":' + b"[" * 30_000 + b"]" * 30_000 + b"}",
    "zero byte": b'{"shape":1,"id":"0f0c8f0e-0000-4000-8000-000000000001","nth":1,"writer":"a\\u0000","kind":"finish",'
    b'"about":{"sheet":"0f0c8f0e-0000-4000-8000-000000000001"}}',
    "half a letter": b'{"shape":1,"writer":"\\ud800"}',
    "not UTF-8": b'{"shape":1,"writer":"\xff"}',
    "number without end": b'{"shape":1,"nth":' + b"9" * 60_000 + b"}",
    "shape a text": b'{"shape":"1"}',
    "shape true": b'{"shape":true}',
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_record_is_not_understood_and_leaves_nothing(client, db, name):
    answer = client.post("/pocket/send", HOSTILE[name], content_type="application/json")
    assert answer.status_code == 422
    assert not Brought.objects.exists()


def test_record_larger_than_any_is_refused_unread(client, db):
    answer = client.post("/pocket/send", b" " * (MOST_RECORD + 1), content_type="application/json")
    assert (answer.status_code, answer.json()["why"]) == (413, "too large")


CHANGED = {
    "unknown kind": {"kind": "order"},
    "unknown key": {"also": 1},
    "nth below 0": {"nth": -1},
    "nth a text": {"nth": "1"},
    "writer too long": {"writer": "x" * 65},
    "no id": {"id": "1"},
    "unknown field": {"about": {"sheet": str(uuid.uuid4()), "key": BUSH, "fields": {"price": "1"}}},
    "field too long": {"about": {"sheet": str(uuid.uuid4()), "key": BUSH, "fields": {"note": "x" * 2001}}},
}


@pytest.mark.parametrize("name", CHANGED)
def test_record_with_anything_it_cannot_have_is_not_understood(pocket, name):
    record = pocket.record("line", sheet=str(uuid.uuid4()), key=BUSH, fields={}, seen=0)
    answer = pocket.send(record | CHANGED[name])
    assert (answer.status_code, answer.json()["why"]) == (422, "not understood")


def test_shape_of_a_newer_app_stays_on_the_phone_and_says_so(pocket):
    answer = pocket.send(pocket.record("finish", sheet=str(uuid.uuid4())) | {"shape": 2})
    assert (answer.status_code, answer.json()["why"]) == (422, "unknown shape")
    assert "older than the app" in answer.json()["said"]


def test_desk_that_reads_two_shapes_takes_what_was_recorded_before_its_upgrade(pocket, machine, monkeypatch):
    """The readers stand by shape: with a newer one beside it, the one of before still takes what a phone kept for days."""
    from pitchline.desk.pocket import records

    monkeypatch.setitem(records._READ, 2, records._READ[1])
    assert Client().get("/pocket/hello").json()["shapes"] == [1, 2]
    assert pocket.begin(machine)[1]["became"] == "done"


def test_clock_far_off_is_kept_beside_the_desks(pocket, machine):
    sheet, _ = pocket.begin(machine)
    for at, year in (("2006-01-01T00:00:00Z", 2006), ("9999-12-31T23:59:59Z", None), ("yesterday", None)):
        pocket.send(pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "58.1"}, seen=0) | {"at": at})
        kept = Brought.objects.latest("pk")
        assert (kept.recorded_at and kept.recorded_at.year, kept.record["at"], kept.at.year >= 2026) == (
            year,
            at,
            True,
        )


def test_two_phones_in_one_draft_both_stand(pocket, client, machine):
    other = Pocket(client, writer="another-store")
    sheet, _ = pocket.begin(machine)
    pocket.line(sheet, BUSH, **{"1": "58.1"})
    met = other.line(sheet, BUSH, **{"1": "57.2"})
    assert (met["became"], met["line"]["aside"]) == ("aside", True)
    assert ReadingRow.objects.get(sheet=sheet).typed == ["58.1"]
    assert Aside.objects.get().fields["1"] == "57.2"
