"""The yard's shelf: counted, corrected, promised once, taken by work; on page, paper, workbook and over the API. All invented."""

import io
import uuid

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from pitchline.desk.gearbook.actions import take_from_machine
from pitchline.desk.machine.queries import dossier_of
from pitchline.desk.machine.shelved import BESIDES, KEPT, PLANNED, shelved
from pitchline.desk.people.models import Depot
from pitchline.desk.shelf.models import LayUpNeeds, ShelfItem
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.desk.workplan.models import DecidedPlan
from pitchline.stops.order import order_of_part
from pitchline.trade.parts import PartKind


@pytest.fixture
def entry(actor, machine):
    """The machine's running gear in the gear list."""
    return take_from_machine(actor, machine_id=machine.pk, entry_id=uuid.uuid4(), name="Wide steel")


@pytest.fixture
def keep(client, entry):
    """A factory of entries of the shelf, by the page's form."""

    def make(item_id=None, **typed):
        fields = {
            "shelf_number": "S-1",
            "shelf_what": "sprocket",
            "seen_version": "0",
            "entry": str(entry.pk),
            "count": "3",
        } | typed
        address = f"/shelf/{item_id}/" if item_id else "/shelf/new/"
        return client.post(address, fields | ({} if item_id else {"item_id": str(uuid.uuid4())}))

    return make


@pytest.fixture
def sprockets(machine, entry):
    """What renewing both sprockets takes."""
    return order_of_part(PartKind.SPROCKET, dossier_of(machine).gear)


def undo_last(client):
    return client.post(f"/undo/{Undoable.objects.latest('at').pk}/")


def test_a_count_is_entered_corrected_with_a_reason_and_undone(client, keep, words):
    assert keep(rack="rack 4", cost="310,5", used="1", reading="root 520 mm").status_code == 302
    row = ShelfItem.objects.get()
    assert (row.count, row.place, row.cost, row.used, row.reading) == (3, "rack 4", 310.5, True, "root 520 mm")
    text = words(client.get("/shelf/"))
    assert "S-1" in text
    assert "Sprocket, used" in text
    assert "310.50" in text
    refused = keep(row.pk, count="2", seen_version="1")
    assert refused.status_code == 400
    assert "a reason for another count" in words(refused)
    assert keep(row.pk, count="2", seen_version="1", count_why="one was bent").status_code == 302
    assert ShelfItem.objects.get().count == 2
    told = Change.objects.filter(what__startswith="on the shelf").latest("pk")
    assert (told.before, told.after, told.why) == ("3", "2", "one was bent")
    undo_last(client)
    row = ShelfItem.objects.get()
    assert (row.count, row.place) == (3, "rack 4")


def test_a_second_of_a_number_and_whoever_comes_late_are_told(client, keep, words):
    keep()
    again = keep()
    assert again.status_code == 400
    assert "one that no other entry of the shelf has" in words(again)
    row = ShelfItem.objects.get()
    keep(row.pk, count="4", seen_version="1", count_why="x")
    late = keep(row.pk, count="9", seen_version="1", count_why="y")
    assert late.status_code == 409
    assert ShelfItem.objects.get().count == 4


def test_a_form_sent_twice_counts_once(client, entry):
    typed = {
        "shelf_number": "S-1",
        "shelf_what": "sprocket",
        "seen_version": "0",
        "count": "3",
        "item_id": str(uuid.uuid4()),
    }
    assert [client.post("/shelf/new/", typed).status_code for _ in range(2)] == [302, 302]
    assert ShelfItem.objects.get().count == 3


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_out_and_in_again_changes_nothing_and_a_count_in_it_does(client, keep, ending, words):
    keep(rack="rack 4", cost="310.5", note="=1+1")
    content = client.get(f"/shelf/shelf.{ending}").getvalue()

    def bring(sent):
        return client.post(
            "/shelf/bring/", {"files": SimpleUploadedFile(f"shelf.{ending}", sent), "why": "counted"}
        )

    assert bring(content).status_code == 302
    assert ShelfItem.objects.get().version == 1
    if ending == "csv":
        content = content.replace(b",3,rack 4", b",5,rack 4")
    else:
        book = openpyxl.load_workbook(io.BytesIO(content))
        book.active["D2"] = 5
        stream = io.BytesIO()
        book.save(stream)
        content = stream.getvalue()
    assert bring(content).status_code == 302
    row = ShelfItem.objects.get()
    assert (row.count, row.note, row.cost) == (5, "=1+1", 310.5)
    assert Change.objects.filter(what__startswith="on the shelf").latest("pk").why == "counted"
    undo_last(client)
    assert ShelfItem.objects.get().count == 3


def test_every_wrong_cell_of_a_table_is_told_and_nothing_is_written(client, entry, words):
    text = "number,what,running gear,count,condition\nA,spade,,1,new\nB,idler,Nobody's,2,new\nB,idler,,x,odd\n"
    answer = client.post("/shelf/bring/", {"files": SimpleUploadedFile("s.csv", text.encode()), "why": ""})
    assert answer.status_code == 400
    said = words(answer)
    for wrong in ("spade", "odd", "each number once"):
        assert wrong in said
    text = "number,what,running gear,count\nB,idler,Nobody's,2\n"
    answer = client.post("/shelf/bring/", {"files": SimpleUploadedFile("s.csv", text.encode()), "why": ""})
    assert "a name of the gear list, or nothing" in words(answer)
    assert not ShelfItem.objects.exists()


def test_without_a_shelf_orders_are_as_they_were(machine, sprockets):
    assert shelved(machine, [sprockets], BESIDES) == [sprockets]


