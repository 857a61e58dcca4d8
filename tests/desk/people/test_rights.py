"""Roles against every address and every operation: what the table of rights says happens, and no fitter sees a price."""

import io
import re

import pypdf
import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from desk_addresses import BOOK, MACHINE, SHEET, YARD
from desk_addresses import OPEN as OPEN_HERE
from pitchline.desk.api.document import document
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.machine.papers import PAPERS, WITH_PRICES
from pitchline.desk.people import rights
from pitchline.desk.people.models import Business, Member
from pitchline.desk.people.rights import ADDRESSES, FITTER, OFFICE, OPERATIONS, OWNER, READER, ROLES
from pitchline.desk.people.who import Actor, asked_by
from pitchline.desk.prices import enter_prices
from pitchline.exchange.prices_file import write_prices

ASKED = YARD | MACHINE | SHEET | BOOK
PATHS = {
    told["operationId"]: (method, path)
    for path, ways in document()["paths"].items()
    for method, told in ways.items()
}
FOR_A_TEST = "XTS"
"""The currency code that ISO 4217 keeps for tests: it stands on no page by chance."""


def worker(business, role, name=None):
    name = name or f"{role} of {business.pk}"
    user = User.objects.create_user(name[:150], password="long enough 1")
    Member.objects.create(user=user, business=business, role=role)
    browser = Client()
    browser.force_login(user)
    return browser


def test_table_has_every_address_and_every_operation_and_no_other():
    assert set(ADDRESSES) == set(ASKED) | {"api:docs"}
    assert rights.OPEN == OPEN_HERE
    assert set(OPERATIONS) == set(PATHS)


def test_roles_are_what_the_trade_expects_of_them():
    """Written down here apart from the table: what each role is for."""
    may = {role: {name for name, (look, _) in ADDRESSES.items() if look in ROLES[role]} for role in ROLES}
    assert may[OWNER] == set(ADDRESSES)
    of_people = {
        "people",
        "invite",
        "uninvite",
        "person",
        "person-out",
        "person-password",
        "add-depot",
        "remove-depot",
    }
    hooks = {"hooks", "hook-off", "hook-try", "hook-secret", "hook-remove"}
    assert set(ADDRESSES) - may[OFFICE] == {"settings", "feed-settings", "phones-wake"} | of_people | hooks
    priced = {"prices", "worth", "plan", "free-quote", "work", "machine-file", "export-list", "settings", "bring"}
    assert not may[FITTER] & priced
    assert may[FITTER] >= {
        "yard",
        "machine",
        "begin",
        "save",
        "finish",
        "send-photos",
        "pocket-yard",
        "gear",
        "phone-code",
    }
    writes = {name for name, (_, send) in ADDRESSES.items() if send in ROLES[READER]}
    own = ("account_", "mfa_", "usersessions_", "socialaccount_")  # one's own sign-in
    assert {name for name in writes if not name.startswith(own)} == {
        "phone-code", "phone-answer", "phone-out", "pocket-file", "add-token", "end-token", "digest",
    }  # fmt: skip
    assert may[READER] >= {"yard", "prices", "worth", "plan"}


@pytest.mark.parametrize("role", [OFFICE, FITTER, READER])
def test_every_address_answers_each_role_as_the_table_says(role, addresses, owner, with_login, nobody_works):
    mine = worker(owner.business, role)
    stranger = worker(Business.objects.create(name="Another yard"), role)
    mine.raise_request_exception = False
    surprises = []
    for name, method in ASKED.items():
        look, send = ADDRESSES[name]
        for way in {method, "post" if send else method}:
            right = look if way == "get" else send or look
            theirs = (
                name != "end-token" and name in MACHINE | SHEET | BOOK
            )  # its address leads to a row of the owner's
            asked = ((mine, True), (stranger, False)) if theirs else ((mine, True),)
            for browser, is_own in asked:
                answer = getattr(browser, way)(addresses(name))
                if answer.streaming:
                    b"".join(answer.streaming_content)
                if right not in ROLES[role]:
                    wanted = answer.status_code == 403
                elif name == "end-token":
                    wanted = answer.status_code in (302, 404)  # a token is its person's alone
                elif is_own:  # the paper asked for is verdict.json, which says prices
                    wanted = (answer.status_code == 403) is (name == "paper" and "money" not in ROLES[role])
                else:
                    wanted = answer.status_code in (404, 405)
                if not wanted:
                    surprises.append((name, way, is_own, answer.status_code))
    assert surprises == []


