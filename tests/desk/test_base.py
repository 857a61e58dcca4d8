"""What the desk's apps share: limits of files told once, workers hired, versions read."""

from pathlib import Path

import pytest

from pitchline.desk import text_filters, uploads, worker
from pitchline.desk.versions import version_of
from pitchline.trade.errors import InputError

PAGE = Path(__file__).parents[2] / "docs" / "howto" / "keep-photos.md"


@pytest.mark.django_db
def test_pages_and_the_guide_say_the_limits_that_bind(client, machine, monkeypatch):
    assert f"up to {uploads.LARGEST_PHOTO_MB} MB each" in PAGE.read_text()
    monkeypatch.setattr(text_filters, "LARGEST_PHOTO_MB", 7)
    monkeypatch.setattr(text_filters, "LARGEST_FILE_MB", 9)
    assert "up to 7 MB each" in client.get(f"/machines/{machine.pk}/photos/").content.decode()
    assert "up to 9 MB each" in client.get("/bring/").content.decode()


def test_a_file_at_its_limit_is_taken_and_one_byte_more_is_not():
    assert uploads.upload("a.txt", b"x" * 1024**2, 1).name == "a.txt"
    with pytest.raises(InputError, match="up to 1 MB"):
        uploads.upload("a.txt", b"x" * (1024**2 + 1), 1)


@pytest.mark.parametrize(("text", "version"), [("3", 3), ("999999999", 999_999_999)])
def test_version_is_a_number(rf, text, version):
    assert version_of(rf.post("/", {"seen_version": text})) == version


@pytest.mark.parametrize("text", ["", "-1", "two", "9" * 10])
def test_what_is_no_version_is_refused(rf, text):
    with pytest.raises(InputError, match="version"):
        version_of(rf.post("/", {"seen_version": text}))


def test_everybody_hired_is_rung(monkeypatch):
    class Hand(worker.Worker):
        done = 0

        def work(self):
            self.done += 1

    hands = [Hand(), Hand()]
    monkeypatch.setattr(worker, "_HIRED", [])
    for hand in hands:
        worker.hire(hand)
    worker.ring_all()
    assert [hand.done for hand in hands] == [1, 1]


def test_the_desk_judges_plans_and_brings_in_lists_and_hours_in_the_background():
    assert sorted(one.name for one in worker.workers()) == [
        "hours",
        "jobs",
        "judging",
        "learning",
        "lists",
        "planning",
        "telling",
    ]
