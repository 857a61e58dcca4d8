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
