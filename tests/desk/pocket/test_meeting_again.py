"""What a phone brings after something changed at the desk: nothing is lost, nothing doubled, each is told."""

import datetime as dt
import json
import uuid
from html import unescape

import pytest
from django.test import Client
from django.utils import timezone

from pitchline.desk.clock import today
from pitchline.desk.machine.archiving import archive_several
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.phones.actions import put_out
from pitchline.desk.phones.codes import mark_of
from pitchline.desk.phones.middleware import BY_THE_DOOR, COOKIE
from pitchline.desk.phones.models import Phone
from pitchline.desk.photos.models import Attachment
from pitchline.desk.photos.store import path_of
from pitchline.desk.pocket.look import forget_files, waiting_of
from pitchline.desk.pocket.models import Brought
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.desk.walkround.finishing import set_put_away
from pitchline.desk.walkround.models import Aside, ReadingRow, Sheet
from pocket_of import Pocket

BUSH, RAIL = "bush/left:bush_od_forward", "link/left:rail_height"


@pytest.fixture
def decide(client):
    """Somebody at the desk decides on the first of what waits."""

    def make(decision, **typed):
        waiting = Brought.objects.filter(state="look").order_by("nth").first()
        return client.post(f"/pocket/brought/{waiting.pk}/", {"decision": decision} | typed, follow=True)

    return make


@pytest.fixture
def two_rounds(client, machine):
    """Two phones went round one machine on one day; the first one's round is finished, the other's finish waits."""
    one, other = Pocket(client, "one-store", "Ann"), Pocket(client, "another-store", "Ben")
    first, _ = one.begin(machine, by="Ann")
    second, began = other.begin(machine, by="Ben")
    one.line(first, BUSH, **{"1": "58.1", "tool": "calliper"})
    other.line(second, BUSH, **{"1": "57.9", "tool": "calliper"})
    other.line(second, RAIL, **{"1": "98.0"})
    other.photo(machine, second, place="link/left")
    assert one.became("finish", sheet=first)["became"] == "done"
    return first, second, began, other.became("finish", sheet=second)


def test_second_round_of_a_day_is_told_and_stays_a_draft(two_rounds, client, words):
    first, second, began, finished = two_rounds
    assert "begun by Ann" in began["said"]
    assert finished["became"] == "look"
    assert "a day without another finished walk-round" in finished["said"]
    assert (Sheet.objects.get(pk=first).state, Sheet.objects.get(pk=second).state) == ("finished", "draft")
    page = unescape(words(client.get("/pocket/brought/")))
    assert "Test machine : a walk-round's finish" in page
    assert "Recorded by Ben on 26 Nov 2026, 10:12 by the phone's clock" in page
    assert "Put both together" in page


def test_two_rounds_of_a_day_are_put_together_and_both_readings_stand(two_rounds, decide):
    first, second, *_ = two_rounds
    decide("together", why="one walked, one measured")
    assert Sheet.objects.get(pk=second).state == "put away"
    stands = {row.measurand: row.typed for row in ReadingRow.objects.filter(sheet=first)}
    assert stands == {"bush_od_forward": ["58.1"], "rail_height": ["98.0"]}
    assert Aside.objects.get(sheet=first).fields["1"] == "57.9"
    assert str(Attachment.objects.get().sheet_id) == first
    assert not Brought.objects.filter(state="look").exists()
    assert "one walked, one measured" in " ".join(Change.objects.values_list("why", flat=True))


def test_round_on_a_machine_archived_meanwhile_waits_whole_and_is_taken_in(
    pocket, actor, machine, decide, client, words
):
    archive_several(actor, machine_ids=[machine.pk], archived=True)
    sheet, began = pocket.begin(machine, by="Ann")
    told = [began, pocket.line(sheet, BUSH, **{"1": "58.1"}), pocket.photo(machine, sheet).json()]
    told.append(pocket.became("finish", sheet=sheet))
    assert [one["became"] for one in told] == ["look"] * 4
    assert "archived meanwhile" in began["said"]
    assert not Sheet.objects.filter(pk=sheet).exists()
    assert len(waiting_of(actor.business)) == 1
    assert "1 thing a phone brought needs a look" in words(client.get(f"/machines/{machine.pk}/"))
    assert "1 thing phones brought needs a look" in words(client.get("/"))
    page = words(decide("take", why="it was sold a day later"))
    assert "4 entries are taken in" in page
    one = Sheet.objects.get(pk=sheet)
    assert (one.state, one.by, one.readingrows.get().typed) == ("finished", "Ann", ["58.1"])
    assert Attachment.objects.get().sheet_id == one.pk
    machine.refresh_from_db()
    assert machine.archived_at is not None
    assert not Brought.objects.filter(state="look").exists()
    change = Change.objects.get(what="taken in, what a phone brought")
    assert (change.machine_id, change.why, change.after[:10]) == (
        machine.pk,
        "it was sold a day later",
        "entries: 4",
    )


