"""Every address: for its owner, for a stranger, and for nobody. A new address that is not listed here fails the first test."""

import html
import os
import re
import uuid
from itertools import cycle

import pytest
from django.db import transaction
from django.urls import get_resolver

from desk_addresses import BOOK, MACHINE, OPEN, SHEET, YARD
from pitchline.desk.phones.middleware import FOR_THE_APP
from pitchline.desk.photos import store
from pitchline.desk.walkround.models import Sheet


@pytest.fixture
def owner(kept_rows, db):
    return kept_rows[0]


@pytest.fixture
def addresses(kept_rows, db):
    store.put(kept_rows[0].business, b"x")  # what a test did to a file is not undone
    return kept_rows[1]


def names(patterns):
    for pattern in patterns:
        if str(pattern.pattern) == "api/v1/":
            continue  # behind a door of its own; tests/desk/api/test_reach.py has each of its operations
        if hasattr(pattern, "url_patterns"):
            yield from names(pattern.url_patterns)
        elif pattern.name is not None:  # without one: an address of before, led on to one of these
            yield pattern.name


def test_every_address_is_known_here():
    assert set(names(get_resolver().url_patterns)) == OPEN | (YARD | MACHINE | SHEET | BOOK).keys()


@pytest.mark.parametrize(("name", "method"), (MACHINE | SHEET | YARD | BOOK).items())
def test_nobody_is_sent_to_sign_in(name, method, addresses, with_login, client):
    response = getattr(client, method)(addresses(name))
    if name in FOR_THE_APP:  # a script follows no way to a page: it is told
        assert (response.status_code, response.json()["why"]) == (401, "signed out")
        assert response.json()["href"].startswith("/sign-in/")
        return
    assert response.status_code == 302
    assert response["Location"].startswith("/sign-in/")


@pytest.mark.parametrize(("name", "method"), (MACHINE | SHEET | BOOK).items())
def test_stranger_finds_nothing_where_the_owner_does(name, method, addresses, owner_client, stranger_client):
    """The stranger goes first: whatever a request of theirs changed would show in the owner's answer."""
    address = addresses(name)
    assert getattr(stranger_client, method)(address).status_code == 404
    response = getattr(owner_client, method)(address)
    answer = response.status_code
    asks_for_more = (
        "bring-round",
        "finish",
        "bring-limits",
        "send-photos",
        "attachment-caption",
        "name-part",
        "meter-changed",
        "keep-outlook",
        "keep-asking-price",
        "take-work-out",
        "plan-spots",
        "keep-plan",
        "person",
    )
    if response.streaming:
        assert b"".join(response.streaming_content) == b"x"
    assert answer in (200, 302) or (name in asks_for_more and answer == 400)


FORM = re.compile(r"<form\b([^>]*)>(.*?)</form>", re.DOTALL)
FIELD = re.compile(r'<(?:input|select|textarea|button)\b[^>]*\bname="([^"]+)"(?:[^>]*\bvalue="([^"]*)")?')
LINES = ("head~", "link/left:", "bottom_roller/left/1:", "csrf", "writer", "next", "why")
ODD = ("\x00", "x" * 5000, "²", "9" * 400, "-1e999", "NaN", "<b>\u202e\U0001f69c", "\ufffe", "")


def forms_on(client, address):
    """Every form a page holds that is sent: where to, and its fields as they stand; of a walk-round a few lines."""
    text = client.get(address).content.decode(errors="replace")
    for head, inside in FORM.findall(text):
        where = re.search(r'action="([^"]*)"', head)
        ways = {where[1] if where and where[1] else address, *re.findall(r'formaction="([^"]*)"', inside)}
        fields = {name: html.unescape(value) for name, value in FIELD.findall(inside)}
        if len(fields) > 100:
            fields = {name: value for name, value in fields.items() if name.startswith(LINES)}
        if 'method="post"' in head or "formmethod" in inside:
            yield from ((way, fields) for way in sorted(ways) if "sign-out" not in way)


NOT_KEPT = ("csrfmiddlewaretoken", "next", "password", "oldpassword", "password1", "password2", "email")
"""What is refused on a page with status 200: what proves the page to be ours, where to go on, and what the library that signs
people in looks at itself."""


def test_nothing_odd_in_any_field_is_an_error_of_the_desks_own(addresses, owner_client, nobody_works):
    """One field of one form at a time, on whatever database the tests run; a zero byte is refused.

    Each field gets one odd text, the next field the next; `PITCHLINE_EXAMPLES=fuzz` gives each field every one of them.
    """
    shown = [name for name, method in (MACHINE | SHEET | YARD | BOOK).items() if method == "get"]
    pages = sorted({addresses(name) for name in shown if name != "attachment-file"})
    forms = {(where, tuple(fields)): fields for page in pages for where, fields in forms_on(owner_client, page)}
    assert len(forms) > 25
    owner_client.raise_request_exception = False
    failed, turn = [], cycle(ODD)
    for (where, names_in_it), fields in forms.items():
        for name in names_in_it:
            for odd in ODD if os.environ.get("PITCHLINE_EXAMPLES") == "fuzz" else [next(turn)]:
                with transaction.atomic():
                    answer = owner_client.post(where, fields | {name: odd})
                    transaction.set_rollback(True)
                refused = (
                    answer.status_code in (400, 405) or name in NOT_KEPT
                )  # 405: a question, sent as if it were none
                if answer.status_code >= 500 or (odd == "\x00" and not refused):
                    failed.append((where, name, odd[:10], answer.status_code))
    assert failed == []


def test_strangers_yard_shows_nothing_of_the_owners(addresses, stranger_client, words):
    addresses("machine")
    assert "Test machine" not in words(stranger_client.get("/"))
    assert "An empty yard" in words(stranger_client.get("/"))


def test_strangers_sheet_id_is_not_taken_over(addresses, owner, stranger_client, bring, dossier):
    """A sheet's id comes from the browser: the same id from another business must not open the owner's sheet."""
    addresses("walk-round")
    sheet = Sheet.objects.get(date_text="2026-11-25")
    from pitchline.desk.people.models import Member
    from pitchline.desk.people.who import Actor

    other = Actor(Member.objects.get(user__username="stranger").business, "stranger")
    theirs = bring(dossier, judged=False, who=other)
    answer = stranger_client.post(f"/machines/{theirs.pk}/begin/", {"sheet_id": str(sheet.pk)})
    assert answer.status_code == 404


def test_person_without_a_business_is_refused(with_login, db, client):
    from django.contrib.auth.models import User

    client.force_login(User.objects.create_user("lost", password="long enough 1"))
    assert client.get("/").status_code == 403


def test_unknown_machine_is_not_found(client, db):
    assert client.get(f"/machines/{uuid.uuid4()}/").status_code == 404


def test_being_alive_needs_no_sign_in(with_login, client, db):
    assert client.get("/alive").json() == {"pitchline": "alive"}
