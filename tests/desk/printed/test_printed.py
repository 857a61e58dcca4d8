"""A printed sheet by its code: typed, in a photo as a phone takes one, of this yard and of another; looking writes nothing."""

import datetime as dt
import io
import json
import uuid

import pytest
import typst
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import override_settings
from PIL import Image, ImageFilter, ImageOps

from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.sheet_code import LETTERS, code_of, read_code
from pitchline.desk.photos.models import Attachment
from pitchline.desk.printed.reading import code_in
from pitchline.desk.walkround.models import Sheet
from pitchline.exchange.sheet import sheet_rows
from pitchline.papers import press
from pitchline.papers.sheet_paper import SheetCode, sheet_story
from pitchline.trade.units import UnitSystem

DAY = dt.date(2026, 11, 30)


@pytest.fixture
def machine(bring, dossier):
    """The invented excavator."""
    return bring(dossier, judged=False)


@pytest.fixture
def printed(dossier):
    """The first pages of a sheet as an office printer would put them on paper, at 150 dots an inch."""

    def make(code):
        told = sheet_story(sheet_rows(dossier), dossier, UnitSystem.METRIC, code) | {"date": None}
        inputs = {"told": json.dumps(press._clean(told), ensure_ascii=False)}
        template = press._HERE / "sheet.typ"
        pages = typst.compile(
            str(template),
            root=str(press._HERE),
            font_paths=press._fonts(),
            sys_inputs=inputs,
            format="png",
            ppi=150,
        )
        return [Image.open(io.BytesIO(page)).convert("L") for page in pages]

    return make


