"""A list of machines: shown first, applied exactly, refused in words, undone, and given out again."""

import csv
import datetime as dt
import io
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from openpyxl import load_workbook

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.desk.yard import worker
from pitchline.desk.yard.lists import read_list
from pitchline.desk.yard.models import MachineList
from pitchline.desk.yard.worker import ListKeeper, Progress
from pitchline.exchange.machine_list import ALL_COLUMNS, OWN_COLUMNS, machine_list_xlsx

HEAD = ",".join(OWN_COLUMNS)


@pytest.fixture
def known(db):
    """A factory of machines in the yard."""

    def make(short="a1", name="Alder", kind="dozer", **columns):
        columns = {"hours_text": "100", "hours_h": 100.0} | columns
        return Machine.objects.create(
            business=local_actor().business, short_name=short, name=name, kind=kind, **columns
        )

    return make


@pytest.fixture
def show(client, db):
    """A factory of lists sent, as (what is shown, address)."""

    def make(*rows, head=HEAD, name="list.csv", content=None):
        content = content if content is not None else "\n".join([head, *rows]).encode()
        answer = client.post("/bring/", {"files": SimpleUploadedFile(name, content)})
        assert answer.status_code == 302
        return client.get(answer["Location"]), answer["Location"]

    return make


def steps():
    return {step["row"]: step for step in MachineList.objects.first().steps}


def test_years_and_prices_of_new_and_changed_machines_are_shown(show, known, words):
    known(year_built=2009)
    head = "short name,name,kind,hours,year built,serial number"
    page, address = show("a1,Alder,dozer,100,2011,", ",Cedar,paver,2500.5,2014,SN7", head=head)
    assert page.status_code == 200
    assert "year built 2009 → 2011" in words(page)
    text = words(page.client.get(address, {"what": "new"}))
    assert "year built 2014" in text
    assert "serial number SN7" in text


def test_list_shows_what_it_would_change_and_writes_nothing(show, known, words):
    alder = known(customer="Old customer")
    known("b1", "Birch", "excavator", place="East yard")
    page, _ = show(
        "a1,Alder,dozer,100,New customer,",
        "b1,Birch,excavator,100,,East yard",
        ",Cedar,paver,2500.5,,",
        ",Dogwood,cart,10,,",
        ",Elm,dozer,,,",
    )
    tabs = dict(page.context["tabs"])
    assert tabs == {"new": "1 new", "changed": "1 changed", "unchanged": "1 unchanged", "refused": "2 refused"}
    assert steps()[2]["fields"] == {"customer": ["Old customer", "New customer"]}
    text = words(page)
    assert "“cart”. Allowed: excavator" in text
    assert "Hours: nothing is entered. Allowed: hours on the meter" in text
    alder.refresh_from_db()
    assert alder.customer == "Old customer"
    assert Machine.objects.count() == 2


def test_applying_does_exactly_what_was_shown_and_tells_the_trail(client, show, known, words):
    alder = known(customer="Old customer")
    _, address = show("a1,,,,New customer,North gate", ",Cedar,paver,2500.5,,")
    page = client.post(f"{address}apply/", follow=True)
    assert "was brought in" in words(page)
    alder.refresh_from_db()
    assert (alder.customer, alder.place, alder.name, alder.version) == ("New customer", "North gate", "Alder", 2)
    cedar = Machine.objects.get(name="Cedar")
    assert (cedar.short_name, cedar.kind, cedar.hours_h, cedar.hours_text) == ("cedar", "paver", 2500.5, "2500.5")
    assert not cedar.to_judge
    told = Change.objects.get(machine_id=alder.pk, what="customer")
    assert (told.before, told.after, told.why) == ("Old customer", "New customer", "from the list list.csv")
    assert client.get(f"/machines/{cedar.pk}/").status_code == 200


def test_applying_twice_and_sending_twice_change_nothing(client, show, db):
    rows = (",Cedar,paver,10,,", "x-9,Elm,dozer,20,,")
    _, address = show(*rows)
    for _ in range(2):
        client.post(f"{address}apply/")
    page, _ = show(*rows)
    assert dict(page.context["tabs"])["unchanged"] == "2 unchanged"
    assert Machine.objects.count() == 2