def test_an_order_says_what_is_there_and_only_for_its_running_gear(machine, keep, sprockets):
    keep(count="1")
    keep(shelf_number="S-2", entry="", count="8")
    (order,) = shelved(machine, [sprockets], BESIDES)
    assert [(line.count, line.on_shelf) for line in order.parts[:1]] == [(2, 1)]
    first, second = shelved(machine, [sprockets, sprockets], PLANNED)
    assert (first.parts[0].on_shelf, second.parts[0].on_shelf) == (1, 0)


def test_what_lies_at_another_depot_is_not_counted(machine, keep, sprockets, actor):
    there = Depot.objects.create(business=actor.business, name="South")
    keep(depot=str(there.pk))
    assert shelved(machine, [sprockets], BESIDES)[0].parts[0].on_shelf == 0
    machine.depot = there
    machine.save()
    assert shelved(machine, [sprockets], BESIDES)[0].parts[0].on_shelf == 2


def test_what_a_kept_lay_up_takes_is_promised_to_it_alone(machine, keep, sprockets, actor, client, words, packed):
    """Needs as a kept plan leaves them: both sprockets at its first lay-up."""
    keep(count="3")
    from pitchline.desk.workplan.models import Plan

    plan = Plan.objects.create(
        business=actor.business, machine=machine, judgement=machine.judgement, digest="x", asked={}, who="o",
        state=Plan.DONE, **packed,
    )  # fmt: skip
    kept = DecidedPlan.objects.create(
        business=actor.business, machine=machine, plan=plan, steps=[], cost=1, who="o", why="x",
        verdict_packed=packed["verdict_packed"],
    )  # fmt: skip
    machine.refresh_from_db()
    LayUpNeeds.objects.create(plan=kept, machine_version=machine.version, stops=[["2027-02-03", {"sprocket": 2}]])
    assert shelved(machine, [sprockets], BESIDES)[0].parts[0].on_shelf == 1
    assert shelved(machine, [sprockets], PLANNED)[0].parts[0].on_shelf == 2
    assert shelved(machine, [sprockets], KEPT)[0].parts[0].on_shelf == 2
    text = words(client.get("/shelf/"))
    assert "2: Test machine , 3 Feb 2027" in text or "2: Test machine, 3 Feb 2027" in text
    kept.put_away_at = kept.at
    kept.save()
    assert shelved(machine, [sprockets], BESIDES)[0].parts[0].on_shelf == 2


def test_a_new_version_of_the_machine_is_counted_anew_from_its_plan(machine, keep, actor, client, packed):
    from pitchline.desk.workplan.models import Plan

    keep()
    plan = Plan.objects.create(
        business=actor.business, machine=machine, judgement=machine.judgement, digest="x", asked={}, who="o",
        state=Plan.DONE, **packed,
    )  # fmt: skip
    DecidedPlan.objects.create(
        business=actor.business, machine=machine, plan=plan, steps=[], cost=1, who="o", why="x",
        verdict_packed=packed["verdict_packed"],
    )  # fmt: skip
    client.get("/shelf/")
    found = LayUpNeeds.objects.get()
    machine.refresh_from_db()
    assert found.machine_version == machine.version
    assert found.stops


def test_work_takes_from_the_shelf_and_gives_it_back(client, keep, machine, words):
    keep(count="3")
    item = ShelfItem.objects.get()
    assert "S-1" in words(client.get(f"/machines/{machine.pk}/take/"))
    assert "Taken from the shelf" in words(client.get(f"/machines/{machine.pk}/work/"))
    too_many = client.post(f"/machines/{machine.pk}/take/", {f"take-{item.pk}": "4", "taken_for": ""})
    assert too_many.status_code == 400
    assert "0 to 3" in words(too_many)
    assert (
        client.post(f"/machines/{machine.pk}/take/", {f"take-{item.pk}": "2", "taken_for": "both"}).status_code
        == 302
    )
    assert ShelfItem.objects.get().count == 1
    assert Change.objects.filter(machine_id=machine.pk, why="both").exists()
    undo_last(client)
    assert ShelfItem.objects.get().count == 3


def test_undoing_over_somebody_elses_count_is_refused(client, keep, words):
    keep()
    done = Undoable.objects.latest("at")
    row = ShelfItem.objects.get()
    keep(row.pk, count="7", seen_version="1", count_why="found four")
    client.post(f"/undo/{done.pk}/")
    assert ShelfItem.objects.get().count == 7


def test_api_tells_the_shelf_and_corrects_a_count(client, keep, words):
    keep(count="3", cost="310")
    (item,) = client.get("/api/v1/shelf").json()["items"]
    assert (item["number"], item["count"], item["promised"], item["cost"]) == ("S-1", 3, 0, 310.0)

    def count(**body):
        return client.post(
            f"/api/v1/shelf/{item['id']}/count", body, content_type="application/json",
            headers={"Idempotency-Key": str(uuid.uuid4())},
        )  # fmt: skip

    assert count(count=2, seen_version=1).status_code == 422
    assert count(count=2, seen_version=1, why="one was bent").json()["count"] == 2
    assert count(count=9, seen_version=1, why="late").status_code == 409


def test_put_away_and_brought_back(client, keep, words):
    keep()
    row = ShelfItem.objects.get()
    client.post(f"/shelf/{row.pk}/away/", {"away": "1"})
    assert "Nothing is on the shelf yet" in words(client.get("/shelf/"))
    client.post(f"/shelf/{row.pk}/away/", {"away": "0"})
    assert "S-1" in words(client.get("/shelf/"))
