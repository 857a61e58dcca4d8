"""The yard's own running gear: entered once, given to many, versions, undo. Every size here is invented."""

import json
import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from pitchline.desk.gearbook.actions import Written, add_entry, change_entry, fit_machines
from pitchline.desk.gearbook.models import BookEntry, BookVersion, Fitting
from pitchline.desk.gearbook.parts import changes_between, gear_text
from pitchline.desk.machine.models import Machine
from pitchline.desk.trail.models import Change
from pitchline.exchange.machine_file import machine_from_json, machine_json

FORM = {
    "name": "Invented steel, 47 joints", "note": "Invented.", "track": "steel", "joints_per_side": "47",
    "pitch": "7 3/8 in", "shoe_width": "570 mm", "sprocket_teeth": "25", "sprocket_gaps": "every_second",
    "bottom_rollers_per_side": "7", "upper_rollers_per_side": "2", "two_flange_rollers": "2, 6", "layout": "level",
    "shoe_class": "standard", "grousers_per_shoe": "3", "bolts_per_shoe": "4", "pads_per_shoe": "1",
    "bolts_per_pad": "0", "sprocket_segments": "5", "adjuster_stroke": "120 mm", "guards": "centre guard, rock guard",
    "seen_version": "1",
}  # fmt: skip


@pytest.fixture
def part(dossier):
    """The invented excavator's running gear, as a part of its file."""
    return gear_text(json.loads(machine_json(dossier)))


@pytest.fixture
def entry(actor, part):
    """It, in the gear list."""
    return add_entry(actor, entry_id=uuid.uuid4(), written=Written("Invented steel", "", part))


@pytest.fixture
def changed(actor, entry, part):
    """The entry's second version: one limit moved."""
    moved = json.loads(part)
    moved["limits"][2]["limit"] = "101 mm"
    written = Written(entry.name, "", json.dumps(moved))
    change_entry(actor, entry_id=entry.pk, seen_version=1, written=written, why="new manual")
    entry.refresh_from_db()
    return entry


def fit(client, entry, *machines, batch=None):
    post = {"seen_version": str(entry.version), "batch": str(batch or uuid.uuid4())}
    post |= {f"seen~{one.pk}": str(one.version) for one in machines}
    return client.post(f"/gear-list/{entry.pk}/fit/", post | {"machine": [str(one.pk) for one in machines]})


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("/running-gear/", "/gear-list/"),
        ("/running-gear/{entry}/?q=T", "/gear-list/{entry}/?q=T"),
        ("/running-gear/{entry}/gear.json", "/gear-list/{entry}/gear.json"),
        ("/machines/{machine}/from-book/", "/machines/{machine}/from-gear-list/"),
    ],
)
def test_addresses_of_before_lead_on(client, machine, entry, old, new):
    names = {"entry": entry.pk, "machine": machine.pk}
    answer = client.get(old.format(**names))
    assert (answer.status_code, answer["Location"]) == (308, new.format(**names))
    assert client.get(answer["Location"]).status_code == 200


def test_a_form_sent_to_an_address_of_before_arrives(client, machine):
    client.post(f"/machines/{machine.pk}/to-book/", {"name": "Sent to the old one"}, follow=True)
    assert BookEntry.objects.get().name == "Sent to the old one"


def test_empty_book_says_how_to_begin(client, actor, words):
    text = words(client.get("/gear-list/"))
    assert "Enter one" in text
    assert "Take one from a machine" in text


