"""Every address: for its owner, for a stranger, and for nobody. A new address that is not listed here fails the first test."""

import html
import os
import re
import uuid
from itertools import cycle

import pytest
from django.db import transaction
from django.urls import get_resolver

from pitchline.desk.bridge.price_rows import PriceFile
from pitchline.desk.clock import today
from pitchline.desk.freequote.actions import keep_quote
from pitchline.desk.freequote.making import ground_of
from pitchline.desk.gearbook.actions import take_from_machine
from pitchline.desk.photos import store
from pitchline.desk.photos.models import Attachment
from pitchline.desk.prices import content_of, enter_prices
from pitchline.desk.undo.actions import remember
from pitchline.desk.walkround.models import Aside, Sheet
from pitchline.desk.workplan.models import Plan
from pitchline.desk.workplan.stored import packed_footing, packed_verdict
from pitchline.desk.yard.models import MachineList
from pitchline.money.free_quote import Asked, free_quote
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

OPEN = {"sign-in", "sign-out", "alive", "icon", "feed", "machine-feed"}
YARD = {
    "yard": "get", "add": "get", "bring": "get", "prices": "get", "demo": "post", "archive-ticked": "post", "undoable": "get",
    "export-list": "get", "blank-list": "get", "settings": "get", "feed-settings": "post",
    "book": "get", "book-new": "get", "book-bring": "post", "book-learned": "post",
    "price-class": "get", "blank-prices": "get",
}  # fmt: skip
BOOK = {
    "book-entry": "get", "book-change": "get", "book-limits": "get", "book-fit": "get", "book-away": "post",
    "book-download": "get", "book-undo": "get",
    "price-times": "get", "prices-again": "post", "prices-file": "get",
}  # fmt: skip
MACHINE = {
    "machine": "get", "about": "get", "gear": "get", "limits": "get", "machine-file": "get", "machine-download": "get",
    "blank-sheet": "get", "bring-round": "post", "archive": "post", "changes": "get", "paper": "get", "part": "get",
    "begin": "post", "ground-fit": "get",
    "photos": "get", "send-photos": "post", "attachment": "get", "attachment-file": "get", "attachment-caption": "post",
    "attachment-remove": "post", "machine-list": "get", "apply-list": "post", "undo": "post",
    "outlook": "get", "keep-outlook": "post", "worth": "get", "keep-asking-price": "post",
    "work": "get", "work-done": "get", "work-csv": "get", "take-work-out": "post",
    "plan": "get", "work-out": "post", "put-plan-away": "post",
    "plan-spots": "get", "keep-plan": "post", "plan-paper": "get",
    "free-quote": "get", "free-quote-paper": "get", "free-quote-away": "post",
    "from-book": "get", "to-book": "post", "bring-limits": "post", "limits-table": "get",
}  # fmt: skip
SHEET = {
    "walk-round": "get", "walk-round-at": "get", "save": "post", "finish": "post", "put-away": "post", "settle": "post",
    "reopen": "post", "go-on": "get",
}  # fmt: skip


def names(patterns):
    for pattern in patterns:
        if str(pattern.pattern) == "api/v1/":
            continue  # behind a door of its own; tests/desk/api/test_reach.py has each of its operations
        if hasattr(pattern, "url_patterns"):
            yield from names(pattern.url_patterns)
        elif pattern.name is not None:  # without one: an address of before, led on to one of these
            yield pattern.name


@pytest.fixture(scope="session")
def packed(planned_once):
    """A worked out plan, as its row holds it."""
    verdict, footing = planned_once
    return {"verdict_packed": packed_verdict(verdict), "footing_packed": packed_footing(footing)}


@pytest.fixture
def addresses(owner, bring, dossier, packed, prices):
    """An address of each name, leading to the owner's rows."""
    from django.urls import reverse

    machine = bring(dossier, who=owner)
    sheet = Sheet.objects.create(business=owner.business, machine=machine, date_text="2026-11-25")
    aside = Aside.objects.create(sheet=sheet, key="head", fields={"by": "x"}, said="x", who="owner")
    key = "bush/left"
    done = remember(owner, way="archive", said="x", before={"machines": [], "archived": False})
    kept = Attachment.objects.create(
        business=owner.business, machine=machine, what="document", name="x.txt", kind="text/plain", size_bytes=1,
        file=store.put(owner.business, b"x"),
    )  # fmt: skip
    listed = MachineList.objects.create(business=owner.business, name="list.csv", state="shown", who="owner")
    plan = Plan.objects.create(
        business=owner.business, machine=machine, judgement=machine.judgement, digest="x", asked={}, who="owner",
        state=Plan.DONE, **packed,
    )  # fmt: skip
    enter_prices(owner, name="prices.csv", content=content_of(prices))
    listed_prices = PriceFile.objects.get(business=owner.business)
    ground = ground_of(machine)
    quoted, _ = keep_quote(
        owner, machine=machine, quote_id=uuid.uuid4(), prices=listed_prices, asked={},
        quote=free_quote(ground.own, [Asked(JobKind.REPLACE, PartKind.BOTTOM_ROLLER)]),
        head=ground.head("", today(), ""),
    )  # fmt: skip
    entry = take_from_machine(owner, machine_id=machine.pk, entry_id=uuid.uuid4(), name="Wide steel")
    special = {each: [entry.pk] for each in BOOK} | {
        "attachment": [kept.pk],
        "attachment-file": [kept.pk, "file"],
        "attachment-caption": [kept.pk],
        "attachment-remove": [kept.pk],
        "machine-list": [listed.pk],
        "apply-list": [listed.pk],
        "undo": [done.pk],
        "export-list": ["csv"],
        "blank-list": ["csv"],
        "free-quote-paper": [machine.pk, quoted.pk],
        "free-quote-away": [machine.pk, quoted.pk],
        "blank-prices": ["csv"],
        "price-times": [],
        "prices-again": [listed_prices.pk],
        "prices-file": [listed_prices.pk, "csv"],
        "book-undo": [entry.fittings.get().batch],
        "limits-table": [machine.pk, "csv"],
        "paper": [machine.pk, machine.judgement_id, "verdict.json"],
        "part": [machine.pk, key],
        "walk-round-at": [sheet.pk, key],
        "settle": [aside.pk],
        "plan-spots": [machine.pk, plan.pk],
        "keep-plan": [machine.pk, plan.pk],
        "plan-paper": [machine.pk, plan.pk, "jobs.ics"],
    }

    def make(name):
        if name in YARD:
            return reverse(name, args=special.get(name, []))
        return reverse(name, args=special.get(name, [machine.pk if name in MACHINE else sheet.pk]))

    return make


def test_every_address_is_known_here():
    assert set(names(get_resolver().url_patterns)) == OPEN | (YARD | MACHINE | SHEET | BOOK).keys()


@pytest.mark.parametrize(("name", "method"), (MACHINE | SHEET | YARD | BOOK).items())
def test_nobody_is_sent_to_sign_in(name, method, addresses, with_login, client):
    response = getattr(client, method)(addresses(name))
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
        "keep-outlook",
        "keep-asking-price",
        "take-work-out",
        "plan-spots",
        "keep-plan",
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


NOT_KEPT = ("csrfmiddlewaretoken", "next")
"""What no row ever holds: what proves the page to be ours, and where to go on."""


def test_nothing_odd_in_any_field_is_an_error_of_the_desks_own(addresses, owner_client):
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
                refused = answer.status_code == 400 or name in NOT_KEPT
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
