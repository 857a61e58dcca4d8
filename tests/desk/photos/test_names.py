"""Names of parts on a photo: kept beside the untouched picture, drawn over it on pages and papers, taken off and brought back."""

import io
import re
import uuid
from html import unescape
from xml.etree.ElementTree import fromstring

import pytest
from pypdf import PdfReader

from pitchline.desk.photos import store
from pitchline.desk.photos.actions import MOST_NAMES
from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.picture.named_photo import ACROSS, LETTERS, NamedSpot, names_over

BUSH = {"named": "bush", "tip_x": "30", "tip_y": "60", "at_x": "70", "at_y": "20"}


@pytest.fixture
def photo(machine, send, picture):
    send(machine, picture((400, 300)), caption="Left side")
    return Attachment.objects.get()


SVG = "{http://www.w3.org/2000/svg}"


def drawing_of(text):
    return fromstring(text)  # noqa: S314  our own drawing


def page_of(client, photo):
    return unescape(client.get(f"/photos/{photo.pk}/").content.decode())


def test_a_part_is_named_and_the_photo_stays_as_it_is(client, photo):
    before = store.path_of(photo.file).read_bytes()
    answer = client.post(f"/photos/{photo.pk}/names/", BUSH, follow=True)
    text = unescape(answer.content.decode())
    layer = drawing_of(re.search(r'<svg[^>]*class="names".*?</svg>', text, re.DOTALL)[0])
    (said,) = layer.iter(f"{SVG}text")
    assert said.text == "bushes"
    assert "/primer/parts/bush/" in text
    assert store.path_of(photo.file).read_bytes() == before
    row = PartName.objects.get()
    assert (row.part, row.tip_x, row.tip_y, row.at_x, row.at_y, row.who) == ("bush", 30, 60, 70, 20, "this desk")
    told = Change.objects.get(what="part named on a photo")
    assert (told.before, told.after) == ("", "bushes, on Left side")


def test_the_same_id_names_a_part_once(client, photo):
    sent = BUSH | {"name_id": str(uuid.uuid4())}
    for _ in range(2):
        assert client.post(f"/photos/{photo.pk}/names/", sent).status_code == 302
    assert PartName.objects.count() == 1
    assert Undoable.objects.count() == 1


def test_naming_and_taking_off_are_undone(client, photo):
    client.post(f"/photos/{photo.pk}/names/", BUSH)
    name = PartName.objects.get()
    taken = client.post(f"/photos/names/{name.pk}/off/", follow=True)
    assert 'class="names"' not in taken.content.decode()
    for back in (True, False):
        client.post(f"/undo/{Undoable.objects.filter(undone_at=None).first().pk}/")
        assert ('class="names"' in page_of(client, photo)) is back
    assert Change.objects.filter(what="part named on a photo").count() == 4


@pytest.mark.parametrize(
    ("wrong", "said"),
    [({"tip_x": "101"}, "100"), ({"at_y": ""}, "Nothing is entered"), ({"named": "anvil"}, "bush")],
)
def test_what_cannot_be_used_is_said_and_stays_in_its_field(client, photo, wrong, said):
    answer = client.post(f"/photos/{photo.pk}/names/", BUSH | wrong)
    assert answer.status_code == 400
    text = unescape(answer.content.decode())
    (field,) = wrong
    assert said in re.search(rf'id="wrong-{field}">(.*?)</p>', text, re.DOTALL)[1]
    if field != "named":
        assert f'name="{field}" value="{wrong[field]}"' in re.sub(r"\s+", " ", text)
    assert not PartName.objects.exists()


def test_a_photo_has_so_many_names_and_no_more(client, photo):
    for number in range(MOST_NAMES):
        PartName.objects.create(photo=photo, part="bush", tip_x=number, tip_y=1, at_x=1, at_y=1)
    assert client.post(f"/photos/{photo.pk}/names/", BUSH).status_code == 400
    assert PartName.objects.count() == MOST_NAMES


def test_names_stand_on_the_buyer_s_and_the_colleague_s_paper(client, machine, photo):
    before = len(papers(client, machine, "colleague.pdf").pages)
    client.post(f"/photos/{photo.pk}/names/", BUSH)
    after = papers(client, machine, "colleague.pdf").pages
    assert len(after) == before + 1
    assert "Photos with names of parts" in [page.extract_text().split("\n")[0] for page in after]
    for pages in (after, papers(client, machine, "buyer.pdf").pages):
        assert any("bushes" in page.extract_text().split("\n") for page in pages)


def papers(client, machine, name):
    answer = client.get(f"/machines/{machine.pk}/papers/{machine.judgement_id}/{name}")
    return PdfReader(io.BytesIO(answer.content))


def test_names_lie_inside_the_photo_and_arrows_end_where_they_shall():
    """Measured in the drawing itself: at each edge, the whole name in, the arrow's head at the tip."""
    for x in (0.0, 0.5, 1.0):
        for y in (0.0, 0.5, 1.0):
            tip = (0.5, 0.9) if y < 0.5 else (0.5, 0.1)
            drawing = drawing_of(names_over(1600, 1200, [NamedSpot("track adjuster", tip, (x, y))]))
            (said,) = drawing.iter(f"{SVG}text")
            left, level = float(said.get("x")), float(said.get("y"))
            assert LETTERS * 2 < left < ACROSS - LETTERS * 2
            assert LETTERS * 0.6 < level < 750 - LETTERS * 0.1
            head = drawing[-2].get("d")
            assert head.startswith(f"M{tip[0] * 1000:g} {tip[1] * 750:g}")
    assert "<path" not in names_over(400, 300, [NamedSpot("bush", (0.5, 0.5), (0.5, 0.5))])


def test_a_name_is_told_as_text_however_odd_it_is():
    (said,) = drawing_of(names_over(4, 3, [NamedSpot("<b>&", (0, 0), (1, 1))])).iter(f"{SVG}text")
    assert said.text == "<b>&"
