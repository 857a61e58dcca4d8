"""Which running gear of the gear list a machine's is, on the page and over the API. Every running gear here is invented."""

import json
import uuid

import pytest

from pitchline.desk.gearbook.actions import take_from_machine
from pitchline.desk.gearbook.models import BookEntry, Fitting


@pytest.fixture
def get(client):
    """What the API answers."""
    return lambda address: client.get(f"/api/v1{address}")


@pytest.fixture
def two(machine, actor):
    """The machine's own running gear in the list, and another of wider shoes and fewer joints; neither given to it."""
    own = take_from_machine(actor, machine_id=machine.pk, entry_id=uuid.uuid4(), name="Its own")
    Fitting.objects.all().delete()
    other = json.loads(own.text)
    gear = other["running_gear"]
    gear["shoe_width"], gear["joints_per_side"] = "900 mm", gear["joints_per_side"] - 8
    BookEntry.objects.create(business=actor.business, name="Wider shoes", text=json.dumps(other))
    return own


def test_its_own_is_first_and_the_other_tells_what_does_not_agree(client, machine, two, words):
    text = words(client.get("/parts/", {"machine": str(machine.pk)}))
    assert "Which running gear of the gear list it is" in text
    assert "it is Its own of the gear list" in text
    assert text.index("Its own", text.index("Does not agree")) < text.index("Wider shoes")
    assert "width (" in text
    assert "what was counted, as entered, and what the walk-round of" in text
    assert "Which running gear of the gear list it is" in words(client.get(f"/machines/{machine.pk}/"))


def test_the_api_says_the_same(get, machine, two):
    found = get(f"/machines/{machine.pk}/whose-gear").json()
    assert found["fits"]
    assert [one["name"] for one in found["gears"]] == ["Its own", "Wider shoes"]
    assert found["gears"][0]["does_not_agree"] == []
    assert "shoes: width" in found["gears"][1]["does_not_agree"]
    assert found["gears"][0]["chance"] + found["gears"][1]["chance"] + found["none"] == pytest.approx(1)
    assert found["read_on"]


def test_counts_of_the_list_itself_tell_nothing(client, machine, actor, words, get):
    take_from_machine(actor, machine_id=machine.pk, entry_id=uuid.uuid4(), name="Given")
    text = words(client.get("/parts/", {"machine": str(machine.pk)}))
    assert "Its counts are the gear list’s own and tell nothing" in text
    assert get(f"/machines/{machine.pk}/whose-gear").json()["gears"][0]["given"]


def test_an_empty_list_is_told_and_the_page_is_silent(client, machine, get, words):
    assert get(f"/machines/{machine.pk}/whose-gear").status_code == 409
    assert "Which running gear" not in words(client.get("/parts/", {"machine": str(machine.pk)}))
