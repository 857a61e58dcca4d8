"""Photos over the API: listed with the parts named on them; a name written once by its key, and taken off."""

import uuid

import pytest

from pitchline.desk.photos.models import Attachment, PartName

NAME = {"part": "idler", "tip_x": 10, "tip_y": 50, "at_x": 60, "at_y": 0}


@pytest.fixture
def photo(actor, machine):
    return Attachment.objects.create(
        business=actor.business, machine=machine, what="photo", name="a.jpg", kind="image/jpeg", size_bytes=1, file="x",
        caption="Left side", width=40, height=30,
    )  # fmt: skip


def test_a_name_is_written_once_listed_and_taken_off(client, post, photo):
    key = str(uuid.uuid4())
    answers = [post(f"/photos/{photo.pk}/names", NAME, key=key) for _ in range(2)]
    assert [one.status_code for one in answers] == [201, 201]
    assert answers[0].json()["id"] == key == answers[1].json()["id"]
    (row,) = client.get(f"/api/v1/machines/{photo.machine_id}/photos").json()["items"]
    assert (row["caption"], [one["part"] for one in row["names"]]) == ("Left side", ["idler"])
    assert post(f"/photo-names/{key}/take-off", {}).status_code == 200
    (row,) = client.get(f"/api/v1/machines/{photo.machine_id}/photos").json()["items"]
    assert row["names"] == []
    assert PartName.objects.get().removed_at is not None


@pytest.mark.parametrize("wrong", [{"part": "anvil"}, {"tip_x": 101}, {"at_y": -1}, {"tip_y": 1.5}, {"extra": 1}])
def test_what_cannot_be_is_refused(post, photo, wrong):
    assert post(f"/photos/{photo.pk}/names", NAME | wrong).status_code == 422
    assert post(f"/photos/{uuid.uuid4()}/names", NAME).status_code == 404
    assert not PartName.objects.exists()
