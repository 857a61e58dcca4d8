"""The file a phone saved: taken in as over the air, twice as once, and each line that cannot be is told by its number."""

import base64
import json
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from pitchline.desk.photos.models import Attachment
from pitchline.desk.pocket import file_in
from pitchline.desk.pocket.models import Brought
from pitchline.desk.walkround.models import ReadingRow, Sheet
from pocket_of import Pocket, jpeg

BUSH = "bush/left:bush_od_forward"


@pytest.fixture
def saved(pocket, machine):
    """What a phone had waiting: a round with a photo."""
    sheet = str(uuid.uuid4())
    photo = pocket.record(
        "photo", photo=str(uuid.uuid4()), machine=str(machine.pk), sheet=sheet, place="bush/left"
    )
    return [
        pocket.record("begin", sheet=sheet, machine=str(machine.pk), date="2026-11-26", hours="3100"),
        pocket.record("line", sheet=sheet, key=BUSH, fields={"1": "58.1"}, seen=0),
        pocket.record("finish", sheet=sheet),
        photo | {"file": base64.b64encode(jpeg()).decode()},
    ]


@pytest.fixture
def send_file(client):
    """Sends a file's lines at the desk, below the head an app writes."""

    def make(*lines, head=None):
        told = head or {"pitchline_pocket": 1, "phone": "7", "person": "Ann", "saved": "2026-11-26T12:00:00Z"}
        text = "\n".join(one if isinstance(one, str) else json.dumps(one) for one in (told, *lines))
        return client.post("/pocket/file/", {"file": SimpleUploadedFile("waits.jsonl", text.encode())})

    return make


def test_file_is_taken_in_and_twice_as_once(saved, send_file, machine, words):
    assert "From the file: 4 entries in" in words(send_file(*saved))
    sheet = Sheet.objects.get(pk=saved[0]["about"]["sheet"])
    assert (sheet.state, sheet.by) == ("finished", "Ann")
    assert Brought.objects.values_list("recorded_by", "sent_by").distinct().get() == ("Ann", "this desk")
    counts = [model.objects.count() for model in (Sheet, ReadingRow, Attachment, Brought)]
    assert "From the file: 4 entries in" in words(send_file(*saved))
    assert [model.objects.count() for model in (Sheet, ReadingRow, Attachment, Brought)] == counts


def test_file_after_the_phone_got_through_changes_nothing(saved, send_file, client, pocket, words):
    """The same records over the air first, the photo with the very file."""
    for record in saved[:-1]:
        pocket.send(record)
    pocket.send({name: each for name, each in saved[-1].items() if name != "file"}, jpeg())
    before = Brought.objects.count()
    assert "From the file: 4 entries in" in words(send_file(*saved))
    assert Brought.objects.count() == before
    assert not Brought.objects.filter(state="look").exists()


def test_each_line_that_cannot_be_taken_is_told_by_its_number(saved, send_file, words):
    begin, line, *_ = saved
    orphan = Pocket(None, "x").record("finish", sheet=str(uuid.uuid4()))
    page = words(send_file(begin, "not JSON", {"shape": 9}, line, orphan, "[" * 5000))
    assert "Line 3: This entry cannot be read." in page
    assert "Line 4: This desk is older than the app." in page
    assert "Line 6: Its walk-round has not come yet." in page
    assert "Line 7: This entry cannot be read." in page
    assert ReadingRow.objects.filter(sheet=begin["about"]["sheet"]).count() == 1


@pytest.mark.parametrize("file", ["", "!", "%PDF", base64.b64encode(b"no picture").decode(), 7])
def test_photo_that_is_none_is_told_and_leaves_nothing(file, saved, send_file, words):
    begin, *_, photo = saved
    assert "Line 3:" in words(send_file(begin, photo | {"file": file}))
    assert not Attachment.objects.exists()


@pytest.mark.parametrize("head", ["no JSON", "[]", '{"pitchline_pocket":2}', '{"machines":[]}'])
def test_what_is_no_such_file_is_refused(head, send_file, client, db, words):
    answer = send_file(head=head)
    assert answer.status_code == 400
    assert "a file that the yard in a phone saved" in words(answer)


def test_nothing_chosen_is_told(client, db):
    assert client.post("/pocket/file/", {}).status_code == 400


def test_line_longer_than_any_is_skipped_and_the_next_is_taken(saved, send_file, monkeypatch, words):
    monkeypatch.setattr(file_in, "LONGEST_LINE", 2000)
    begin, line, *_ = saved
    page = words(send_file(begin, "x" * 9000, line))
    assert "Line 3: This entry is too large to be one." in page
    assert ReadingRow.objects.filter(sheet=begin["about"]["sheet"]).count() == 1


def test_file_that_takes_long_is_cut_and_the_same_one_again_goes_on(saved, send_file, monkeypatch, words):
    with monkeypatch.context() as slow:
        slow.setattr(file_in, "MOST_S", -1.0)
        assert "Send the same file again" in words(send_file(*saved))
    assert "From the file: 4 entries in" in words(send_file(*saved))
