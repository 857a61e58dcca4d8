"""Letting a phone in: by a code, with somebody's word at the desk; what it reaches then, and who stays out."""

import datetime as dt
import re
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from desk_addresses import BOOK, MACHINE, OPEN, SHEET, YARD
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.rights import FOR_PHONES
from pitchline.desk.phones.actions import WRONG_AN_HOUR
from pitchline.desk.phones.middleware import AT_THE_DOOR, BY_THE_DOOR, COOKIE, FOR_THE_APP
from pitchline.desk.phones.models import Asking, Door, Phone, WrongCode
from pitchline.desk.phones.network import NAMED, local_addresses
from pitchline.desk.phones.ways import WAYS
from pitchline.desk.pocket.shell import app_files
from pitchline.desk.trail.models import Change

CODE = re.compile(r'<p class="code">([B-Z]{4}-[B-Z]{4})</p>')
DIGITS = re.compile(r'<p class="digits"[^>]*>(\d\d)</p>')
FOR_A_BUYER = {
    "for-a-buyer",
    "for-a-buyer-paper",
    "for-a-buyer-photo",
    "openid_connect_login",
    "openid_connect_callback",
}


def by_the_door(**more):
    """A browser on a phone, which comes in from the network."""
    return Client(**{BY_THE_DOOR: True, "wsgi.url_scheme": "https", "REMOTE_ADDR": "192.168.4.31"}, **more)


@pytest.fixture
def phone(db):
    return by_the_door()


@pytest.fixture(autouse=True)
def a_network(monkeypatch):
    """This computer is on a network, whatever network the tests run on."""
    from pitchline.desk.phones import door

    monkeypatch.setattr(door, "local_addresses", lambda: ("192.168.4.20",))
    monkeypatch.setattr(door, "local_name", lambda: "")


@pytest.fixture
def code(client, db):
    """A code made at a desk whose door stands open."""

    def make(desk=client, **typed):
        desk.post("/phones/", {"is_open": "1", "port": "8322"})
        return CODE.search(desk.post("/phones/code/", typed).content.decode())[1]

    return make


def ask(phone, code, person="Ann", name="Ann's phone"):
    return phone.post("/ask-in/", {"code": code, "person": person, "name": name}, follow=True)


def answer(desk, let_in="1"):
    asking = Asking.objects.get(state=Asking.ASKED)
    return desk.post(f"/phones/asking/{asking.pk}/", {"let_in": let_in})


def is_in(phone):
    return phone.get("/").status_code == 200


def test_phone_comes_in_by_code_and_word(client, phone, code):
    asked = ask(phone, code().lower()).content.decode()
    assert not is_in(phone)  # the code alone lets nobody in
    desk = client.get("/phones/").content.decode()
    assert DIGITS.search(asked)[1] == DIGITS.search(desk)[1]
    assert "192.168.4.31" in desk
    answer(client)
    assert is_in(phone)
    one = Phone.objects.get()
    assert (one.name, one.person, one.let_in_by) == ("Ann's phone", "Ann", "this desk")
    assert one.seen_at is not None
    assert {"phone let in", "door for phones opened"} <= set(Change.objects.values_list("what", flat=True))


def test_cookie_is_for_this_address_and_nothing_reads_it(client, phone, code):
    ask(phone, code())
    kept = phone.cookies[COOKIE]
    assert (kept["secure"], kept["httponly"], kept["samesite"], kept["path"], kept["domain"]) == (
        True, True, "Strict", "/", "",
    )  # fmt: skip
    assert kept.value not in set(Asking.objects.values_list("mark", flat=True))


def test_walk_round_begun_on_a_phone_is_signed_by_its_person(client, phone, code, machine):
    ask(phone, code(), person="Ann")
    answer(client)
    page = phone.get(f"/machines/{machine.pk}/").content.decode()
    sheet = re.search(r'name="sheet_id" value="([^"]+)"', page)[1]
    began = phone.post(f"/machines/{machine.pk}/begin/", {"sheet_id": sheet, "another": "1"})
    assert began.status_code == 302
    assert "Ann" in phone.get(began["Location"]).content.decode()