@pytest.mark.parametrize("between", ["changed", "added", "renamed", "gone"])
def test_yard_that_changed_meanwhile_is_told_and_nothing_is_written(client, show, known, words, between):
    alder = known()
    _, address = show("a1,,,,New customer,", ",Cedar,paver,10,,")
    if between == "changed":
        client.post(
            f"/machines/{alder.pk}/about/",
            {"seen_version": 1, "name": "Alder", "kind": "dozer", "customer": "Third"},
        )
    elif between == "added":
        known("c1", "Cedar", "paver")
    elif between == "renamed":
        Machine.objects.filter(pk=alder.pk).update(short_name="other")
    else:
        alder.delete()
    before = list(Machine.objects.values_list("name", "customer"))
    page = client.post(f"{address}apply/", follow=True)
    assert "The yard changed meanwhile" in words(page)
    assert list(Machine.objects.values_list("name", "customer")) == before
    client.post(f"{address}apply/")
    assert MachineList.objects.get().state == "applied"


def test_import_is_undone_but_not_what_somebody_changed_since(client, show, known):
    alder, birch = known(customer="Old"), known("b1", "Birch")
    _, address = show("a1,,,150,New,", "b1,,,,Else,", ",Cedar,paver,10,,", ",Elm,dozer,20,,")
    client.post(f"{address}apply/")
    cedar = Machine.objects.get(name="Cedar")
    for machine in (cedar, birch):
        machine.refresh_from_db()
        form = {"seen_version": machine.version, "name": machine.name, "kind": machine.kind, "place": "Moved"}
        client.post(f"/machines/{machine.pk}/about/", form | {"customer": machine.customer})
    page = client.post(f"/undo/{Undoable.objects.get(way='import').pk}/", follow=True)
    text = page.content.decode()
    assert "1 machine taken out again" in text
    assert "1 put back" in text
    assert "2 left as they are" in text
    assert {machine.name for machine in Machine.objects.all()} == {"Alder", "Birch", "Cedar"}
    alder.refresh_from_db()
    assert (alder.customer, alder.hours_h, alder.hours_text) == ("Old", 100.0, "100")
    assert Change.objects.filter(what="machine taken out", before="Elm").exists()


def test_hours_of_a_machine_that_was_walked_round_are_not_taken_from_a_list(show, machine, words):
    page, _ = show(f"{machine.short_name},,,99999,,")
    assert "the hours come from its walk-rounds and the work done" in words(page)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ((",Same,dozer,1,,", ",same,dozer,2,,"), "the same machine as row 2"),
        (("a1,,,,x,", "a1,,,,y,"), "the same machine as row 2"),
        ((",Twin,,,x,",), "which 2 machines are called"),
        ((f",{'N' * 201},dozer,1,,",), "up to 200 characters"),
        ((',"A\x07B",dozer,1,,',), "without control characters"),
        ((",X,dozer,-5,,",), "a number of 0 or more"),
        ((',X,dozer,"8,150",,',), "Type 8150"),
        (("new-1,,dozer,1,,",), "needs it: fill it in"),
    ],
)
def test_rows_that_cannot_be_used_say_field_value_allowed_and_next_step(show, known, words, rows, said):
    known()
    known("t1", "Twin")
    known("t2", "Twin")
    page, _ = show(*rows)
    assert said in words(page)
    assert not Machine.objects.filter(name__in=("X", "A\x07B")).exists()


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("list.csv", b"colour;size\nred;3\n", "not found"),
        ("list.csv", b"name,kind,hours,age\nA,dozer,1,3\n", "age"),
        ("list.csv", b"name,kind,hours\n", "one machine or more"),
        ("list.csv", b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 2, "binary content"),
        ("list.csv", b"", "empty file"),
        ("list.xlsx", b"PK\x03\x04 no workbook", "not a workbook"),
        ("list.xlsx", b"<html></html>", "not a workbook"),
        ("list.csv", ("name,kind,hours\n" + "A,dozer,1\n" * 5_200).encode(), "up to"),
        ("list.csv", ("name,kind,hours\n" + "A,dozer,1\n" * 5_001).encode(), "Part the list in two"),
    ],
)
def test_files_that_are_no_list_are_refused_in_words(show, words, name, content, said):
    page, _ = show(name=name, content=content)
    assert "cannot be read as a list" in words(page)
    assert said in words(page)
    assert not Machine.objects.exists()


