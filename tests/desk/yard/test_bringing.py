"""Files into the yard: all or nothing, twice is harmless, nothing dangerous is opened."""

import io
import json
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from pitchline.demo.files import write_yard
from pitchline.demo.yard import Yard, build_yard
from pitchline.desk.machine.models import Machine
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pitchline.desk.yard.models import PriceFile
from pitchline.exchange.machine_file import machine_json


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Two machines of the demo yard with sheets and prices, as files."""
    whole = build_yard()
    root = tmp_path_factory.mktemp("yard")
    write_yard(Yard(whole.seed, (whole.machine(1), whole.main), whole.prices), root)
    return root


def zipped(folder, change=lambda name, content: content):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(folder.rglob("*.*")):
            if path.is_file():
                name = str(path.relative_to(folder))
                archive.writestr(name, change(name, path.read_bytes()))
    return SimpleUploadedFile("yard.zip", packed.getvalue())


def test_zip_brings_machines_sheets_and_prices(client, db, folder):
    assert client.post("/bring/", {"files": zipped(folder)}).status_code == 302
    assert {machine.short_name for machine in Machine.objects.all()} == {"01-alder", "07-gorse"}
    assert Sheet.objects.filter(state="finished").count() == 5
    assert PriceFile.objects.count() == 1
    assert all(machine.judgement is not None and not machine.to_judge for machine in Machine.objects.all())


def test_same_files_again_change_nothing(client, db, folder):
    for _ in range(2):
        assert client.post("/bring/", {"files": zipped(folder)}).status_code == 302
    assert (Machine.objects.count(), Sheet.objects.count(), PriceFile.objects.count()) == (2, 5, 1)


def test_one_bad_file_keeps_everything_out_and_every_problem_is_told(client, db, folder, words):
    def spoil(name, content):
        if name.startswith("01-alder/sheet") and name.endswith(".csv"):
            return content.replace(b"mm", b"furlongs", 1).replace(b"2026-", b"2026/", 1)
        return content.replace(b'"kind"', b'"sort"', 1) if name == "07-gorse/machine.json" else content

    answer = client.post("/bring/", {"files": zipped(folder, spoil)})
    assert answer.status_code == 400
    text = words(answer)
    assert "machine.json" in text
    assert "sheet-" in text
    assert not Machine.objects.exists()
    assert not ReadingRow.objects.exists()
    assert not PriceFile.objects.exists()


def test_another_machine_of_the_same_short_name_is_refused(client, machine, dossier, words):
    other = json.loads(machine_json(dossier))
    other["running_gear"]["sprocket_teeth"] = 25
    file = SimpleUploadedFile("t1.json", json.dumps(other).encode())
    answer = client.post("/bring/", {"files": file})
    assert answer.status_code == 400
    assert "not in the yard yet" in words(answer)
    assert Machine.objects.count() == 1


def bomb():
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("machine.json", b"0" * 30_000_000)
    return packed.getvalue()


def many():
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for number in range(12_001):
            archive.writestr(f"{number}.json", b"")
    return packed.getvalue()


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("yard.zip", b"PK\x03\x04 and then nothing"),
        ("yard.zip", bomb()),
        ("yard.zip", many()),
        ("m.json", b"\xff\xfe\x00broken"),
        ("m.json", b"[" * 100_000),
        ("m.json", b'{"format": "pitchline-machine/1"}'),
        ("prices.csv", b"nonsense"),
        ("prices.xlsx", b"PK not a workbook"),
    ],
)
def test_what_cannot_be_used_is_told_and_nothing_is_written(client, db, name, content, words):
    answer = client.post("/bring/", {"files": SimpleUploadedFile(name, content)})
    assert answer.status_code == 400
    assert "to put right" in words(answer)
    assert not Machine.objects.exists()


def test_sheet_by_itself_is_told_where_it_belongs(client, db, words):
    sheet = SimpleUploadedFile("sheet.csv", b"machine,T1\n\npart,side,read\nbush,left,50\n")
    text = words(client.post("/bring/", {"files": sheet}, follow=True))
    assert "cannot be read as a list of machines" in text
    assert "on its machine's page" in text


def test_names_in_an_archive_never_become_paths(client, db, folder, tmp_path):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("../../../../tmp/evil/machine.json", (folder / "01-alder/machine.json").read_bytes())
        archive.writestr("../../../../tmp/evil/../sheet x.csv", b"")
    answer = client.post("/bring/", {"files": SimpleUploadedFile("yard.zip", packed.getvalue())})
    assert answer.status_code == 400
    assert not Machine.objects.exists()


def test_nothing_sent_is_told(client, db, words):
    assert "Choose files first" in words(client.post("/bring/", {}))


def test_price_list_twice_is_one(client, machine, folder):
    for _ in range(2):
        file = SimpleUploadedFile("prices.csv", (folder / "prices.csv").read_bytes())
        assert client.post("/prices/", {"files": file}).status_code == 302
    assert PriceFile.objects.count() == 1
    machine.refresh_from_db()
    assert machine.currency == "EUR"
    assert machine.judgement.prices is not None


def test_wrong_price_list_leaves_the_one_in_force(client, db, folder, words):
    good = SimpleUploadedFile("prices.csv", (folder / "prices.csv").read_bytes())
    client.post("/prices/", {"files": good})
    assert 'name="usual-turn-bush" value="150"' in client.get("/prices/").content.decode()
    answer = client.post("/prices/", {"files": SimpleUploadedFile("prices.csv", b"job,part\nturn,moon\n")})
    assert answer.status_code == 400
    assert PriceFile.objects.count() == 1
