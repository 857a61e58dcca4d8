"""What comes with a machine to a phone is small and plain JSON; `tests/browser/test_told.py` holds it to the core."""

import json

import pytest

from blank_rounds import round_told
from pitchline.desk.pocket.blanks import blanks_of
from told_rounds import Told, machines


@pytest.fixture(scope="module")
def told():
    return [Told(*one) for one in machines()]


def _size(thing):
    return len(json.dumps(thing, ensure_ascii=False, allow_nan=False, separators=(",", ":")))


def test_every_line_of_every_machine_is_told_by_under_half_a_kilobyte(told):
    for one in told:
        assert one.lines.keys() == one.rows.keys()
        assert _size([one.book, one.lines]) < 500 * len(one.lines)


def test_lines_share_their_tables(told):
    for one in told:
        assert {line["t"] for line in one.lines.values()} == one.book["tables"].keys()
        assert len(one.book["tables"]) < len(one.lines)


def test_what_is_asked_of_a_new_machine_is_small_and_has_no_figure_of_any_machine(settings):
    storage = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    settings.STORAGES = {**settings.STORAGES, "staticfiles": storage}
    blanks = blanks_of("in", round_told)
    assert _size(blanks) < 150_000
    assert blanks["unit"] == blanks["told"]["unit"] == "in"
    counts = {one["field"]: one for track in blanks["tracks"] for one in track["counts"]}
    assert all(one["usual"] == "" for one in counts.values() if "least" in one and one["field"] != "pitch_joints")
    assert (counts["bottom_rollers_per_side"]["least"], counts["bottom_rollers_per_side"]["most"]) == (0, 20)
    tables = blanks["told"]["tables"].values()
    assert not any(table.get("limit") or table.get("band") for table in tables)
