"""Photos: written anew, without what a phone adds; sent twice kept once; removed and brought back."""

import datetime as dt
import io
import re
import uuid

import pytest
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from PIL import ExifTags, Image
from pypdf import PdfReader

from pitchline.desk.photos import store
from pitchline.desk.photos.actions import forget_removed
from pitchline.desk.photos.models import Attachment
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable


def stored(row, size="page"):
    return store.path_of(row.file if size == "page" else row.file_small).read_bytes()


def whole(response):
    return b"".join(response.streaming_content)


def test_photo_is_kept_in_two_sizes_and_shown(client, machine, send, picture):
    answer = send(machine, picture((4000, 3000)), caption="Left side", part="bush/left")
    assert answer.status_code == 200
    row = Attachment.objects.get()
    assert (row.caption, row.part, row.who, row.what) == ("Left side", "bush/left", "this desk", "photo")
    assert Image.open(io.BytesIO(stored(row))).size == (1600, 1200) == (row.width, row.height)
    assert Image.open(io.BytesIO(stored(row, "small"))).size == (360, 270)
    for address in (
        f"/machines/{machine.pk}/",
        f"/machines/{machine.pk}/parts/bush/left/",
        f"/machines/{machine.pk}/photos/",
    ):
        assert f"/photos/{row.pk}/small" in client.get(address).content.decode(), address
    assert f"/photos/{row.pk}/" not in client.get(f"/machines/{machine.pk}/parts/bush/right/").content.decode()
    assert whole(client.get(f"/photos/{row.pk}/page")) == stored(row)
    assert "Left side" in client.get(f"/photos/{row.pk}/").content.decode()
    assert Change.objects.filter(machine_id=machine.pk, what="photo added", after__contains="Left side").exists()


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_nothing_but_the_picture_is_left(machine, send, picture, form):
    """Read back with Pillow, which knows the tags of Exif 2.3; and the raw bytes are searched."""
    send(machine, picture(form=form))
    row = Attachment.objects.get()
    for size in ("page", "small"):
        raw = stored(row, size)
        opened = Image.open(io.BytesIO(raw))
        assert dict(opened.getexif()) == {}
        assert dict(opened.getexif().get_ifd(ExifTags.IFD.GPSInfo)) == {}
        assert not {"exif", "comment", "xmp", "icc_profile"} & opened.info.keys()
        assert b"Exif" not in raw
        assert b"invented phone" not in raw.lower()
    assert not row.has_place


def test_place_stays_where_the_person_ticks_it_and_nothing_else_does(machine, send, picture):
    send(machine, picture(), keep_place="1")
    row = Attachment.objects.get()
    exif = Image.open(io.BytesIO(stored(row))).getexif()
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    assert [float(one) for one in place[ExifTags.GPS.GPSLatitude]] == [51, 28, 38]
    assert place[ExifTags.GPS.GPSLongitudeRef] == "W"
    assert set(exif) == {ExifTags.IFD.GPSInfo}
    assert dict(Image.open(io.BytesIO(stored(row, "small"))).getexif()) == {}
    assert row.has_place


def test_ticking_the_place_of_a_photo_without_one_promises_nothing(machine, send, picture):
    send(machine, picture(place=False), keep_place="1")
    assert not Attachment.objects.get().has_place


@pytest.mark.parametrize(
    ("orientation", "size", "red_at"),
    [
        (1, (800, 600), (100, 300)),
        (3, (800, 600), (700, 300)),
        (6, (600, 800), (300, 100)),
        (8, (600, 800), (300, 700)),
    ],
)
def test_photo_is_turned_upright(machine, send, picture, orientation, size, red_at):
    """Exif 2.3, table of tag 274: 3 is half a turn, 6 and 8 are a quarter."""
    send(machine, picture(orientation=orientation))
    image = Image.open(io.BytesIO(stored(Attachment.objects.get())))
    assert image.size == size
    red, _, blue = image.getpixel(red_at)
    assert red > 200 > 60 > blue