def taken(page, turned=0.0, longest=3000, blur=0.8):
    """A page photographed: on a dark bench, askew, not quite sharp, grey in place of white and black."""
    photo = ImageOps.expand(page, border=page.width // 10, fill=80).rotate(turned, expand=True, fillcolor=80)
    photo = ImageOps.contain(photo, (longest, longest)).filter(ImageFilter.GaussianBlur(blur))
    stream = io.BytesIO()
    photo.point(lambda one: 40 + one * 0.7).save(stream, "jpeg", quality=70)
    return stream.getvalue()


def sent(client, photo, **fields):
    file = SimpleUploadedFile("sheet.jpg", photo, "image/jpeg")
    return client.post("/s/", {"files": file, "send_id": str(uuid.uuid4()), **fields})


def test_each_page_is_read_turned_blurred_and_small(printed):
    """Whether the square holds an address or the letters alone: a picture is read by zxing-cpp, made by segno."""
    code = code_of(uuid.uuid4(), DAY)
    for text in (f"https://desk-in-the-office.local:8443/s/{code}/", f"PITCHLINE {code}"):
        first, second = printed(SheetCode(code, text))[:2]
        for photo in (
            taken(first),
            taken(second, 7.0, 2400),
            taken(first, -12.0, 3000, 1.2),
            taken(second, 90.0, 2000, 0.5),
        ):
            assert code_in(photo).code == code


def test_photo_of_a_sheet_is_kept_with_its_machine(client, machine, printed, words):
    code = code_of(machine.pk, DAY)
    photo = taken(printed(SheetCode(code, f"PITCHLINE {code}"))[0], 4.0)
    answer = sent(client, photo)
    assert (answer.status_code, answer["Location"]) == (302, f"/s/{code}/")
    row = Attachment.objects.get()
    assert (row.machine_id, row.caption, row.sheet) == (machine.pk, f"Walk-round sheet {code}", None)
    shown = words(client.get(f"/s/{code}/"))
    assert "Photo kept with Test machine." in shown
    assert "Printed on 30 Nov 2026" in shown
    client.post(f"/machines/{machine.pk}/begin/", {"sheet_id": str(read_code(code).sheet_id(machine))})
    sent(client, photo)
    assert Attachment.objects.exclude(sheet=None).get().sheet == Sheet.objects.get(state="draft")


def test_code_of_another_yard_finds_nothing_and_keeps_nothing(
    owner_client, stranger_client, owner, bring, dossier, printed, words
):
    machine = bring(dossier, judged=False, who=owner)
    code = code_of(machine.pk, DAY)
    assert owner_client.get(f"/s/{code}/").status_code == 200
    assert stranger_client.get(f"/s/{code}/").status_code == 404
    photo = taken(printed(SheetCode(code, f"PITCHLINE {code}"))[0])
    answer = stranger_client.get(sent(stranger_client, photo)["Location"])
    assert answer.status_code == 404
    assert "Test machine" not in words(answer)
    assert not Attachment.objects.exists()


@pytest.mark.parametrize("photo", [b"no picture", b""])
def test_photo_without_a_code_says_what_to_do(client, db, photo, words):
    answer = sent(client, photo)
    assert answer.status_code == 400
    assert "type the letters beside it" in words(answer)
    assert not Attachment.objects.exists()


def test_looking_writes_nothing_and_a_walk_round_is_begun_once(client, machine, words):
    code = code_of(machine.pk, DAY)
    page = client.get(f"/s/{code}/")
    assert "No walk-round was begun from this sheet." in words(page)
    before = Sheet.objects.count()
    sheet_id = str(read_code(code).sheet_id(machine))
    assert f'value="{sheet_id}"' in page.content.decode()
    for _ in range(2):
        client.post(f"/machines/{machine.pk}/begin/", {"sheet_id": sheet_id})
    assert Sheet.objects.count() == before + 1
    assert "Go on with it" in words(client.get(f"/s/{code}/"))
    Sheet.objects.filter(pk=sheet_id).update(state="finished")
    assert "For another one, print a sheet anew." in words(client.get(f"/s/{code}/"))


def test_typed_in_any_way_it_leads_to_its_sheet(client, machine, words):
    code = code_of(machine.pk, DAY)
    for typed in (
        code,
        code.lower(),
        code.replace("-", " "),
        code.replace("-", ""),
        f"https://old-desk.example/s/{code}/",
    ):
        assert client.get("/s/", {"code": typed})["Location"] == f"/s/{code}/"
    wrong = client.get("/s/", {"code": code[:-1]})
    assert wrong.status_code == 400
    assert "one is wrong or missing" in words(wrong)


def test_machines_whose_ids_begin_alike_are_both_offered(client, machine, words):
    twin = Machine.objects.get(pk=machine.pk)
    twin.pk, twin.name, twin.short_name = uuid.UUID(int=machine.pk.int ^ 1), "The twin", "twin"
    twin.save(force_insert=True)
    shown = words(client.get(f"/s/{code_of(machine.pk, DAY)}/"))
    assert "Two machines share this code." in shown
    assert "Test machine" in shown
    assert "The twin" in shown


@pytest.mark.parametrize(
    "machine_id", [uuid.UUID(int=0), uuid.UUID(int=2**128 - 1), uuid.UUID("8f0c1a52-1234-4000-8000-0123456789ab")]
)
def test_code_names_its_machine_and_its_day(machine_id):
    for day in (dt.date(2020, 1, 1), DAY, dt.date(2400, 2, 29)):
        named = read_code(code_of(machine_id, day))
        assert named.first <= machine_id <= named.last
        assert named.last.int - named.first.int == 2**98 - 1, "of 2^30 equal shares of all ids one"
        assert named.day == day


def test_every_single_wrong_letter_is_found():
    code = code_of(uuid.UUID("8f0c1a52-1234-4000-8000-0123456789ab"), DAY).replace("-", "")
    wrong = [code[:n] + one + code[n + 1 :] for n in range(len(code)) for one in LETTERS if one != code[n]]
    assert len(wrong) == 12 * 19
    assert [one for one in wrong if read_code(one) is not None] == []


@override_settings(ALLOWED_HOSTS=["desk.example", "testserver"])
def test_sheet_of_a_desk_that_phones_reach_says_its_address(client, machine, monkeypatch):
    from pitchline.desk.machine import sheet_code, views

    told = []
    monkeypatch.setattr(views, "sheet_pdf", lambda *args: told.append(args[-1]) or b"%PDF")
    code = code_of(machine.pk, dt.date(2026, 11, 12)).rpartition("-")[0][:7]
    client.get(f"/machines/{machine.pk}/sheet.pdf", headers={"host": "desk.example"})
    client.get(f"/machines/{machine.pk}/sheet.pdf")
    monkeypatch.setattr(sheet_code, "told", lambda what, machine: "https://yard.local:8443/")
    client.get(f"/machines/{machine.pk}/sheet.pdf")
    letters = told[0].letters
    assert letters.startswith(code)
    assert [one.text for one in told] == [
        f"http://desk.example/s/{letters}/",
        f"PITCHLINE {letters}",
        f"https://yard.local:8443/s/{letters}/",
    ]