def test_round_on_a_machine_that_is_gone_is_taken_in_to_another(pocket, machine, decide, client, words):
    sheet, began = pocket.begin(uuid.uuid4())
    pocket.line(sheet, BUSH, **{"1": "58.1"})
    assert began["became"] == "look"
    assert "No machine of this yard" in words(client.get("/pocket/brought/"))
    decide("take", machine=str(machine.pk))
    assert Sheet.objects.get(pk=sheet).machine_id == machine.pk
    assert ReadingRow.objects.get(sheet=sheet).typed == ["58.1"]


def test_photo_of_a_machine_that_is_gone_keeps_its_file_for_a_look(pocket, machine, decide, client):
    kept = pocket.photo(uuid.uuid4(), caption="crack").json()
    assert kept["became"] == "look"
    row = Brought.objects.get()
    assert path_of(row.file).read_bytes()[:2] == b"\xff\xd8"  # a JPEG, written anew
    shown = client.get(f"/pocket/brought/{row.pk}/photo.jpg")
    assert shown.content[:2] == b"\xff\xd8"
    assert "sandbox" in shown["Content-Security-Policy"]
    decide("take", machine=str(machine.pk))
    assert (Attachment.objects.get().machine_id, Attachment.objects.get().caption) == (machine.pk, "crack")
    assert not Brought.objects.filter(state="look").exists()


def test_what_is_let_go_can_be_taken_back_for_a_day_and_its_photo_goes_after_it(pocket, actor, decide, client):
    pocket.photo(uuid.uuid4())
    name = Brought.objects.get().file
    decide("go", why="a thumb")
    assert Brought.objects.get().state == "settled"
    assert forget_files() == 0
    client.post(f"/undo/{Undoable.objects.get().pk}/")
    assert Brought.objects.get().state == "look"
    decide("go")
    Brought.objects.update(settled_at=timezone.now() - dt.timedelta(days=2))
    assert forget_files() == 1
    assert not path_of(name).exists()


def test_part_that_is_gone_by_now_is_kept_with_why(pocket, machine):
    sheet, _ = pocket.begin(machine)
    told = pocket.line(sheet, "bottom_roller/left/19:tread_diameter", **{"1": "150"})
    assert told["became"] == "look"
    assert "a place this machine has" in told["said"]
    assert Brought.objects.get(state="look").machine_id == machine.pk


def test_limits_changed_meanwhile_ask_anew_and_keep_what_was_typed(pocket, machine):
    """The phone told 58.1 mm by the limits it carried; the desk asks by those of now."""
    sheet, _ = pocket.begin(machine)
    assert pocket.line(sheet, BUSH, **{"1": "58.1"})["became"] == "done"
    whole = json.loads(Machine.objects.get(pk=machine.pk).file_text)
    for limit in whole["limits"]:
        if limit["measurand"] == "rail_height":
            limit |= {"new": "30 mm", "limit": "27 mm"}
    Machine.objects.filter(pk=machine.pk).update(file_text=json.dumps(whole))
    told = pocket.line(sheet, RAIL, **{"1": "58.1"})
    assert (told["became"], told["line"]["problem"]) == ("questioned", "")
    assert len(told["line"]["warned"]) == 1
    assert ReadingRow.objects.get(sheet=sheet, measurand="rail_height").typed == ["58.1"]


def test_line_of_a_round_put_away_meanwhile_waits(pocket, actor, machine, decide):
    sheet, _ = pocket.begin(machine)
    set_put_away(actor, sheet_id=uuid.UUID(sheet), away=True)
    told = pocket.line(sheet, BUSH, **{"1": "58.1"})
    assert told["became"] == "look"
    assert "Bring it back first" in told["said"]
    decide("take")
    assert Brought.objects.get(kind="line").state == "look"  # not against the one who put it away
    set_put_away(actor, sheet_id=uuid.UUID(sheet), away=False)
    decide("take")
    assert ReadingRow.objects.get(sheet=sheet).typed == ["58.1"]


def test_line_of_a_round_finished_meanwhile_is_a_correction_somebody_takes_in(pocket, machine, decide):
    sheet, _ = pocket.begin(machine)
    pocket.line(sheet, RAIL, **{"1": "98.0"})
    pocket.became("finish", sheet=sheet)
    told = pocket.line(sheet, BUSH, **{"1": "58.1"})
    assert told["became"] == "look"
    decide("take")
    assert ReadingRow.objects.get(sheet=sheet, measurand="bush_od_forward").typed == ["58.1"]
    assert Sheet.objects.get(pk=sheet).state == "finished"


def test_finish_twice_is_finished_once(pocket, machine):
    sheet, _ = pocket.begin(machine)
    pocket.line(sheet, BUSH, **{"1": "58.1"})
    assert pocket.became("finish", sheet=sheet)["became"] == "done"
    assert pocket.became("finish", sheet=sheet)["said"] == "It was finished already."


def test_day_to_come_is_asked_about_and_right_when_the_person_says_so(pocket, machine):
    """A phone whose clock is a day ahead: the desk asks before it finishes, as on its own page."""
    sheet, _ = pocket.begin(machine, date=str(today() + dt.timedelta(days=1)))
    pocket.line(sheet, BUSH, **{"1": "58.1"})
    asked = pocket.became("finish", sheet=sheet)
    assert asked["became"] == "questioned"
    assert "27 Nov 2026 is still to come" in asked["said"].replace("\u00a0", " ")
    assert Sheet.objects.get(pk=sheet).state == "draft"
    assert pocket.became("finish", sheet=sheet, right=True)["became"] == "done"
    assert not Brought.objects.filter(state="look").exists()  # the question is answered with it