def test_formula_in_a_workbook_is_named_and_never_worked_out(show, words):
    import openpyxl

    book = openpyxl.Workbook()
    book.active.append(["name", "kind", "hours"])
    book.active.append(["A", "dozer", "=1+1"])
    stream = io.BytesIO()
    book.save(stream)
    page, _ = show(name="list.xlsx", content=stream.getvalue())
    assert "cell C2" in words(page)
    assert "no formula" in words(page)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_separators_and_encodings_are_found(client, show, encoding, mark):
    text = (
        mark.join(["Name", "KIND", "Hours"])
        + "\r\n"
        + mark.join(["Grüner Bär", "track loading shovel", "12"])
        + "\r\n"
    )
    show(content=text.encode(encoding))
    (step,) = MachineList.objects.get().steps
    assert (step["what"], step["name"], step["short_name"]) == ("new", "Grüner Bär", "grüner-bär")


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_yards_list_goes_out_and_comes_back_unchanged(client, show, known, machine, ending):
    known(customer="=cmd|' /C calc'!A0", place='He said "go"; now, \u202eabc 😀', name="١٢٣ שלום")
    known("b1", "+49 call", "excavator", hours_h=8150.125, hours_text="8150.125")
    content = client.get(f"/machines.{ending}").content
    page, _ = show(name=f"list.{ending}", content=content)
    assert dict(page.context["tabs"])["unchanged"] == "3 unchanged"
    assert sum(int(tab.split()[0]) for _, tab in page.context["tabs"]) == 3


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", "＝"])
def test_nothing_in_an_exported_list_runs_as_a_formula(client, known, start):
    known(customer=f"{start}1+1")
    rows = list(csv.DictReader(io.StringIO(client.get("/machines.csv").content.decode("utf-8-sig"))))
    assert rows[0]["customer"].startswith("'")
    book = load_workbook(io.BytesIO(client.get("/machines.xlsx").content))
    cells = [cell for row in book.active.iter_rows() for cell in row]
    assert not [cell for cell in cells if cell.data_type == "f"]
    assert [cell.value for cell in book.active[1]] == list(ALL_COLUMNS)
    assert f"{start}1+1" in [cell.value for cell in cells]


def test_an_exported_list_says_which_machines_are_invented(client, known):
    known("real")
    known("made-up", invented=True)
    rows = list(csv.DictReader(io.StringIO(client.get("/machines.csv").content.decode("utf-8-sig"))))
    assert {row["short name"]: row["invented"] for row in rows} == {"real": "", "made-up": "invented"}


def test_export_gives_what_is_looked_at_every_page_of_it(client, known):
    for number in range(60):
        known(f"s{number}", f"Machine {number}", customer="Hill" if number < 55 else "Else")
    text = client.get("/machines.csv?customer=Hill&page=2").content.decode("utf-8-sig")
    assert len(list(csv.reader(io.StringIO(text)))) == 56
    assert client.get("/machines.exe").status_code == 404


def test_blank_list_holds_the_columns_that_can_be_brought_in(client, db):
    book = load_workbook(io.BytesIO(client.get("/lists/blank.xlsx").content))
    assert [cell.value for cell in book.active[1]] == list(OWN_COLUMNS)
    assert client.get("/lists/blank.csv").content.decode("utf-8-sig").strip() == HEAD


def test_queries_of_the_shown_list_do_not_grow_with_it(client, show):
    from django.db import connection

    counts = []
    for many in (3, 400):
        _, address = show(*(f",Machine {number},dozer,{number},," for number in range(many)))
        with CaptureQueriesContext(connection) as asked:
            page = client.get(address)
        counts.append(len(asked))
        assert len(re.findall(r"<tr>", page.content.decode())) <= 101
    assert counts[0] == counts[1]


def test_five_thousand_machines_from_a_workbook(client, show, db):
    rows = [["", f"Machine {number}", "dozer", float(number), "", ""] for number in range(5000)]
    _, address = show(name="list.xlsx", content=machine_list_xlsx(rows, OWN_COLUMNS))
    client.post(f"{address}apply/")
    assert Machine.objects.count() == 5000
    page = client.get("/")
    assert page.context["page"].paginator.count == 5000