def test_clear_parts_of_a_picture_become_white(machine, send):
    stream = io.BytesIO()
    Image.new("RGBA", (50, 50), (0, 0, 0, 0)).save(stream, "PNG")
    send(machine, stream.getvalue(), "drawing.png")
    assert Image.open(io.BytesIO(stored(Attachment.objects.get()))).getpixel((25, 25)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["1", "L", "P", "CMYK", "I;16", "LA"])
def test_every_kind_of_pixel_is_read(machine, send, mode):
    stream = io.BytesIO()
    Image.new(mode, (40, 30)).save(stream, "JPEG" if mode == "CMYK" else "PNG")
    assert send(machine, stream.getvalue(), "odd.png").status_code == 200
    assert Image.open(io.BytesIO(stored(Attachment.objects.get()))).mode == "RGB"


def test_same_id_twice_keeps_one_photo(machine, send, picture):
    send_id = str(uuid.uuid4())
    answers = [send(machine, picture(), send_id=send_id).json() for _ in range(2)]
    assert answers[0] == answers[1]
    assert answers[0]["kept"][0]["id"] == send_id
    assert Attachment.objects.count() == 1


def test_several_at_once_twice_keep_each_once(client, machine, sent, picture):
    form = {"send_id": str(uuid.uuid4()), "caption": "both"}
    for _ in range(2):
        files = [sent(picture((60, 40)), "a.jpg"), sent(picture((40, 60)), "b.jpg")]
        assert client.post(f"/machines/{machine.pk}/photos/send/", form | {"files": files}).status_code == 302
    assert {row.name for row in Attachment.objects.all()} == {"a.jpg", "b.jpg"}


def test_one_bad_file_does_not_cost_the_good_ones(client, machine, sent, picture, words):
    files = [sent(picture(), "good.jpg"), sent(b"no picture", "bad.jpg")]
    answer = client.post(f"/machines/{machine.pk}/photos/send/", {"files": files})
    assert answer.status_code == 400
    assert "1 kept, 1 not" in words(answer)
    assert "bad.jpg" in words(answer)
    assert Attachment.objects.get().name == "good.jpg"


def test_photo_on_a_finding_of_a_walk_round(client, machine, begin, send, picture):
    sheet = begin(machine)
    fields = {"sheet": str(sheet), "finding": "bush/left:cracked"}
    assert send(machine, picture(), **fields).status_code == 200
    row = Attachment.objects.get()
    assert (row.sheet_id, row.part, row.finding) == (sheet, "bush/left", "bush/left:cracked")
    assert f"/walk-rounds/{sheet}/" in client.get(f"/photos/{row.pk}/").content.decode()


def test_photo_taken_on_a_round_leads_back_to_the_part_it_was_taken_at(client, machine, begin, picture, sent):
    """Without scripts too; with them, tests/browser/test_round.py keeps one at a part gone to on the page."""
    sheet = begin(machine)
    page = client.get(f"/walk-rounds/{sheet}/at/bush/left/").content.decode()
    at = re.search(r'name="part" value="bush/left".*?name="next" value="([^"]*)"', page, re.DOTALL)[1]
    assert at == f"/walk-rounds/{sheet}/at/bush/left/"
    form = {"files": sent(picture()), "part": "bush/left", "sheet": str(sheet), "next": at}
    assert client.post(f"/machines/{machine.pk}/photos/send/", form)["Location"] == at


@pytest.mark.parametrize(
    "fields",
    [{"part": "wing/left"}, {"finding": "bush/left:sings"}, {"finding": "bush/left"}, {"sheet": "x"}, {"caption": "a\x00b"},
     {"caption": "x" * 501}],
)  # fmt: skip
def test_what_a_photo_cannot_be_on_is_refused(machine, send, picture, fields):
    answer = send(machine, picture(), **fields)
    assert answer.status_code == 400
    assert answer.json()["problems"]
    assert not Attachment.objects.exists()


