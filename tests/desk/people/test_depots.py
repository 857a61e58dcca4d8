"""Whoever is held to depots finds nothing of another, on any address and by any operation; and stops nobody else's work."""

import re

import pytest
from django.contrib.auth.models import User
from django.test import Client

from desk_addresses import BOOK, MACHINE, SHEET, YARD
from pitchline.desk.api.document import document
from pitchline.desk.bridge.machine_rows import Machine
from pitchline.desk.people.models import Depot, Member
from pitchline.desk.people.rights import ADDRESSES, OFFICE, ROLES, WHOLE
from pitchline.desk.people.who import member_as_actor
from pitchline.desk.shelf.models import ShelfItem


@pytest.fixture
def north(addresses, owner, with_login):
    """The owner's machine stands in the south; somebody of the office is held to the north."""
    there, here = (Depot.objects.create(business=owner.business, name=name) for name in ("South", "North"))
    Machine.objects.update(depot=there)
    user = User.objects.create_user("nora", password="long enough 1")
    member = Member.objects.create(user=user, business=owner.business, role=OFFICE)
    member.depots.add(here)
    browser = Client()
    browser.force_login(user)
    return browser


ELSEWHERE = ("machine-list", "apply-list", "undo", "attachment-file", "end-token")
"""No address of a machine."""
OF_THE_MACHINE = {
    name: method
    for name, method in (MACHINE | SHEET).items()
    if name not in ELSEWHERE and not name.startswith(("parts-", "phone-", "pocket-"))
    and ADDRESSES[name][0] in ROLES[OFFICE] - {WHOLE}
} | {"pocket-machine": "get", "attachment-file": "get"}  # fmt: skip


def test_nothing_of_another_depot_is_found_on_any_address(north, addresses):
    found = {name: getattr(north, method)(addresses(name)).status_code for name, method in OF_THE_MACHINE.items()}
    assert {name: status for name, status in found.items() if status != 404} == {}
    assert len(found) > 50


def test_what_holds_for_the_whole_yard_is_not_for_whoever_is_held(north, addresses):
    whole = {name: method for name, method in (YARD | MACHINE | BOOK).items() if ADDRESSES[name][0] == WHOLE}
    assert {getattr(north, method)(addresses(name)).status_code for name, method in whole.items()} == {403}


def asked(browser):
    """What each operation that asks about one machine answers: its status, by its name."""
    machine = Machine.objects.get()
    names = {
        "machine_id": machine.pk,
        "verdict_id": machine.judgement_id,
        "walk_round_id": machine.sheets.first().pk,
    }
    names |= {"name": "buyer.pdf", "quote_id": machine.free_quotes.get().pk, "aside_id": 1, "work_id": "w1"}
    found = {}
    for path, methods in document()["paths"].items():
        if "get" in methods and re.search(r"machine_id|walk_round_id", path):
            address = re.sub(r"{(\w+)}", lambda one: str(names[one[1]]), path)
            answer = browser.get(address + "?horizon_h=6000" * path.endswith("/plan"))
            found[methods["get"]["operationId"]] = answer.status_code
    return found


def test_nothing_of_another_depot_is_found_by_any_operation(north, addresses):
    assert set(asked(north).values()) == {404}
    assert north.get("/api/v1/machines").json()["count"] == 0
    assert north.get("/api/v1/yard").json()["machines"] == 0


def test_all_of_their_own_depot_is_as_for_somebody_held_to_none(north, addresses, owner):
    free, user = Client(), User.objects.create_user("otto", password="long enough 1")
    Member.objects.create(user=user, business=owner.business, role=OFFICE)
    free.force_login(user)
    for model in (Machine, ShelfItem):
        model.objects.update(depot=Depot.objects.get(name="North"))
    seen = [name for name, method in OF_THE_MACHINE.items() if method == "get" and name != "attachment-file"]
    held, whole = ({name: one.get(addresses(name)).status_code for name in seen} for one in (north, free))
    assert held == whole
    assert list(held.values()).count(200) > 30
    assert asked(north) == asked(free)


def test_yard_pages_show_only_their_own(north, addresses):
    for address in ("/", "/?view=chart", "/undo/", "/machines.csv", "/pocket/yard"):
        answer = north.get(address)
        text = b"".join(answer.streaming_content) if answer.streaming else answer.content
        assert b"Test machine" not in text, address
    entry = north.get(
        addresses("book-entry")
    ).content.decode()  # says in words where it was taken from, and leads nowhere
    assert str(Machine.objects.get().pk) not in entry


def test_gear_list_names_no_machine_of_another_depot(north, addresses, owner_client):
    name = Machine.objects.get().name
    assert f"taken from {name}" in owner_client.get(addresses("book-entry")).content.decode()
    page = north.get(addresses("book-entry"))
    assert page.status_code == 200
    assert name not in page.content.decode()
    Machine.objects.update(depot=Depot.objects.get(name="North"))
    assert f"taken from {name}" in north.get(addresses("book-entry")).content.decode()


def test_machine_added_by_somebody_held_stands_at_their_depot(north, addresses, owner):
    import uuid

    new = str(uuid.uuid4())
    north.post("/machines/new/", {"machine_id": new, "name": "Mine", "kind": "excavator", "hours": "10"})
    assert Machine.objects.get(pk=new).depot.name == "North"
    assert north.get(f"/machines/{new}/").status_code == 200
    assert member_as_actor(Member.objects.get(user__username="nora")).depots is not None


def test_owner_is_held_to_none(owner, addresses):
    member = Member.objects.get(user__username="owner")
    member.depots.add(Depot.objects.create(business=owner.business, name="North"))
    assert member_as_actor(member).depots is None