def test_lists_of_a_month_ago_are_forgotten(client, show, db):
    show(",Cedar,paver,10,,")
    MachineList.objects.update(at=timezone.now() - dt.timedelta(days=31))
    show(",Elm,paver,10,,")
    assert [step["name"] for step in MachineList.objects.get().steps] == ["Elm"]


@pytest.fixture
def sent(actor):
    """A factory of lists that wait to be read, as a desk that was killed leaves them."""

    def make(name="list.csv", text=f"{HEAD}\n,Cedar,paver,10,,"):
        return MachineList.objects.create(
            business=actor.business, name=name, who="x", ending=".csv", content=text.encode()
        )

    return make


def test_list_left_by_a_desk_that_was_stopped_is_read_by_the_next(client, sent, words):
    one = sent()
    assert "is being read" in words(client.get(f"/lists/{one.pk}/"))
    ListKeeper().work()
    assert "What list.csv would change" in words(client.get(f"/lists/{one.pk}/"))
    one.refresh_from_db()
    assert one.content is None


def test_list_that_was_being_brought_in_is_brought_in_whole_by_the_next(client, sent, known):
    one = sent()
    ListKeeper().work()
    MachineList.objects.update(state=MachineList.APPLYING, who_applied="Somebody")
    ListKeeper().work()
    assert Machine.objects.get().name == "Cedar"
    assert Change.objects.get(what="machine added").who == "Somebody"
    ListKeeper().work()
    assert Machine.objects.count() == 1
    one.refresh_from_db()
    assert one.state == MachineList.APPLIED


def test_long_work_shows_how_far_it_is(client, sent, words):
    one = sent()
    MachineList.objects.update(state=MachineList.APPLYING)
    Progress(one.pk).tell(150, 400)
    assert "150 of 400 rows" in words(client.get(f"/lists/{one.pk}/"))
    Progress(one.pk).end()
    assert "A large list takes some seconds" in words(client.get(f"/lists/{one.pk}/"))


def test_page_waits_for_nobody_for_long(client, sent, monkeypatch):
    """Somebody is hired for it, and busy: the page shows how far it is."""
    monkeypatch.setattr(worker, "PATIENCE_S", 0.01)
    monkeypatch.setattr(worker, "LISTS", ListKeeper())
    worker.LISTS.start()
    assert worker.at_work(sent())


def test_list_the_desk_fails_on_says_so_and_holds_up_no_other(client, sent, words, monkeypatch, caplog):
    bad, good = sent("bad.csv"), sent("good.csv")

    def read(one):
        if one.pk == bad.pk:
            raise ZeroDivisionError
        read_list(one)

    monkeypatch.setattr(worker, "read_list", read)
    ListKeeper().work()
    assert "The desk failed on this list" in words(client.get(f"/lists/{bad.pk}/"))
    assert "What good.csv would change" in words(client.get(f"/lists/{good.pk}/"))
    assert "ZeroDivisionError" in caplog.text
    caplog.clear()
    ListKeeper().work()
    assert not caplog.text


def test_list_is_ordered_once(client, show):
    """Two browsers press the button: the second finds nothing to do."""
    _, address = show(",Cedar,paver,10,,")
    client.post(f"{address}apply/")
    client.post(f"{address}apply/")
    assert Machine.objects.count() == 1


def test_strip_draws_the_page_and_names_who_is_not_in_it(client, machine, known, words):
    known(name="Not judged")
    page = client.get("/?as=chart")
    text = page.content.decode()
    assert f'href="/machines/{machine.pk}/"' in re.search(r'<div class="for-wide">(.*?)</div>', text, re.DOTALL)[1]
    assert "Not in the chart" in words(page)
    assert "<style" not in text


def test_queries_of_the_strip_do_not_grow(client, bring, dossier, machine):
    from dataclasses import replace

    from django.db import connection

    counts = []
    for number in (0, 1, 2):
        if number:
            bring(replace(dossier, machine=replace(dossier.machine, machine_id=f"m{number}", name=f"M {number}")))
        with CaptureQueriesContext(connection) as asked:
            client.get("/?as=chart")
        counts.append(len([query for query in asked if query["sql"].startswith("SELECT")]))
    assert counts[0] == counts[1] == counts[2]
