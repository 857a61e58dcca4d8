"""Learning from the yard's own rows: the same constants as the command, taken into use and back, told where it is too little."""

import io
import json
import math
import zipfile

import pytest
from django.utils import timezone

from pitchline.cli import main
from pitchline.desk.bridge.constant_rows import Constants
from pitchline.desk.clock import today
from pitchline.desk.constants import constants_in_force
from pitchline.desk.learning import actions
from pitchline.desk.learning.models import LearningTurn
from pitchline.desk.learning.worker import WORKER
from pitchline.desk.machine import worker as judging_worker
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import Actor
from pitchline.desk.trail.models import Change
from pitchline.exchange.learned_file import learned_json
from pitchline.exchange.machine_file import machine_json
from pitchline.outlook.learned import weak

pytestmark = pytest.mark.django_db


@pytest.fixture
def unjudged(monkeypatch):
    """Nobody judges here and now what is marked: it waits, as it does for the background."""
    monkeypatch.setattr(judging_worker.WORKER, "work_here", lambda: None)


def test_the_button_learns_what_the_command_learns_from_the_tables(client, yard, unjudged, tmp_path):
    """One press, one proposal; the constants are those of the command on the tables the page gives, to the last bit."""
    client.post("/learning/learn/")
    (row,) = Constants.objects.all()
    assert (row.used_at, row.is_brought) == (None, False)
    saved = {}
    for ending in ("csv", "parquet"):
        (there := tmp_path / f"{ending}.zip").write_bytes(client.get(f"/learning/tables.{ending}.zip").content)
        out = tmp_path / f"{ending}.json"
        assert main(["fleet", str(there), "--save-constants", str(out), "--cores", "1"]) == 0
        saved[ending] = json.loads(out.read_text())
    mine = json.loads(row.text)
    for one in (mine, *saved.values()):
        one["origin"].pop("made_from")
    assert saved["csv"] == saved["parquet"] == mine
    assert mine["origin"]["machines"] == 32
    page = client.get("/learning/").content.decode()
    assert "bottom rollers" in page
    assert "Take into use" in page
    assert client.get(f"/learning/{row.pk}/audit-360.svg").content.startswith(b"<svg")
    # Harsh ground was made twice as hard as middling: inside what 16 machines of each can tell (three standard deviations).
    harsh = next(each for each in mine["grounds"] if each["ground"] == "harsh")
    assert abs(harsh["log_effect"] - math.log(2.0)) < 3 * harsh["log_effect_sd"]
    assert mine["kinds"][0]["taken_off"]["removals"] == 10
    told = client.get("/api/v1/learning").json()
    assert told["in_use_id"] is None
    assert [each["id"] for each in told["constants"]] == [str(row.pk)]
    assert told["constants"][0]["audit"][0]["readings"] > 100
    client.post("/learning/learn/")  # the same rows teach the same
    assert Constants.objects.get().pk == row.pk
    assert "Nothing has changed since" in client.get("/learning/").content.decode()


def test_too_little_is_told_with_how_much_is_needed(client, actor, bring, dossier, unjudged):
    bring(dossier, judged=False)
    client.post("/learning/learn/")
    assert not Constants.objects.exists()
    page = client.get("/learning/").content.decode()
    assert "It takes 30 machines" in page
    assert "this yard has 1." in page


@pytest.fixture
def proposal(actor):
    """Constants as a file brings them: bushes of these machines last half as long as is assumed."""
    kinds = ("bush_od", "bottom_roller", "link_height")
    text = learned_json(weak(kinds, dict.fromkeys(kinds, (1500.0, 0.05))), "an invented yard")
    return actions.bring_constants(actor, name="constants.json", text=text)


def test_verdicts_are_judged_with_what_is_in_use_and_as_before_once_it_is_taken_back(
    client, actor, machine, proposal
):
    before = machine.judgement
    client.post(f"/learning/{proposal.pk}/use/")
    now = Machine.objects.get(pk=machine.pk)
    assert now.judgement.constants == proposal
    assert now.judgement.footing != before.footing
    assert now.due_middle_h != machine.due_middle_h
    assert client.get("/learning/").content.decode().count("Take them back") == 1
    client.post("/learning/take-back/")
    again = Machine.objects.get(pk=machine.pk)
    assert again.judgement == before
    assert constants_in_force(actor.business) is None
    whats = list(Change.objects.filter(machine_id=None).values_list("what", flat=True))
    assert whats.count("constants used") == 2
    assert client.post("/learning/take-back/").status_code == 400