@pytest.mark.parametrize("role", [OWNER, OFFICE, FITTER, READER])
def test_every_operation_answers_each_role_as_the_table_says(role, addresses, owner, with_login):
    mine = worker(owner.business, role)
    machine = Machine.objects.get()
    names = {"machine_id": machine.pk, "verdict_id": machine.judgement_id, "name": "buyer.pdf"}
    surprises = []
    for operation, (method, path) in PATHS.items():
        address = re.sub(r"{(\w+)}", lambda found: str(names.get(found[1], machine.pk)), path)
        if operation == "plan" and role != FITTER:
            address += "?horizon_h=-1"  # refused before it is worked out
        answer = getattr(mine, method)(
            address, **({} if method == "get" else {"content_type": "application/json"})
        )
        if (answer.status_code == 403) is not (OPERATIONS[operation] not in ROLES[role]):
            surprises.append((operation, answer.status_code))
    assert surprises == []


@pytest.fixture
def priced_in_tests(owner, prices, addresses, tmp_path):
    """The owner's machine, priced in a currency that stands nowhere else, with an asking price; judged anew."""
    from dataclasses import replace

    write_prices(replace(prices, currency=FOR_A_TEST), tmp_path / "prices.csv")
    enter_prices(owner, name="prices.csv", content=(tmp_path / "prices.csv").read_bytes())
    machine = Machine.objects.get()
    Machine.objects.update(asking_amount=45000.0, asking_currency=FOR_A_TEST)
    judge_machine(owner, machine.pk)
    machine.refresh_from_db()
    return machine


def text_of(answer):
    content = b"".join(answer.streaming_content) if answer.streaming else answer.content
    if content.startswith(b"%PDF"):
        return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages)
    return content.decode(errors="replace")


def test_fitter_sees_no_price_on_any_page_paper_or_answer(priced_in_tests, owner, addresses, with_login):
    """The same pages do show the currency to the office, so that the search finds what there is to find."""
    machine = priced_in_tests
    fitter, office = worker(owner.business, FITTER), worker(owner.business, OFFICE)
    looked = {
        name: addresses(name) for name, method in ASKED.items() if method == "get" and ADDRESSES[name][0] in ROLES[FITTER]
    }  # fmt: skip
    looked |= {
        f"paper {name}": reverse("paper", args=[machine.pk, machine.judgement_id, name])
        for name in PAPERS.keys() - WITH_PRICES - {"quote.pdf"}
    }
    looked |= {"chart": "/?view=chart", "by money": "/?sort=money", "trail": f"/machines/{machine.pk}/changes/"}
    looked |= {"asked outlook": f"/machines/{machine.pk}/outlook/?per_week=60"}
    names = {"machine_id": machine.pk, "verdict_id": machine.judgement_id, "name": "colleague.pdf"}
    looked |= {
        f"api {operation}": re.sub(r"{(\w+)}", lambda found: str(names.get(found[1], machine.pk)), path)
        for operation, (method, path) in PATHS.items()
        if method == "get" and OPERATIONS[operation] in ROLES[FITTER]
    }
    seen = {name: text_of(fitter.get(address)) for name, address in looked.items()}
    assert [name for name, text in seen.items() if FOR_A_TEST in text] == []
    assert not any(word in seen["machine"] for word in ("45,000", "/worth/", "/prices/", "/plan/"))
    priced = ["yard", "machine", "paper buyer.pdf", "api machine", "api yard"]
    assert [name for name in priced if FOR_A_TEST in text_of(office.get(looked[name]))] == priced


def test_fitter_undoes_only_what_they_did(addresses, owner, with_login):
    """What the owner archived stays archived; for who made the thing is asked, not who looks."""
    fitter = worker(owner.business, FITTER)
    assert fitter.post(addresses("undo")).status_code == 404
    assert "x" not in re.findall(r"<li>(.*?)</li>", fitter.get("/undo/").content.decode())


def test_phone_is_one_of_its_persons_and_sees_no_price(owner):
    """A phone has what its person has, and never more than a phone."""
    reader = Actor(owner.business, "r", is_person=True, rights=ROLES[READER])
    assert reader.within(rights.OF_A_PHONE).rights == {"look"}
    with asked_by(owner.within(rights.OF_A_PHONE)):
        from pitchline.desk.people.who import prices_seen

        assert not prices_seen()