def test_every_field_of_a_running_gear_is_kept_as_typed(client, actor):
    """What is typed comes back, and a machine file reads it: 7 3/8 in are 187.325 mm by the inch of 1959."""
    answer = client.post("/gear-list/new/", FORM | {"entry_id": str(uuid.uuid4())})
    entry = BookEntry.objects.get()
    assert answer["Location"] == f"/gear-list/{entry.pk}/limits/"
    text = json.dumps(
        {"format": "pitchline-machine/1", "machine": {"short_name": "x", "name": "x", "kind": "dozer"}}
    )
    gear = machine_from_json(json.dumps(json.loads(text) | json.loads(entry.text)), "x").gear
    assert json.loads(entry.text)["running_gear"]["pitch"] == "7 3/8 in"
    assert gear.pitch_m == pytest.approx(0.187325)
    assert (gear.joints_per_side, gear.two_flange_rollers, gear.sprocket_segments) == (47, (2, 6), 5)
    assert gear.guards == ("centre guard", "rock guard")
    assert gear.adjuster_stroke_m == pytest.approx(0.120)
    page = client.get(f"/gear-list/{entry.pk}/change/").content.decode()
    assert 'value="7 3/8 in"' in page
    assert 'value="centre guard, rock guard"' in page


def test_same_form_sent_twice_makes_one_entry(client, actor):
    form = FORM | {"entry_id": str(uuid.uuid4())}
    for _ in range(2):
        client.post("/gear-list/new/", form)
    assert BookEntry.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "text", "told"),
    [
        ("joints_per_side", "7", "20"),
        ("pitch", "long", "long"),
        ("two_flange_rollers", "9", "two-flange rollers"),
        ("two_flange_rollers", "two", "numbers parted by commas"),
        ("name", "", "Nothing is entered here, and it is needed."),
    ],
)
def test_what_cannot_be_is_told_and_stays_typed(client, actor, words, field, text, told):
    answer = client.post("/gear-list/new/", FORM | {field: text, "entry_id": str(uuid.uuid4())})
    assert answer.status_code == 400
    assert told in words(answer)
    assert not BookEntry.objects.exists()


def test_name_is_taken_once(client, entry, words):
    answer = client.post("/gear-list/new/", FORM | {"name": entry.name, "entry_id": str(uuid.uuid4())})
    assert "one no other running gear has" in words(answer)


def test_fitting_shows_what_would_change_and_changes_nothing_yet(client, machine, changed, words):
    before = machine.file_text
    text = words(client.get(f"/gear-list/{changed.pk}/fit/?machine={machine.pk}"))
    assert "Link rail height, link rail" in text
    assert "limit 101 mm" in text
    machine.refresh_from_db()
    assert machine.file_text == before
    assert not Fitting.objects.exists()


def test_fitting_moves_limits_and_judgement_and_keeps_everything_else(client, machine, changed):
    before = json.loads(machine.file_text)
    judged = machine.judgement_id
    fit(client, changed, machine)
    machine = Machine.objects.get(pk=machine.pk)
    after = json.loads(machine.file_text)
    assert after["limits"][2]["limit"] == "101 mm"
    assert after["history"] == before["history"]
    assert after["hours"] == before["hours"]
    client.get(f"/machines/{machine.pk}/")
    assert Machine.objects.get(pk=machine.pk).judgement_id != judged
    told = Change.objects.get(machine_id=machine.pk, what="machine file")
    assert told.why == "from the gear list: Invented steel, version 2"


def test_fitting_twice_by_the_same_form_is_one_fitting(client, machine, changed):
    batch = uuid.uuid4()
    for _ in range(2):
        fit(client, changed, machine, batch=batch)
    assert Fitting.objects.count() == 1


def test_machine_without_running_gear_gets_one_from_the_book(client, actor, entry, words):
    client.post(
        "/machines/new/",
        {"machine_id": str(uuid.uuid4()), "name": "Bare", "kind": "dozer", "hours": "100"},
    )
    bare = Machine.objects.get(name="Bare")
    assert "Choose from the gear list" in words(client.get(f"/machines/{bare.pk}/"))
    assert "Invented steel" in words(client.get(f"/machines/{bare.pk}/from-gear-list/"))
    fit(client, entry, bare)
    bare.refresh_from_db()
    dossier = machine_from_json(bare.file_text, "bare")
    assert (dossier.machine.name, dossier.machine.kind.value) == ("Bare", "dozer")
    assert dossier.gear.joints_per_side == 45
    client.post(f"/gear-list/undo/{Fitting.objects.get().batch}/")
    bare.refresh_from_db()
    assert bare.file_text == ""