@pytest.mark.parametrize("which", ["refused", "never answered", "put out"])
def test_phone_that_is_not_in_reaches_nothing_but_the_door(which, owner_client, phone, code, addresses):
    ask(phone, code(owner_client, password="long enough 1"))
    asked = Asking.objects.exclude(mark="y").get(state=Asking.ASKED)
    if which != "never answered":
        owner_client.post(f"/phones/asking/{asked.pk}/", {"let_in": "1" if which == "put out" else "0"})
    if which == "put out":
        assert is_in(phone)
        owner_client.post(f"/phones/{Phone.objects.get(person='Ann').pk}/out/")
    for name, method in (YARD | MACHINE | SHEET | BOOK).items():
        reached = getattr(phone, method)(addresses(name))
        if name in FOR_THE_APP:
            told = {"put out": "put out"}.get(which, "not let in")
            assert (reached.status_code, reached.json()["why"], reached.json()["href"]) == (
                401,
                told,
                "/ask-in/",
            ), name
            continue
        assert (reached.status_code, reached["Location"]) == (302, "/ask-in/"), name
    made = dict(zip(("pocket-script", "pocket-sheet"), app_files(), strict=False))
    by_a_secret = {
        "feed",
        "machine-feed",
        "welcome",
        "account_reset_password_from_key",
        "account_confirm_email",
        "digest-end",
    }
    for name in OPEN - by_a_secret - FOR_A_BUYER:
        reached = phone.get(made.get(name) or reverse(name))
        wanted = 200 if name in AT_THE_DOOR - {"icon"} else 302
        assert reached.status_code == wanted, name
    assert phone.get("/api/v1/machines").status_code == 302


def test_what_a_phone_reaches_is_what_the_table_says(owner_client, phone, code, addresses):
    ask(phone, code(owner_client, password="long enough 1"))
    asked = Asking.objects.exclude(mark="y").get(state=Asking.ASKED)
    owner_client.post(f"/phones/asking/{asked.pk}/", {"let_in": "1"})
    for name, method in (YARD | MACHINE | SHEET | BOOK).items():
        reached = getattr(phone, method)(addresses(name))
        refused = name not in FOR_PHONES or name == "paper"  # the paper asked for says prices: verdict.json
        assert (reached.status_code == 403) is refused, name
        if reached.streaming:
            b"".join(reached.streaming_content)
    assert phone.get("/api/v1/machines").status_code == 403
    assert phone.get("/api/v1/docs").status_code == 403
    known = (YARD | MACHINE | SHEET | BOOK).keys() | OPEN
    assert known >= FOR_PHONES
    assert not FOR_PHONES & {"prices", "settings", "phones", "export-list", "machine-file", "sign-in", "demo"}


def test_pages_of_a_phone_lead_nowhere_it_may_not_go(client, phone, code, machine):
    ask(phone, code())
    answer(client)
    for address in ("/", f"/machines/{machine.pk}/"):
        page = phone.get(address).content.decode()
        nav = re.search(r'<nav aria-label="Main">.*?</nav>', page, re.DOTALL)[0]
        assert "/prices/" not in nav
        assert "/settings/" not in nav
        assert "Ann&#x27;s phone · Ann" in page


def test_prices_are_out_of_a_phones_reach(client, phone, code, priced_yard, machine):
    ask(phone, code())
    answer(client)
    judged = Machine.objects.get(pk=machine.pk).judgement_id
    page = {one: one.get(f"/machines/{machine.pk}/").content.decode() for one in (client, phone)}
    for only_here in ("Try an asking price", "/worth/", "/quote/", "work.xlsx", "verdict.json"):
        assert (only_here in page[client], only_here in page[phone]) == (True, False), only_here
    for paper, reached in (("buyer.pdf", 200), ("quote.pdf", 403), ("work.xlsx", 403), ("verdict.json", 403)):
        assert phone.get(f"/machines/{machine.pk}/papers/{judged}/{paper}").status_code == reached, paper


def test_code_is_good_once(client, phone, code):
    made = code()
    ask(phone, made)
    assert ask(by_the_door(), made).status_code == 400
    answer(client)
    assert ask(by_the_door(), made).status_code == 400
    assert Phone.objects.count() == 1


def test_code_ends_after_ten_minutes(phone, code):
    made = code()
    Asking.objects.update(ends_at=timezone.now() - dt.timedelta(seconds=1))
    assert ask(phone, made).status_code == 400


def test_phone_nobody_answered_in_time_is_not_let_in(client, phone, code):
    ask(phone, code())
    Asking.objects.update(ends_at=timezone.now() - dt.timedelta(seconds=1))
    assert answer(client).status_code == 409
    assert not is_in(phone)


def test_new_code_ends_the_one_before(phone, code):
    first = code()
    code()
    assert ask(phone, first).status_code == 400


def test_five_wrong_codes_void_what_is_open(phone, code):
    made = code()
    for _ in range(4):
        assert ask(by_the_door(), "BBBB-BBBB").status_code == 400
    assert ask(phone, made).status_code == 200
    made = code()
    for _ in range(5):
        ask(by_the_door(), "BBBB-BBBB")
    assert ask(phone, made).status_code == 400
    assert Change.objects.filter(what="code for a phone void after wrong tries").exists()


