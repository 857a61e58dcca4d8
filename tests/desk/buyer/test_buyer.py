"""A link for a buyer: one machine's paper and photos, until a day, counted, taken back, and nothing else of the yard."""

import datetime as dt
import io
import re
import uuid

import pytest
from django.test import Client
from django.utils import timezone
from PIL import Image

from pitchline.desk.buyer import actions
from pitchline.desk.buyer.models import BuyerLink
from pitchline.desk.photos import store
from pitchline.desk.photos.models import Attachment, PartName
from pitchline.desk.undo.models import Undoable


def made(client, machine, **typed):
    page = client.post(
        f"/machines/{machine.pk}/buyer/", {"buyer": "Mr Buyer", "lasts": "7"} | typed
    ).content.decode()
    return re.search(r'value="http://testserver(/for-a-buyer/[^"]+)"', page)[1]


@pytest.fixture
def photo(machine):
    picture = io.BytesIO()
    Image.new("RGB", (8, 8), "green").save(picture, "JPEG")
    return Attachment.objects.create(
        business=machine.business, machine=machine, what="photo", name="x.jpg", kind="image/jpeg", caption="Left side",
        size_bytes=1, width=8, height=8, file=store.put(machine.business, picture.getvalue()), who="x",
    )  # fmt: skip


def test_buyer_sees_paper_and_photos_of_one_machine_and_is_counted(client, machine, photo):
    link, buyer = made(client, machine), Client()
    page = buyer.get(link)
    text = page.content.decode()
    assert "Test machine" in text
    assert "Left side" in text
    assert "Mr Buyer" not in text
    assert buyer.get(f"{link}paper.pdf").content.startswith(b"%PDF")
    assert buyer.get(f"{link}{photo.pk}.jpg").content.startswith(b"\xff\xd8")
    buyer.head(link)
    buyer.get(link)
    row = BuyerLink.objects.get()
    assert row.openings == 2  # neither the paper, nor a look at the head of it
    assert link.split("/")[2] not in row.mark
    assert "last" in client.get(f"/machines/{machine.pk}/buyer/").content.decode()
    for answer in (page, buyer.get(f"{link}paper.pdf"), buyer.get(f"{link}{photo.pk}.jpg")):
        assert answer["X-Robots-Tag"].startswith("noindex")
        assert answer["Referrer-Policy"] == "no-referrer"
        assert answer["Cache-Control"] == "private, no-store"


def test_parts_named_on_a_photo_lie_over_it(client, machine, photo):
    link = made(client, machine)
    assert "<svg" not in Client().get(link).content.decode()
    PartName.objects.create(photo=photo, part="bush", tip_x=1, tip_y=1, at_x=9, at_y=9, who="owner")
    assert re.search(r'<svg[^>]* class="names".*bushes.*</svg>', Client().get(link).content.decode(), re.DOTALL)


def test_page_leads_nowhere_else(client, machine, photo):
    link = made(client, machine)
    text = Client().get(link).content.decode()
    goals = re.findall(r'(?:href|src|action)="([^"]*)"', text)
    assert {one for one in goals if not one.startswith(("/static/", link))} == set()
    assert not re.search(r"<form|<nav|customer|/machines/", text)


def test_other_machines_documents_and_removed_photos_are_not_in_it(client, machine, photo, bring, dossier):
    from dataclasses import replace

    link = made(client, machine)
    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2", name="Other")), judged=False)
    strange = Attachment.objects.create(
        business=machine.business, machine=other, what="photo", name="x", kind="image/jpeg", size_bytes=1, file=photo.file,
    )  # fmt: skip
    document = Attachment.objects.create(
        business=machine.business, machine=machine, what="document", name="x", kind="text/plain", size_bytes=1,
        file=photo.file,
    )  # fmt: skip
    Attachment.objects.filter(pk=photo.pk).update(removed_at=timezone.now())
    for one in (strange.pk, document.pk, photo.pk, uuid.uuid4()):
        assert Client().get(f"{link}{one}.jpg").status_code == 404


@pytest.mark.parametrize("how", ["ended", "taken back", "wrong"])
def test_link_that_is_over_shows_nothing(how, client, machine, photo):
    link = made(client, machine)
    if how == "ended":
        BuyerLink.objects.update(ends_at=timezone.now() - dt.timedelta(seconds=1))
    elif how == "taken back":
        client.post(f"/buyer-links/{BuyerLink.objects.get().pk}/back/")
    else:
        link = f"{link[:-3]}xx/"
    for address in (link, f"{link}paper.pdf", f"{link}{photo.pk}.jpg"):
        answer = Client().get(address)
        assert answer.status_code == 404
        assert b"Test machine" not in answer.content
    assert BuyerLink.objects.get().openings == 0


def test_link_that_is_shown_once_can_be_copied(client, machine):
    page = client.post(f"/machines/{machine.pk}/buyer/", {"buyer": "Mr Buyer", "lasts": "7"}).content.decode()
    assert 'data-copies="link"' in page
    assert "desk/copy" in page


def test_making_and_taking_back_can_be_undone(client, machine):
    link = made(client, machine)
    client.post(f"/undo/{Undoable.objects.get().pk}/")
    assert Client().get(link).status_code == 404
    again = made(client, machine)
    row = BuyerLink.objects.get(taken_back_at=None)
    client.post(f"/buyer-links/{row.pk}/back/")
    assert Client().get(again).status_code == 404
    client.post(f"/undo/{Undoable.objects.order_by('-at').first().pk}/")
    assert Client().get(again).status_code == 200


def test_link_asked_too_often_waits(client, machine, monkeypatch):
    monkeypatch.setattr(actions, "MOST_A_MINUTE", 3)
    link = made(client, machine)
    answers = [Client().get(link) for _ in range(5)]
    assert [one.status_code for one in answers] == [200, 200, 200, 429, 429]
    assert answers[-1]["Retry-After"] == "60"
    BuyerLink.objects.update(minute=timezone.now() - dt.timedelta(seconds=61))
    assert Client().get(link).status_code == 200
    assert BuyerLink.objects.get().openings == 4


def test_link_opens_where_people_sign_in(owner_client, owner, bring, dossier):
    link = made(owner_client, bring(dossier, who=owner))
    assert Client().get(link).status_code == 200
    assert owner_client.post(f"/machines/{uuid.uuid4()}/buyer/", {"lasts": "7"}).status_code == 404


@pytest.mark.parametrize(("host", "alone"), [("127.0.0.1:8321", True), ("localhost", True), ("testserver", False)])
def test_a_link_that_only_this_computer_opens_is_said_to_be_one(client, machine, host, alone):
    """Loopback addresses (RFC 1122, 3.2.1.3): a buyer who is sent one is led to his own computer."""
    for address in (f"/machines/{machine.pk}/buyer/", "/people/"):
        page = client.get(address, headers={"host": host}).content.decode()
        assert ("opens on this computer alone" in page) is alone
