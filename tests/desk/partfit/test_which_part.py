"""Which part fits, at the desk: tables in any columns, asked for once, and what they answer. Every table here is invented."""

import io

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from pitchline.desk.gearbook.actions import take_from_machine
from pitchline.desk.partfit.models import PartsTable
from pitchline.desk.people.models import Business
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable

OWN = (
    "unit,mm\n\nnumber,part,tread diameter,bolt spacing along,bolt spacing across,flanges,note\n"
    "R1,bottom roller,180,180,200,1,invented\nR2,bottom roller,180,180,200,2,invented\n"
    "R3,bottom roller,200,190,220,1,invented\n"
)
OTHERS = "Roller no;Bin;Tread;Hole spacing in\nA1;B 3;180,5;7.0866\nA2;B 4;200,5;7.4803\nA3;B 5;wide;7.4803\n"
CHOSEN = {
    "every": "bottom_roller", "holds_0": "number", "unit_0": "mm", "holds_1": "note", "unit_1": "mm",
    "holds_2": "tread diameter", "unit_2": "mm", "holds_3": "bolt spacing along", "unit_3": "in",
}  # fmt: skip


@pytest.fixture
def send(client, db):
    """A factory of tables sent from the page."""

    def make(text, name="rollers.csv", **more):
        sent = SimpleUploadedFile(name, text if isinstance(text, bytes) else text.encode())
        return client.post("/parts/tables/", {"files": sent} | more)

    return make


@pytest.fixture
def ask(client, words):
    """What the page answers to sizes read."""

    def make(part="bottom_roller", more=None, **sizes):
        asked = {"part": part} | {f"size_{name}": text for name, text in sizes.items()} | (more or {})
        answer = client.get("/parts/", asked)
        return answer, words(answer)

    return make


def undo_last(client):
    return client.post(f"/undo/{Undoable.objects.latest('at').pk}/")


def test_table_in_our_columns_is_read_without_asking(send, ask):
    assert send(OWN)["Location"].endswith(f"{PartsTable.objects.get().pk}/")
    _, text = ask(tread_diameter="168", bolts_along="180.4")
    assert "Not sure yet" in text
    assert "(read this next)" in text
    _, text = ask(tread_diameter="168", bolts_along="180.4", flanges="2")
    assert "R2 fits what was read" in text
    assert "None of these" in text


def test_columns_of_others_are_asked_for_once_and_known_again(send, client, ask, words):
    assert "/columns/" in send(OTHERS)["Location"]
    table = PartsTable.objects.get()
    assert "Say what its columns hold" in words(client.get("/parts/tables/"))
    client.post(f"/parts/tables/{table.pk}/columns/", CHOSEN)
    page = words(client.get(f"/parts/tables/{table.pk}/"))
    assert "2 parts : bottom roller" in page
    assert "Row 4: Tread: “wide”" in page
    _, text = ask(bolts_along="180", tread_diameter="170")  # 7.0866 in is 180.0 mm
    assert "A1" in text
    assert "Bin: B 3" in text
    assert "does not agree" in text.lower()
    assert send(OTHERS.replace("wide", "190"))["Location"].endswith("/")
    newer = PartsTable.objects.get(put_away_at=None)
    assert (newer.every, len(newer.parts), newer.not_used) == ("bottom_roller", 3, 0)
    assert PartsTable.objects.count() == 2


def test_newer_file_takes_the_place_of_the_old_one_and_gives_it_back(send, client):
    send(OWN)
    first = PartsTable.objects.get()
    send(OWN.replace("R1", "R9"), name="another name.csv", replaces=str(first.pk))
    newer = PartsTable.objects.get(put_away_at=None)
    assert (newer.name, newer.parts[0]["number"]) == ("rollers", "R9")
    undo_last(client)
    assert PartsTable.objects.get(put_away_at=None) == first
    assert Change.objects.filter(what="table of parts brought back").exists()