def test_the_set_before_is_in_use_again(actor, proposal, unjudged):
    actions.use(actor, proposal.pk)
    other = actions.bring_constants(actor, name="other.json", text=proposal.text)
    assert Constants.objects.count() == 2  # what is in use is never replaced
    actions.use(actor, other.pk)
    assert actions.take_back(actor) == proposal
    assert constants_in_force(actor.business) == proposal


def test_each_night_it_looks_once_and_a_new_yard_waits_for_its_first(actor, proposal, monkeypatch):
    looked = []
    monkeypatch.setattr(
        "pitchline.desk.learning.worker.learn_now", lambda turn, report: looked.append(turn.business_id)
    )
    WORKER.work()
    turn = LearningTurn.objects.get(business=actor.business)
    assert (looked, turn.looked_on) == ([], today())
    LearningTurn.objects.update(looked_on=today().replace(year=2020))
    WORKER.work()
    assert looked == [actor.business.pk]


def test_what_fails_is_told_and_waits_for_nobody(actor, client, monkeypatch):
    def fails(turn, report):
        raise RuntimeError("x")

    monkeypatch.setattr("pitchline.desk.learning.worker.learn_now", fails)
    LearningTurn.objects.create(business=actor.business, asked_at=timezone.now())
    WORKER.work_here()
    assert LearningTurn.objects.get().asked_at is None
    assert "the desk failed at it" in client.get("/learning/").content.decode()
    WORKER.gave_up(str(actor.business.pk), "took longer than 60 minutes and was ended")
    assert "took longer than 60 minutes" in client.get("/learning/").content.decode()


def test_what_is_no_constants_file_is_refused(client):
    sent = io.BytesIO(b"{}")
    sent.name = "constants.json"
    assert client.post("/learning/bring/", {"files": sent}).status_code == 400
    assert not Constants.objects.exists()


def test_constants_of_another_yard_are_not_found(actor, proposal, client):
    other = Business.objects.create(name="Other")
    Constants.objects.filter(pk=proposal.pk).update(business=other)
    assert client.post(f"/learning/{proposal.pk}/use/").status_code == 404
    assert client.get(f"/learning/{proposal.pk}/constants.json").status_code == 404
    assert constants_in_force(Actor(other).business) is None


def test_the_desk_goes_to_tables_and_another_desk_comes_from_them_whole(client, actor, machine, unjudged):
    """The machine of the desk's own tests, with findings, used parts and inches: every line of it is there again."""
    packed = client.get("/learning/tables.parquet.zip").content
    other = Business.objects.create(name="Other")
    from pitchline.desk.learning.tables import bring_tables, yard_zip
    from pitchline.desk.machine.queries import dossier_of
    from pitchline.desk.uploads import Upload

    brought = bring_tables(Actor(other, "somebody"), Upload("", "fleet-tables.zip", packed))
    assert len(brought.added) == 1
    there = Machine.objects.get(business=other)
    assert machine_json(dossier_of(there)) == machine_json(dossier_of(machine))
    assert yard_zip(other, "parquet") == packed
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        assert len(archive.read("machines.jsonl").splitlines()) == 1


def test_fleet_tables_come_in_by_page_and_can_be_undone(client, actor, yard, unjudged):
    packed = client.get("/learning/tables.csv.zip").content
    Machine.objects.all().delete()
    sent = io.BytesIO(packed)
    sent.name = "fleet-tables.zip"
    page = client.post("/learning/tables/", {"files": sent}, follow=True).content.decode()
    assert "32 machines came in." in page
    assert Machine.objects.filter(business=actor.business).count() == 32
    assert client.get("/learning/tables.csv.zip").content == packed


def test_learned_constants_judge_a_machine_without_a_word_typed(actor, machine, proposal, unjudged):
    actions.use(actor, proposal.pk)
    judged = judge_machine(actor, machine.pk)
    assert judged is not None
    assert judged.constants_id == proposal.pk
