"""Undo in place of "are you sure": for a day, by whoever works for the business, and never twice."""

import datetime as dt

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from pitchline.desk.machine.models import Machine
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.actions import undoes
from pitchline.desk.undo.models import Undoable
from pitchline.desk.walkround.models import Sheet
from pitchline.exchange.machine_file import machine_json


def test_archived_machine_comes_back_from_the_message(client, machine):
    page = client.post(f"/machines/{machine.pk}/archive/", {"archived": "1"}, follow=True).content.decode()
    done = Undoable.objects.get()
    assert f'action="/undo/{done.pk}/"' in page
    back = client.post(f"/undo/{done.pk}/", {"next": f"/machines/{machine.pk}/"})
    assert back["Location"] == f"/machines/{machine.pk}/"
    machine.refresh_from_db()
    assert machine.archived_at is None
    assert Change.objects.filter(machine_id=machine.pk, what="brought back", why="undone").exists()


def test_several_are_archived_at_once_and_come_back_at_once(client, bring, dossier, machine):
    from dataclasses import replace

    other = bring(
        replace(dossier, machine=replace(dossier.machine, machine_id="other", name="Other")), judged=False
    )
    ticked = {"machine": [str(machine.pk), str(other.pk)], "archived": "1"}
    odd = client.post("/archive/", ticked | {"machine": [*ticked["machine"], "nonsense"]})
    assert odd.status_code == 400
    assert "nonsense" in odd.content.decode()
    assert Machine.objects.filter(archived_at=None).count() == 2
    page = client.post("/archive/", ticked, follow=True).content.decode()
    assert "2 machines archived" in page
    assert Machine.objects.filter(archived_at=None).count() == 0
    client.post(f"/undo/{Undoable.objects.get().pk}/")
    assert Machine.objects.filter(archived_at=None).count() == 2


def test_ticking_nothing_changes_nothing_and_says_so(client, machine):
    page = client.post("/archive/", {"archived": "1"}, follow=True).content.decode()
    assert "No machine was ticked" in page
    assert not Undoable.objects.exists()


def test_strangers_machines_are_not_archived_with_ones_own(bring, dossier, owner, stranger_client):
    machine = bring(dossier, judged=False, who=owner)
    stranger_client.post("/archive/", {"machine": str(machine.pk), "archived": "1"})
    machine.refresh_from_db()
    assert machine.archived_at is None


def test_finished_walk_round_put_away_comes_back_finished(client, machine):
    sheet = machine.sheets.filter(state=Sheet.FINISHED).last()
    page = client.post(f"/walk-rounds/{sheet.pk}/put-away/", {"away": "1"}, follow=True).content.decode()
    done = Undoable.objects.get()
    assert f'action="/undo/{done.pk}/"' in page
    client.post(f"/undo/{done.pk}/")
    sheet.refresh_from_db()
    machine.refresh_from_db()
    assert sheet.state == Sheet.FINISHED
    assert machine.last_walk_on == sheet.date


def test_put_away_walk_round_does_not_come_back_over_another_of_its_day(client, machine):
    sheet = machine.sheets.filter(state=Sheet.FINISHED).last()
    client.post(f"/walk-rounds/{sheet.pk}/put-away/", {"away": "1"})
    Sheet.objects.create(
        business=machine.business, machine=machine, state=Sheet.FINISHED, date=sheet.date, service_h=1
    )
    page = client.post(f"/undo/{Undoable.objects.get().pk}/", follow=True).content.decode()
    assert "Not undone: there is another one of that day by now" in page
    sheet.refresh_from_db()
    assert sheet.state == Sheet.PUT_AWAY
    assert Undoable.objects.get().undone_at is None


def test_files_brought_in_are_taken_out_again(client, db, dossier):
    client.post("/bring/", {"files": SimpleUploadedFile("machine.json", machine_json(dossier).encode())})
    assert Machine.objects.count() == 1
    page = client.post(f"/undo/{Undoable.objects.get().pk}/", follow=True).content.decode()
    assert "1 machine taken out again" in page
    assert not Machine.objects.exists()
    assert "An empty yard" in page


def test_undone_once_is_undone(client, machine):
    client.post(f"/machines/{machine.pk}/archive/", {"archived": "1"})
    done = Undoable.objects.get()
    client.post(f"/undo/{done.pk}/")
    client.post(f"/machines/{machine.pk}/archive/", {"archived": "1"})
    page = client.post(f"/undo/{done.pk}/", follow=True).content.decode()
    assert "undone already" in page
    machine.refresh_from_db()
    assert machine.archived_at is not None


def test_a_day_later_it_stands(client, machine):
    client.post(f"/machines/{machine.pk}/archive/", {"archived": "1"})
    Undoable.objects.update(at=timezone.now() - dt.timedelta(days=1, seconds=5))
    page = client.post(f"/undo/{Undoable.objects.get().pk}/", follow=True).content.decode()
    assert "done more than a day ago" in page
    assert "could be undone" in client.get("/undo/").content.decode()


def test_list_of_what_can_be_undone(client, machine, words):
    client.post(f"/machines/{machine.pk}/archive/", {"archived": "1"})
    text = words(client.get("/undo/"))
    assert "Test machine archived" in text
    assert "this desk" in text


@pytest.mark.parametrize("goal", ["https://elsewhere.invalid/", "//elsewhere.invalid", "javascript:alert(1)"])
def test_undo_leads_nowhere_else(client, machine, goal):
    client.post(f"/machines/{machine.pk}/archive/", {"archived": "1"})
    assert client.post(f"/undo/{Undoable.objects.get().pk}/", {"next": goal})["Location"] == "/"


def test_one_way_has_one_function_that_takes_back():
    with pytest.raises(ValueError, match="two functions"):
        undoes("archive", lambda actor, before: "something else")
