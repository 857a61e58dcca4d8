"""Guessing at the sign-in: held, logged, told; and the right person still gets in."""

import os

import pytest
from django.contrib.auth.models import User
from django.test import Client

from pitchline.desk.people.models import Member
from pitchline.desk.people.rights import OFFICE
from pitchline.desk.staff.guessing import COOKIE, MOST
from pitchline.desk.staff.models import SignInEvent

GOOD = "four steel idlers roll"
TRIES = int(os.environ.get("PITCHLINE_TRIES", "100"))
"""PITCHLINE_TRIES=1000 for a long run: after the twentieth each is held by the same count."""


@pytest.fixture
def ann(owner, with_login):
    user = User.objects.create_user("ann", password=GOOD)
    return Member.objects.create(user=user, business=owner.business, role=OFFICE)


def tried(browser, name, password, address="203.0.113.9"):
    """An address of RFC 5737, for documentation."""
    return browser.post("/sign-in/", {"login": name, "password": password}, REMOTE_ADDR=address).status_code


def test_many_tries_at_one_name_are_held_and_the_right_person_gets_in(ann, owner_client):
    known = Client()
    assert tried(known, "ann", GOOD, "198.51.100.7") == 302
    assert COOKIE in known.cookies
    known.post("/sign-out/")
    guesser = Client()
    answers = [tried(guesser, "ann", f"wrong {n}", f"203.0.113.{n % 250}") for n in range(TRIES)]
    assert answers.count(200) == MOST - 1
    assert set(answers[MOST - 1 :]) == {429}
    assert tried(guesser, "ann", GOOD) == 429  # found by chance, it opens nothing
    assert tried(guesser, "ANN", GOOD) == 429
    assert tried(known, "ann", GOOD, "203.0.113.9") == 302  # from the very address, in a browser that is known
    events = {one.what: one.times for one in SignInEvent.objects.filter(name="ann", what="held")}
    assert events["held"] >= TRIES - MOST
    assert SignInEvent.objects.count() < 60  # counted together; nobody fills the list
    assert "held after many wrong tries" in owner_client.get("/people/").content.decode()


def test_known_browser_is_held_by_itself(ann):
    known, other = Client(), Client()
    for one in (known, other):
        tried(one, "ann", GOOD, "198.51.100.7")
        one.post("/sign-out/")
    assert [tried(known, "ann", "wrong") for _ in range(MOST + 1)][-2:] == [429, 429]
    assert tried(other, "ann", GOOD, "198.51.100.8") == 302


def test_many_names_from_one_address_are_held(ann):
    guesser = Client()
    answers = [tried(guesser, f"name {n}", "wrong") for n in range(TRIES)]
    assert answers.count(200) == MOST - 1
    assert tried(guesser, "ann", GOOD) == 429
    assert tried(Client(), "ann", GOOD, "198.51.100.7") == 302
    assert SignInEvent.objects.get(what="held").times == TRIES - MOST + 1
    assert not User.objects.filter(username__startswith="name").exists()


def test_cookie_of_one_person_is_nothing_at_anothers_name(ann, owner):
    known = Client()
    tried(known, "ann", GOOD, "198.51.100.7")
    known.post("/sign-out/")
    User.objects.filter(username="owner").update(is_active=True)
    assert [tried(known, "owner", "wrong", f"203.0.113.{n}") for n in range(MOST)][-1] == 429
    forged = Client()
    forged.cookies[COOKIE] = known.cookies[COOKIE].value[:-2] + "xx"
    assert [tried(forged, "ann", "wrong", f"192.0.2.{n}") for n in range(MOST)][-1] == 429


def test_sign_in_says_the_same_of_a_name_nobody_has(ann):
    said = [Client().post("/sign-in/", {"login": name, "password": "wrong"}).content for name in ("ann", "nobody")]
    told = [b"Name and password do not go together" in one for one in said]
    assert told == [True, True]