def test_caption_sent_by_a_script_is_answered_with_its_version(client, machine, send, picture):
    """Which the next change brings back; one that came too late is refused with what stands now."""
    send(machine, picture())
    address = f"/photos/{Attachment.objects.get().pk}/caption/"

    def say(caption, version):
        form = {"caption": caption, "seen_version": version}
        return client.post(address, form, headers={"Accept": "application/json"})

    first = say("leak", "1")
    assert (first.status_code, first.json()) == (200, {"version": 2, "problems": []})
    assert say("leak", "1").json() == {"version": 2, "problems": []}, "the same sent again changes nothing"
    late = say("no leak", "1")
    assert (late.status_code, late.json()["version"]) == (400, 2)
    assert "leak" in late.json()["problems"][0]


def test_caption_changes_with_a_trail_and_nobodys_writing_is_lost(client, machine, send, picture):
    send(machine, picture(), caption="first")
    row = Attachment.objects.get()
    address = f"/photos/{row.pk}/caption/"
    assert client.post(address, {"caption": "second", "seen_version": "1"}).status_code == 302
    late = client.post(address, {"caption": "third", "seen_version": "1"})
    assert late.status_code == 400
    assert 'value="third"' in late.content.decode()
    row.refresh_from_db()
    assert row.caption == "second"
    told = Change.objects.get(what="caption of a photo")
    assert (told.before, told.after) == ("first", "second")


def test_removed_photo_comes_back_by_undo(client, machine, send, picture):
    send(machine, picture(), caption="Cracked link")
    row = Attachment.objects.get()
    page = client.post(f"/photos/{row.pk}/remove/", follow=True).content.decode()
    done = Undoable.objects.get()
    assert f'action="/undo/{done.pk}/"' in page
    for address in (f"/photos/{row.pk}/", f"/photos/{row.pk}/page", f"/photos/{row.pk}/small"):
        assert client.get(address).status_code == 404
    client.post(f"/undo/{done.pk}/")
    assert whole(client.get(f"/photos/{row.pk}/page")) == stored(row)


def test_files_of_removed_photos_go_after_a_day(machine, send, picture, client):
    send(machine, picture((100, 50)))
    send(machine, picture((100, 50)))  # the same picture once more: its file is shared
    send(machine, picture((50, 100)))
    third, second, first = Attachment.objects.order_by("-at")
    assert first.file == second.file != third.file
    for row in (first, third):
        client.post(f"/photos/{row.pk}/remove/")
    assert forget_removed() == 0
    Attachment.objects.exclude(removed_at=None).update(removed_at=timezone.now() - dt.timedelta(days=1, minutes=1))
    assert forget_removed() == 2
    assert store.path_of(second.file).exists()
    assert not store.path_of(third.file).exists()
    assert not store.path_of(third.file_small).exists()


def test_files_lie_outside_what_is_served(client, machine, send, picture, settings):
    send(machine, picture())
    row = Attachment.objects.get()
    assert str(settings.STATIC_ROOT) not in str(store.path_of(row.file))
    assert client.get(f"/static/{row.file}").status_code == 404
    answer = client.get(f"/photos/{row.pk}/page")
    whole(answer)
    assert "sandbox" in answer["Content-Security-Policy"]
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cache-Control"].startswith("private")
    for size in ("file", "..", "small.jpg"):
        assert client.get(f"/photos/{row.pk}/{size}").status_code == 404


def test_queries_do_not_grow_with_the_photos(client, machine, send, picture):
    from django.db import connection

    client.get(f"/machines/{machine.pk}/")  # its drawing is made once and kept
    counts = []
    for many in (1, 6):
        while Attachment.objects.count() < many:
            send(machine, picture(), part="bush/left")
        for address in (
            f"/machines/{machine.pk}/",
            f"/machines/{machine.pk}/photos/",
            f"/photos/{Attachment.objects.first().pk}/",
        ):
            with CaptureQueriesContext(connection) as asked:
                client.get(address)
            counts.append(len(asked))
    assert counts[:3] == counts[3:]