def test_undo_gives_back_what_was_there_and_can_be_repeated_for_the_one_before(
    client, actor, machine, entry, part
):
    start = json.loads(machine.file_text)
    start.pop("walk_rounds")
    fit(client, entry, machine)
    machine.refresh_from_db()
    moved = json.loads(part)
    moved["limits"][2]["limit"] = "101 mm"
    written = Written(entry.name, "", json.dumps(moved))
    change_entry(actor, entry_id=entry.pk, seen_version=1, written=written, why="x")
    entry.refresh_from_db()
    fit(client, entry, machine)
    second, first = Fitting.objects.all()
    client.post(f"/gear-list/undo/{second.batch}/")
    machine.refresh_from_db()
    assert json.loads(machine.file_text) == start
    first.refresh_from_db()
    assert first.machine_version == machine.version
    client.post(f"/gear-list/undo/{first.batch}/")
    assert not Fitting.objects.filter(undone_at=None).exists()
    assert client.post(f"/gear-list/undo/{first.batch}/").status_code == 404


def test_undo_leaves_a_machine_that_was_changed_since(client, machine, changed, words):
    fit(client, changed, machine)
    now = Machine.objects.get(pk=machine.pk)
    client.post(
        f"/machines/{machine.pk}/about/",
        {"seen_version": now.version, "name": "Renamed", "kind": now.kind, "customer": "", "place": ""},
    )
    answer = client.post(f"/gear-list/undo/{Fitting.objects.get().batch}/", follow=True)
    assert "it was changed since" in words(answer)
    assert "101 mm" in Machine.objects.get(pk=machine.pk).file_text


def test_machine_that_cannot_carry_it_is_told_and_left(client, actor, machine, part, words):
    """Rollers are read on the machine that the other running gear does not have."""
    fewer = json.loads(part)
    fewer["running_gear"] |= {"bottom_rollers_per_side": 3, "two_flange_rollers": []}
    entry = add_entry(actor, entry_id=uuid.uuid4(), written=Written("Fewer rollers", "", json.dumps(fewer)))
    answer = fit(client, entry, machine)
    assert "was left as it is" in words(client.get(answer["Location"]))
    machine.refresh_from_db()
    assert json.loads(machine.file_text)["running_gear"]["bottom_rollers_per_side"] == 5
    assert not Fitting.objects.exists()


def test_machine_changed_meanwhile_is_left(actor, machine, changed):
    done = fit_machines(actor, entry_id=changed.pk, version=2, batch=uuid.uuid4(), seen={machine.pk: 99})
    assert done.fitted == []
    assert "somebody else changed it" in done.refused[0][1]


def test_older_version_is_told_and_brought_up(client, actor, machine, entry, part, words):
    fit(client, entry, machine)
    moved = json.loads(part)
    moved["limits"][2]["limit"] = "101 mm"
    change_entry(
        actor, entry_id=entry.pk, seen_version=1, written=Written(entry.name, "", json.dumps(moved)), why="m"
    )
    text = words(client.get(f"/gear-list/{entry.pk}/"))
    assert "1 machine has an older version: Test machine (version 1)" in text
    assert "→" in text
    assert "the gear list has version 2 now" in words(client.get(f"/machines/{machine.pk}/limits/"))
    entry.refresh_from_db()
    fit(client, entry, Machine.objects.get(pk=machine.pk))
    assert "older version" not in words(client.get(f"/gear-list/{entry.pk}/"))


def test_book_counts_the_machines_that_have_an_entry_now(client, machine, entry, words):
    fit(client, entry, machine)
    row = client.get("/gear-list/").content.decode().split("Invented steel</a>")[1].split("</tr>")[0]
    assert 'data-said="Machines">1<' in row