def test_put_away_is_not_looked_in_and_comes_back(send, client, ask):
    send(OWN)
    table = PartsTable.objects.get()
    client.post(f"/parts/tables/{table.pk}/away/", {"away": "1"})
    assert "There is no list to look in yet" in ask(tread_diameter="168")[1]
    client.post(f"/parts/tables/{table.pk}/away/", {"away": "0"})
    assert "Not sure yet" in ask(tread_diameter="168")[1]


def test_columns_are_taken_back(send, client):
    send(OTHERS)
    table = PartsTable.objects.get()
    client.post(f"/parts/tables/{table.pk}/columns/", CHOSEN)
    undo_last(client)
    table.refresh_from_db()
    assert (table.columns, table.parts, table.every) == ([], [], "")


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"holds_0": "note"}, "a column with what the list calls the part"),
        ({"every": ""}, "a column with what it is, or what every row is"),
        ({"holds_2": "-", "holds_3": "-"}, "a column with a size"),
        ({"holds_3": "tread diameter"}, "tread diameter twice"),
    ],
)
def test_columns_that_do_not_do_are_told(send, client, words, changed, said):
    send(OTHERS)
    table = PartsTable.objects.get()
    answer = client.post(f"/parts/tables/{table.pk}/columns/", CHOSEN | changed)
    assert answer.status_code == 400
    assert said in words(answer)


def test_workbook_comes_in_with_a_title_above_its_columns(send, client):
    book = openpyxl.Workbook()
    for row in (["Our shelf"], [], ["Code", "Tread diameter, in"], ["W1", 7.5]):
        book.active.append(row)
    held = io.BytesIO()
    book.save(held)
    send(held.getvalue(), name="shelf.xlsx")
    table = PartsTable.objects.get()
    chosen = {"every": "idler", "holds_0": "number", "holds_1": "tread diameter", "unit_1": "in"}
    client.post(f"/parts/tables/{table.pk}/columns/", chosen)
    table.refresh_from_db()
    (part,) = table.parts
    assert (table.headings, part["number"], part["part"]) == (["Code", "Tread diameter, in"], "W1", "idler")
    assert part["sizes"]["tread_diameter"] == pytest.approx(7.5 * 0.0254)


@pytest.mark.parametrize("text", ["", "1,2,3\n4,5,6\n", b"\x00\x01", "one\n"])
def test_what_is_no_table_is_refused_and_nothing_kept(send, text):
    assert send(text).status_code == 400
    assert not PartsTable.objects.exists()


def test_out_again_in_our_columns_and_as_it_came(send, client):
    """What went out comes in again the same: sizes, limits, note."""
    send(OWN.replace("flanges,note", "flanges,tread diameter limit,note").replace(",1,inv", ",1,160,inv"))  # fmt: skip
    table = PartsTable.objects.get()
    assert client.get(f"/parts/tables/{table.pk}/as-it-came.csv").content.count(b"R1") == 1
    out = client.get(f"/parts/tables/{table.pk}/parts.csv").content
    send(out, name="again.csv")
    again = PartsTable.objects.get(name="again")
    assert again.parts == table.parts
    assert {"tread_diameter": pytest.approx(0.020)} == again.parts[0]["allowances_m"]


def test_blank_goes_out_and_filled_in_comes_back(send, client):
    blank = client.get("/parts/tables/blank.csv").content.decode("utf-8-sig")
    head = next(line for line in blank.splitlines() if line.startswith("number"))
    cells = {"number": "X1", "part": "sprocket", "teeth": "23"}
    send(blank + ",".join(cells.get(name, "") for name in head.split(",")) + "\n")
    assert PartsTable.objects.get().parts[0]["sizes"] == {"teeth": 23}


