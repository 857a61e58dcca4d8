"""A mail address of one's own, confirmed; a new password by mail; and no stranger learns who is here."""

import re
import time

import pytest
from allauth.account.models import EmailAddress
from django.contrib.auth.models import User
from django.core import mail
from django.core.cache import cache
from django.test import Client

from pitchline.desk.people.models import Business, Member
from pitchline.desk.people.rights import FITTER
from pitchline.desk.telling.models import Letter
from pitchline.desk.telling.worker import WORKER

GOOD, NEW = "four steel idlers roll", "a dozen track pins"
ADDRESS = "mate@yard.example"


@pytest.fixture(autouse=True)
def mailing(settings):
    settings.MAIL = True
    cache.clear()  # what the library counts by address


@pytest.fixture
def mate(owner):
    user = User.objects.create_user("mate", password=GOOD)
    return Member.objects.create(user=user, business=owner.business, role=FITTER)


def sent():
    """What went out since it was last asked."""
    mail.outbox.clear()
    WORKER.work()
    return list(mail.outbox)


def link_in(letter):
    return re.search(r"http://testserver(/\S+)", letter.body)[1]


def signed_in(name="mate", password=GOOD):
    browser = Client()
    assert browser.post("/sign-in/", {"login": name, "password": password}).status_code == 302
    assert browser.post("/own/once-more/", {"password": password}).status_code == 302
    return browser


def entered(browser, address=ADDRESS):
    answer = browser.post("/own/mail/", {"email": address, "action_add": "1"})
    assert (answer.status_code, answer["Location"]) == (302, "/own/mail/"), answer.content
    (letter,) = sent()
    assert letter.to == [address]
    return link_in(letter)


def confirmed(browser, address=ADDRESS):
    link = entered(browser, address)
    assert browser.post(link).status_code == 302


def test_address_counts_once_its_link_is_opened(mate, with_login):
    browser = signed_in()
    link = entered(browser)
    mate.user.refresh_from_db()
    assert mate.user.email == ""
    assert "mate" in browser.get(link).content.decode()  # looking alone confirms nothing
    assert not EmailAddress.objects.filter(verified=True).exists()
    assert browser.post(link)["Location"] == "/own/mail/"
    mate.user.refresh_from_db()
    assert mate.user.email == ADDRESS
    confirmed(browser, "other@yard.example")
    assert [one.email for one in EmailAddress.objects.all()] == ["other@yard.example"]  # one each
    browser.post("/own/mail/", {"email": "other@yard.example", "action_remove": "1"})
    mate.user.refresh_from_db()
    assert (mate.user.email, EmailAddress.objects.count()) == ("", 0)


def test_address_is_changed_only_by_whoever_knows_the_password(mate, with_login):
    browser = Client()
    browser.force_login(mate.user)  # somebody at a screen that was left open
    answer = browser.post("/own/mail/", {"email": ADDRESS, "action_add": "1"})
    assert answer["Location"].startswith("/own/once-more/")
    assert not EmailAddress.objects.exists()


def test_new_password_by_mail_ends_what_was_signed_in(mate, with_login):
    browser = signed_in()
    confirmed(browser)
    stranger = Client()
    assert stranger.post("/sign-in/forgotten/", {"email": ADDRESS.upper()}).status_code == 302
    (letter,) = sent()
    assert (letter.to, "mate" in letter.body) == ([ADDRESS], True)
    link = link_in(letter)
    form = stranger.get(link, follow=True)
    where = form.redirect_chain[-1][0]
    assert stranger.post(where, {"password1": "short", "password2": "short"}).status_code == 200
    assert stranger.post(where, {"password1": NEW, "password2": NEW}).status_code == 302
    assert browser.get("/").status_code == 302
    signed_in("mate", NEW)
    used = Client().get(link, follow=True)
    assert "used or too old" in used.content.decode()
    assert not Letter.objects.exclude(text_sealed="").exists()  # the link is kept nowhere


def test_strangers_do_not_learn_who_is_here(mate, owner, with_login):
    """Known, unknown, typed but not confirmed, and put out: the same answer, and no work that takes longer for one of them."""
    confirmed(signed_in())
    out = User.objects.create_user("out", email="out@yard.example", is_active=False)
    EmailAddress.objects.create(user=out, email="out@yard.example", verified=True, primary=True)
    EmailAddress.objects.create(user=User.objects.get(username="owner"), email="typed@wrong.example")
    answers, letters = set(), {}
    for address in (ADDRESS, "nobody@else.example", "typed@wrong.example", "out@yard.example"):
        answer = Client().post("/sign-in/forgotten/", {"email": address}, follow=True)
        page = re.sub(r'value="\w{64}"|nonce-\S+', "", answer.content.decode())
        answers.add((answer.status_code, answer.redirect_chain[-1][0], page))
        letters[address] = [one.to for one in sent()]
    assert len(answers) == 1
    assert letters.pop(ADDRESS) == [[ADDRESS]]
    assert set(map(len, letters.values())) == {0}


def test_address_somebody_else_confirmed_tells_nobody_and_gets_nobody_in(mate, with_login):
    confirmed(signed_in())
    thief = User.objects.create_user("thief", password=GOOD)
    Member.objects.create(user=thief, business=Business.objects.create(name="Another yard"))
    cache.clear()  # one confirmation of an address in three minutes
    browser = signed_in("thief")
    link = entered(browser)  # it seems to be taken, and its owner gets the letter
    assert browser.post(link).status_code in (200, 302)
    thief.refresh_from_db()
    assert thief.email == ""
    Client().post("/sign-in/forgotten/", {"email": ADDRESS})
    assert ["mate" in one.body for one in sent()] == [True]


def test_mail_server_that_is_down_holds_up_nobody(mate, with_login, settings):
    confirmed(signed_in())
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_USE_TLS = "127.0.0.1", 9, False
    began = time.monotonic()
    assert Client().post("/sign-in/forgotten/", {"email": ADDRESS}).status_code == 302
    assert time.monotonic() - began < 5
    WORKER.work()
    assert Letter.objects.get(state="waiting").seen == "ConnectionRefusedError"


def test_without_a_mail_server_the_pages_say_whom_to_ask(mate, with_login, settings):
    settings.MAIL = False
    assert "ask an owner" in Client().get("/sign-in/forgotten/").content.decode()
    assert "no mail server" in signed_in().get("/own/mail/").content.decode()


def test_letters_with_links_are_in_the_language_of_their_reader(mate, with_login):
    confirmed(signed_in())
    Business.objects.update(language="xx")
    Client().post("/sign-in/forgotten/", {"email": ADDRESS})
    (letter,) = sent()
    assert "/sign-in/forgotten/" in letter.body
    assert letter.body.startswith(("Somebody asked", "⟦"))


@pytest.mark.parametrize("typed", ["", "nobody", "a@b", "x" * 300 + "@yard.example"])
def test_what_is_no_address_is_told(typed, mate, with_login):
    browser = signed_in()
    answer = browser.post("/own/mail/", {"email": typed, "action_add": "1"})
    assert (answer.status_code, EmailAddress.objects.count()) == (200, 0)
