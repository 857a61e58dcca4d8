"""Rows outlive the renaming of their tables."""

import uuid

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

BEFORE = {"photos": "0001_photos_and_documents", "workplan": "0001_plans_kept_plans_and_feed"}


def at(earlier=()):
    """The apps with every migration done, but those of some apps up to an earlier one only."""
    leaves = dict(MigrationExecutor(connection).loader.graph.leaf_nodes())
    targets = list((leaves | dict(earlier)).items())
    MigrationExecutor(connection).migrate(targets)
    return MigrationExecutor(connection).loader.project_state(targets).apps


@pytest.fixture
def earlier(transactional_db):
    """The tables as they were; afterwards as they are."""
    yield at(BEFORE)
    at()


def test_photos_and_plans_decided_on_are_still_there(earlier):
    business = earlier.get_model("people", "Business").objects.create(name="This yard")
    mine = {"business_id": business.pk}
    machine = earlier.get_model("machine", "Machine").objects.create(
        short_name="m", name="M", kind="excavator", **mine
    )
    photo = uuid.uuid4()
    earlier.get_model("photos", "Kept").objects.create(
        pk=photo,
        machine_id=machine.pk,
        what="photo",
        name="a.jpg",
        kind="image/jpeg",
        file="f",
        size_bytes=1,
        **mine,
    )
    now = at()
    (row,) = now.get_model("photos", "Attachment").objects.all()
    assert (row.pk, row.machine_id, row.name) == (photo, machine.pk, "a.jpg")
    assert list(now.get_model("machine", "Machine").objects.get().attachments.all()) == [row]
    assert not now.get_model("workplan", "DecidedPlan").objects.exists()


def test_what_was_cut_before_is_stored_whole_and_going_back_cuts_it_again(transactional_db):
    """Forth, back and forth again; PostgreSQL refuses to make a column narrower than what stands in it."""
    narrow = {"walkround": "0004_day_last_seen", "trail": "0001_initial", "photos": "0002_attachments"}
    try:
        whole = at()
        business = whole.get_model("people", "Business").objects.create(name="This yard")
        mine = {"business_id": business.pk}
        machine = whole.get_model("machine", "Machine").objects.create(
            short_name="m", name="M", kind="excavator", **mine
        )
        sheet = whole.get_model("walkround", "Sheet").objects.create(
            machine_id=machine.pk, by="b" * 900, source="s" * 900, **mine
        )
        whole.get_model("walkround", "Aside").objects.create(
            sheet_id=sheet.pk, key="k", fields={}, said="a" * 900, who="me"
        )
        whole.get_model("trail", "Change").objects.create(who="me", what="w" * 900, **mine)
        whole.get_model("photos", "Attachment").objects.create(
            machine_id=machine.pk, what="photo", name="n" * 200, kind="image/jpeg", file="f", size_bytes=1, **mine
        )
        assert lengths(whole) == [900, 900, 900, 900, 200]
        assert lengths(at(narrow)) == [200, 300, 300, 300, 120]
        assert lengths(at()) == [200, 300, 300, 300, 120]
    finally:
        at()


def lengths(apps):
    """How long what is stored is: who went round, the file, what was kept aside, what was changed, a photo's name."""
    sheet, aside = (apps.get_model("walkround", name).objects.get() for name in ("Sheet", "Aside"))
    change, photo = (
        apps.get_model("trail", "Change").objects.get(),
        apps.get_model("photos", "Attachment").objects.get(),
    )
    return [len(one) for one in (sheet.by, sheet.source, aside.said, change.what, photo.name)]


def test_how_bad_is_clear_where_it_was_marked_and_back(transactional_db):
    def said(apps):
        return sorted(apps.get_model("walkround", "SeenRow").objects.values_list("kind", "how_bad"))

    try:
        whole = at({"walkround": "0005_nothing_of_a_walk_round_is_cut"})
        business = whole.get_model("people", "Business").objects.create(name="This yard")
        machine = whole.get_model("machine", "Machine").objects.create(
            short_name="m", name="M", kind="excavator", business_id=business.pk
        )
        sheet = whole.get_model("walkround", "Sheet").objects.create(
            machine_id=machine.pk, business_id=business.pk
        )
        seen = whole.get_model("walkround", "SeenRow").objects
        for kind, bad in (("leak", "marked"), ("bent", "severe"), ("cut", "")):
            seen.create(sheet_id=sheet.pk, part="shoe", side="left", position=0, kind=kind, how_bad=bad)
        assert said(at()) == [("bent", "severe"), ("cut", ""), ("leak", "clear")]
        before = at({"walkround": "0005_nothing_of_a_walk_round_is_cut"})
        assert said(before) == [("bent", "severe"), ("cut", ""), ("leak", "marked")]
    finally:
        at()