def test_figure_that_cannot_be_is_told_beside_its_field(send, ask):
    send(OWN)
    answer, text = ask(tread_diameter="wide", bolts_along="1804", more={"doubt": "x"})
    assert answer.status_code == 400
    assert "“wide”" in text
    assert "“1804”. Allowed: 30.0 mm to 400.0 mm" in text
    assert "“x”" in text
    assert "fits what was read" not in text


def test_inches_in_force_read_the_same(send, ask, actor):
    """180.34 mm is 7.1 in."""
    send(OWN)
    Business.objects.filter(pk=actor.business.pk).update(units="imperial")
    _, text = ask(bolts_along="7.1", tread_diameter="6.6", flanges="1", bolts_across="7.87")
    assert "R1 fits what was read" in text
    assert "Bolt spacing along, in" in text


def test_never_fits_with_a_reading_outside(send, ask):
    """A tread above new is near proof against: wear goes one way."""
    send(OWN)
    _, text = ask(bolts_along="180", bolts_across="200", flanges="2", tread_diameter="184")
    assert "fits what was read" not in text


def test_gear_list_needs_no_table(machine, actor, ask, dossier):
    gear = dossier.gear
    take_from_machine(actor, machine_id=machine.pk, entry_id=machine.pk, name="Wide steel")
    answer, text = ask(part="sprocket", teeth=str(gear.sprocket_teeth))
    assert "Wide steel" in text
    assert reverse("book-entry", args=[machine.pk]) in answer.content.decode()
    _, text = ask(part="sprocket", teeth=str(gear.sprocket_teeth + 5))
    assert "Probably none of these" in text


def test_machines_last_walk_round_fills_in_the_least_worn(machine, client, dossier, words):
    read = [
        one.value_m
        for one in dossier.walk_rounds[-1].readings
        if (one.place.part, one.measurand) == ("bottom_roller", "tread_diameter")
    ]
    page = client.get("/parts/", {"part": "bottom_roller", "machine": str(machine.pk)})
    assert f'value="{1e3 * max(read):.1f} mm"' in page.content.decode()
    assert "Filled in from the last walk-round" in words(page)
    typed = client.get("/parts/", {"part": "bottom_roller", "machine": str(machine.pk), "size_tread_diameter": ""})
    assert "Filled in from" not in words(typed)


def test_answer_leads_to_a_quote_for_the_whole_machine(machine, send, client, ask, dossier, priced_yard, words):
    send(OWN)
    answer, _ = ask(tread_diameter="168", flanges="2", more={"machine": str(machine.pk)})
    address = answer.content.decode().split("/quote/?")[1].split('"')[0].replace("&amp;", "&")
    many = 2 * dossier.gear.bottom_rollers_per_side
    assert f"many={many}" in address
    page = client.get(f"/machines/{machine.pk}/quote/?{address}").content.decode()
    field = page.split('name="count-replace-bottom_roller"')[1].split(">")[0]
    assert f'value="{many}"' in field
    assert "R2, rollers" in page


def test_another_business_has_none_of_it(send, stranger_client, ask):
    send(OWN)
    answer = stranger_client.get("/parts/", {"part": "bottom_roller", "size_tread_diameter": "168"})
    assert b"R2" not in answer.content
    assert b"There is no list to look in yet" in answer.content


def test_torque_is_held_against_the_bolt_and_the_manual_stays_first(client, db, words):
    page = client.get("/parts/bolts/", {"torque": "450", "thread": "M20", "lead": "2,5", "bolt": "10.9"})
    text = words(page)
    assert "450 N·m is plausible." in text
    assert "Tighten by the machine’s manual alone" in text
    wrong = client.get("/parts/bolts/", {"torque": "450", "thread": "x", "lead": "2.5", "bolt": ""})
    assert wrong.status_code == 400
    answer = client.get(
        "/api/v1/parts/bolt-torque", {"torque": "4500", "thread": "20", "lead": "2.5", "bolt": "10.9"}
    )
    assert "4,500 N·m is much for this bolt" in answer.json()["said"]