def test_on_another_page_stands_what_belongs_there(machine, begin, send, picture, rf):
    """How pages of other apps place photos: by part or by a place, and only of one walk-round."""
    from types import SimpleNamespace

    from django.template import engines

    from pitchline.desk.walkround.models import Sheet

    sheet = Sheet.objects.get(pk=begin(machine))
    send(machine, picture(), caption="of now", part="bush/left", sheet=str(sheet.pk))
    send(machine, picture(), caption="of then", part="bush/left")
    send(machine, picture(), caption="elsewhere", part="bush/right")

    def shown(how, **context):
        told = engines["django"].from_string(f'{{% include "photos/on.html" with {how} %}}')
        text = told.render({"machine": machine} | context, rf.get("/here/"))
        assert f'action="/machines/{machine.pk}/photos/send/"' in text
        return {word for word in ("of now", "of then", "elsewhere") if f'alt="{word}"' in text}, text

    assert shown('part="bush/left" sheet=""')[0] == {"of now", "of then"}
    found, text = shown("place=here", here=SimpleNamespace(key="bush/left", name="Bushes, left"), sheet=sheet)
    assert found == {"of now"}
    assert f'name="sheet" value="{sheet.pk}"' in text
    assert 'name="part" value="bush/left"' in text
    assert shown('part="" sheet=""')[0] == {"of now", "of then", "elsewhere"}


def test_strangers_id_is_not_taken_over(owner, owner_client, stranger_client, bring, dossier, sent, picture):
    """A photo's id comes from the phone: the same id from another business must not open the owner's photo."""
    from pitchline.desk.people.models import Member
    from pitchline.desk.people.who import Actor

    machine, send_id = bring(dossier, judged=False, who=owner), str(uuid.uuid4())
    post = {"send_id": send_id}
    owner_client.post(f"/machines/{machine.pk}/photos/send/", post | {"files": sent(picture())})
    other = Actor(Member.objects.get(user__username="stranger").business, "stranger")
    theirs = bring(dossier, judged=False, who=other)
    answer = stranger_client.post(f"/machines/{theirs.pk}/photos/send/", post | {"files": sent(picture())})
    assert answer.status_code == 404
    assert Attachment.objects.get().machine_id == machine.pk
    assert stranger_client.get(f"/photos/{send_id}/page").status_code == 404


def buyers_paper(client, machine):
    paper = client.get(f"/machines/{machine.pk}/papers/{machine.judgement_id}/buyer.pdf").content
    return paper, " ".join(PdfReader(io.BytesIO(paper)).pages[0].extract_text().split())


def test_photos_stand_on_the_buyers_paper_of_the_whole_machine_first(client, machine, send, picture):
    """As they lie in the store, byte for byte; one that was removed is not on it."""
    send(machine, picture(), part="bottom_roller/left/2", caption="oil on it")
    send(machine, picture((640, 480)), caption="the left side")
    send(machine, picture((320, 240)), caption="not this one")
    rows = {one.caption: one for one in Attachment.objects.all()}
    Attachment.objects.filter(caption="not this one").update(removed_at=timezone.now())
    paper, text = buyers_paper(client, machine)
    assert [stored(rows[said]) in paper for said in ("the left side", "oil on it", "not this one")] == [
        True,
        True,
        False,
    ]
    assert text.index("the left side") < text.index("Bottom roller 2, left: oil on it")


def test_a_paper_never_tells_where_a_photo_was_taken(client, machine, send, picture):
    """A yard may keep the place in its photos (Exif, GPS); what is handed to a buyer leaves it out."""
    send(machine, picture(), caption="the left side", keep_place="1")
    row = Attachment.objects.get()
    assert row.has_place
    paper, text = buyers_paper(client, machine)
    assert "the left side" in text
    assert b"Exif" in stored(row)
    assert b"Exif" not in paper