def test_second_writer_of_an_entry_overwrites_nothing(client, changed, words):
    post = FORM | {"name": "Mine", "why": "mine", "seen_version": "1"}
    answer = client.post(f"/gear-list/{changed.pk}/change/", post)
    assert answer.status_code == 409
    assert "Somebody else changed this meanwhile" in words(answer)
    assert 'value="Mine"' in answer.content.decode()
    assert BookVersion.objects.filter(entry=changed).count() == 2


def test_old_versions_stay(changed):
    assert [one.version for one in changed.versions.all()] == [2, 1]
    assert "101 mm" not in changed.versions.last().text


def test_export_goes_in_again_and_a_whole_machine_file_does(client, actor, entry, dossier, tmp_path):
    sent = client.get(f"/gear-list/{entry.pk}/gear.json")
    for name, content in (("again.json", sent.content), ("whole.json", machine_json(dossier).encode())):
        path = tmp_path / name
        path.write_bytes(content)
        with path.open("rb") as file:
            client.post("/gear-list/bring/", {"files": file})
    texts = {one.name: json.loads(one.text) for one in BookEntry.objects.all()}
    assert texts["again"] == texts["whole"] == texts["Invented steel"]


def test_file_without_running_gear_is_refused(client, actor, tmp_path, words):
    path = tmp_path / "no.json"
    path.write_text("[1, 2]", encoding="utf-8")
    with path.open("rb") as file:
        answer = client.post("/gear-list/bring/", {"files": file})
    assert answer.status_code == 400
    assert "none in this file" in words(answer)


def test_put_away_and_brought_back(client, entry, words):
    client.post(f"/gear-list/{entry.pk}/away/", {"away": "1"})
    assert "Put away" in words(client.get("/gear-list/"))
    client.post(f"/gear-list/{entry.pk}/away/", {"away": "0"})
    entry.refresh_from_db()
    assert entry.put_away_at is None


def test_what_changes_is_said_in_words(part):
    before = json.loads(part)
    after = json.loads(part)
    after["running_gear"]["joints_per_side"] = 46
    del after["limits"][0]
    told = {one.what: (one.before, one.after) for one in changes_between(before, after)}
    assert told["joints per side"] == ("45", "46")
    assert told["pitch per joint, chain"][1] == ""
    assert len(told) == 2


def test_queries_do_not_grow_with_the_machines(client, actor, entry, bring, dossier):
    def count(address):
        client.get(address)
        with CaptureQueriesContext(connection) as caught:
            assert client.get(address).status_code == 200
        return len(caught)

    addresses = ("/gear-list/", f"/gear-list/{entry.pk}/")
    before = [count(one) for one in addresses]
    for number in range(12):
        machine = Machine.objects.create(
            business=actor.business, short_name=f"m{number}", name=f"Machine {number}", kind="dozer"
        )
        Fitting.objects.create(
            machine=machine, entry=entry, version=1, batch=uuid.uuid4(), machine_version=1, who="x"
        )
    assert [count(one) for one in addresses] == before
    assert max(before) <= 14


def test_strangers_machines_cannot_be_fitted(client, actor, entry, owner, bring, dossier):
    theirs = bring(dossier, judged=False, who=owner)
    fit(client, entry, theirs)
    assert not Fitting.objects.exists()
    assert Machine.objects.get(pk=theirs.pk).version == theirs.version


def test_an_entry_stored_when_ranges_were_bands_reads_and_gives_the_same(client, machine, entry):
    sag = [{"part": "chain", "measurand": "sag", "least": "20 mm", "most": "40 mm"}]
    before = json.loads(entry.text) | {"bands": sag}
    BookEntry.objects.filter(pk=entry.pk).update(text=json.dumps(before))
    entry.refresh_from_db()
    fit(client, entry, machine)
    machine.refresh_from_db()
    given = json.loads(machine.file_text)
    assert (given["ranges"], "bands" in given) == (sag, False)