def test_who_guesses_all_night_waits_and_the_desk_can_take_codes_again(client, phone, code):
    """Guesses from many addresses: the limit is one for all."""
    for n in range(WRONG_AN_HOUR):
        ask(Client(**{BY_THE_DOOR: True, "REMOTE_ADDR": f"192.168.4.{n}"}), "BBBB-BBBB")
    made = code()
    assert ask(phone, made).status_code == 400
    assert "Many wrong codes" in client.get("/phones/").content.decode()
    client.post("/phones/wake/")
    assert ask(phone, code()).status_code == 200
    assert Door.objects.get().resting_until is None


def test_wrong_used_and_old_code_are_answered_alike(phone, code):
    used = code()
    ask(by_the_door(), used)
    told = {
        re.sub(r'value="[^"]*"', "", ask(by_the_door(), one).content.decode())
        for one in (used, "BBBB-BBBB", "AAAA")
    }
    assert len({re.search(r'class="wrong-said"[^>]*>([^<]*)<', one)[1] for one in told}) == 1


def test_no_code_is_kept(client, code):
    made = code().replace("-", "")
    assert made not in str(list(Asking.objects.values()))
    assert "AAAA" not in made


def test_replayed_secret_of_a_phone_that_is_out_opens_nothing(client, phone, code):
    ask(phone, code())
    answer(client)
    secret = phone.cookies[COOKIE].value
    client.post(f"/phones/{Phone.objects.get().pk}/out/")
    thief = by_the_door()
    thief.cookies[COOKIE] = secret
    assert not is_in(thief)
    assert WrongCode.objects.count() == 0


def test_secret_counts_by_the_door_alone(client, phone, code):
    """The desk's own address takes no phone's cookie for anybody; the door's page is not shown there."""
    assert client.get("/ask-in/").status_code == 302


def test_session_of_the_desk_counts_for_nothing_at_the_door(owner_client):
    phone = by_the_door()
    phone.cookies["sessionid"] = owner_client.cookies["sessionid"].value
    assert phone.get("/").status_code == 302
    assert phone.get("/")["Location"] == "/ask-in/"


def test_where_people_sign_in_a_code_asks_for_the_password(owner_client, owner, code):
    made = owner_client.post("/phones/code/", {"password": "wrong one"})
    assert made.status_code == 400
    assert not Asking.objects.exists()
    phone = by_the_door()
    ask(phone, code(owner_client, password="long enough 1"))
    answer(owner_client)
    assert is_in(phone)
    one = Phone.objects.get()
    assert one.user.get_username() == "owner"
    one.user.is_active = False
    one.user.save()
    assert not is_in(phone)  # whoever may no longer sign in comes in by no phone either


def test_another_business_neither_sees_nor_answers(owner_client, stranger_client, code):
    phone = by_the_door()
    ask(phone, code(owner_client, password="long enough 1"))
    assert "Ann" not in stranger_client.get("/phones/").content.decode()
    assert answer(stranger_client).status_code == 404
    answer(owner_client)
    one = Phone.objects.get()
    assert stranger_client.post(f"/phones/{one.pk}/out/").status_code == 404
    assert is_in(phone)


def test_door_is_set_from_the_page_with_a_code_too(client, code):
    """The page a code stands on has another address than the door's form."""
    client.post("/phones/", {"is_open": "1", "port": "8322"})
    page = client.post("/phones/code/").content.decode()
    assert re.search(r'<form method="post" class="door" action="([^"]*)"', page)[1] == "/phones/"


def test_door_that_could_not_be_opened_is_not_said_to_be_open(client, code):
    code()
    Door.objects.update(problem="port 8322 is taken")
    page = client.get("/phones/").content.decode()
    assert "port 8322 is taken" in page
    assert "Open: this computer answers" not in page


@pytest.mark.parametrize("port", ["80", "70000", "x", ""])
def test_port_that_cannot_be_is_refused_beside_its_field(client, db, port):
    page = client.post("/phones/", {"is_open": "1", "port": port})
    assert page.status_code == 400
    assert "wrong-said" in page.content.decode()
    assert not Door.objects.get().is_open


def test_what_stands_at_the_door_is_public_by_design():
    of_the_app = {"pocket", "pocket-worker", "pocket-manifest", "pocket-script", "pocket-sheet"}
    assert {"ask-in", "alive", "icon"} | of_the_app == AT_THE_DOOR


def test_guide_has_the_same_table_of_ways():
    guide = (Path(__file__).parents[3] / "docs/howto/let-a-phone-in.md").read_text(encoding="utf-8")
    for way in WAYS:
        said = ["no", "yes"]
        assert f"| {way.name} | {said[way.opens]} | {said[way.is_safe]} | {way.asks} |" in guide


@pytest.mark.parametrize("named", ["203.0.113.9", "desk", "192.168.4.20,8.8.8.8"])
def test_address_the_root_may_not_sign_for_is_refused(monkeypatch, named):
    monkeypatch.setenv(NAMED, named)
    with pytest.raises(ValueError, match=r"192\.168\.4\.20|not appear"):
        local_addresses()