@pytest.fixture
def let_in(actor):
    """Phones that are in, each with a secret of its own."""

    def make(name, person, secret):
        phone = Phone.objects.create(
            business=actor.business, name=name, person=person, mark=mark_of(secret), let_in_by="desk", let_in_at=timezone.now()
        )  # fmt: skip
        browser = Client(**{BY_THE_DOOR: True, "wsgi.url_scheme": "https", "REMOTE_ADDR": "192.168.4.31"})
        browser.cookies[COOKIE] = secret
        return phone, browser

    return make


def test_phone_put_out_sends_nothing_and_everything_once_it_is_in_again_as_somebody_else(let_in, actor, machine):
    phone, browser = let_in("Ann's phone", "Ann", "first")
    pocket = Pocket(browser, "one-store", "Ann")
    sheet, _ = pocket.begin(machine)
    kept = pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "58.1"}, seen=0)
    put_out(actor, phone.pk)
    assert browser.get("/pocket/hello").json()["why"] == "put out"
    refused = pocket.send(kept)
    assert (refused.status_code, refused.json()["why"]) == (401, "put out")
    assert not ReadingRow.objects.filter(sheet=sheet).exists()
    again, browser = let_in("Ben's phone", "Ben", "second")
    pocket.client = browser
    assert browser.get("/pocket/hello").json()["person"] == "Ben"
    assert pocket.send(kept).json()["became"] == "done"
    row = Brought.objects.get(kind="line")
    assert (row.recorded_by, row.sent_by, row.phone) == ("Ann", "Ben", again)
    other, _ = pocket.begin(machine)
    assert Sheet.objects.get(pk=other).by == "Ann"
    assert Change.objects.filter(
        who="Ben", what="recorded on a phone by somebody else", after__startswith="Ann"
    ).exists()


def test_session_that_ended_takes_nothing_and_says_where_to_sign_in(owner_client, owner, bring, dossier):
    machine = bring(dossier, judged=False, who=owner)
    pocket = Pocket(owner_client)
    sheet, _ = pocket.begin(machine)
    owner_client.logout()
    answer = pocket.send(pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "58.1"}, seen=0))
    assert (answer.status_code, answer.json()["why"], answer.json()["href"]) == (401, "signed out", "/sign-in/")
    assert not ReadingRow.objects.filter(sheet=sheet).exists()


def test_write_without_the_token_of_hello_is_refused(machine):
    browser = Client(enforce_csrf_checks=True)
    pocket = Pocket(browser)
    record = pocket.record("begin", sheet=str(uuid.uuid4()), machine=str(machine.pk), date="2026-11-26")
    assert pocket.send(record).status_code == 403
    token = browser.get("/pocket/hello").json()["csrf"]
    sent = browser.post("/pocket/send", record, content_type="application/json", headers={"X-CSRFToken": token})
    assert sent.json()["became"] == "done"


def test_another_business_is_told_nothing_of_a_machine_or_a_round(
    owner_client, owner, bring, dossier, stranger_client
):
    """With the ids of another yard one learns no more than with ids nobody has."""
    machine = bring(dossier, judged=False, who=owner)
    sheet, _ = Pocket(owner_client).begin(machine)
    stranger = Pocket(stranger_client)
    nobodys = stranger.begin(uuid.uuid4())[1]["said"]
    assert stranger.begin(machine)[1]["said"] == nobodys
    line = stranger.record("line", sheet=sheet, key=BUSH, fields={"1": "1"}, seen=0)
    unknown = stranger.record("line", sheet=str(uuid.uuid4()), key=BUSH, fields={"1": "1"}, seen=0)
    told = [stranger.send(one) for one in (line, unknown)]
    assert [(one.status_code, one.json()) for one in told[:1]] == [
        (one.status_code, one.json()) for one in told[1:]
    ]
    assert stranger.photo(machine).json()["said"] == stranger.photo(uuid.uuid4()).json()["said"]
    assert stranger_client.get(f"/pocket/machines/{machine.pk}").status_code == 404
    assert not ReadingRow.objects.filter(sheet=sheet).exists()
    taken = stranger.became("machine", machine=str(machine.pk), kind="dozer", name="Mine", hours="1")
    assert "Test machine" not in taken["said"]
    machine.refresh_from_db()
    assert machine.name == "Test machine"


def test_same_record_id_in_two_yards_is_two_records(pocket, machine, db):
    other = Actor(Business.objects.create(name="Another yard"))
    pocket.begin(machine)
    mine = Brought.objects.get()
    Brought.objects.create(
        business=other.business, record_id=mine.record_id, writer="x", nth=1, kind="line", recorded_by="x", sent_by="x",
        digest="other", record={}, answer={"secret": 1},
    )  # fmt: skip
    assert Brought.objects.filter(record_id=mine.record_id).count() == 2
