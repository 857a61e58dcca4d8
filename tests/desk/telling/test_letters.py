"""Mail goes out once, is tried again where it surely did not go out, and never holds up whoever waits for a page.

The mail server is the tests' own (`tests/mail_server.py`).
"""

import datetime as dt
import email
from email import policy

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from mail_server import Server, listening
from pitchline.desk.telling import letters
from pitchline.desk.telling.models import LEFT, SENDING, SENT, UNKNOWN, WAITING, Letter
from pitchline.desk.telling.worker import WORKER


@pytest.fixture(scope="module")
def running():
    with listening() as port:
        yield port


@pytest.fixture
def server(running, settings):
    Server.taken, Server.trouble = [], []
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", running
    settings.EMAIL_USE_TLS, settings.EMAIL_HOST_USER, settings.MAIL = False, "", True
    settings.DEFAULT_FROM_EMAIL = "desk@yard.example"
    return Server


@pytest.fixture
def letter(server, owner):
    def write(lasts=dt.timedelta(hours=12)):
        user = User.objects.get(username="owner")
        return letters.write_letter(
            user, "ann@yard.example", "A line\nand another", "Über alles\n", now=timezone.now(), lasts=lasts
        )

    return write


def look(now):
    for one in letters.due(now):
        letters.send(one, now)


def test_letter_goes_out_once_with_what_was_written(letter, server):
    kept = letter()
    assert "alles" not in kept.text_sealed
    for _ in range(3):
        WORKER.work()
    (sent,) = server.taken
    read = email.message_from_bytes(sent, policy=policy.default)
    assert (read["To"], read["From"], read["Subject"]) == (
        "ann@yard.example",
        "desk@yard.example",
        "A line and another",
    )
    assert read.get_content().splitlines() == ["Über alles"]
    kept.refresh_from_db()
    assert (kept.state, kept.text_sealed, kept.tries) == (SENT, "", 1)


def test_nothing_empty_goes_out_where_the_desk_s_key_is_another(letter, server):
    kept = letter()
    Letter.objects.update(text_sealed="of another desk")
    WORKER.work()
    kept.refresh_from_db()
    assert (server.taken, kept.state) == ([], LEFT)


@pytest.mark.parametrize("trouble", ["greets not", "puts off", "knows nobody"])
def test_what_surely_did_not_go_out_is_tried_again_later_and_later(trouble, letter, server):
    kept, now = letter(), timezone.now() + dt.timedelta(seconds=1)
    server.trouble = [trouble] * 3
    waits = []
    for _ in range(3):
        look(now)
        kept.refresh_from_db()
        assert (kept.state, server.taken) == (WAITING, [])
        waits.append((kept.next_at - now).total_seconds())
        assert letters.due(kept.next_at - dt.timedelta(seconds=1)) == []
        now = kept.next_at
    assert waits == [60, 120, 240]
    look(now)
    marks = {email.message_from_bytes(one)["Message-ID"] for one in server.taken}
    assert marks == {f"<{kept.pk}@pitchline>"}
    assert [one.state for one in Letter.objects.all()] == [SENT]


def test_what_may_have_gone_out_does_not_go_again(letter, server):
    kept, now = letter(), timezone.now() + dt.timedelta(seconds=1)
    server.trouble = ["breaks off"]
    for hours in range(5):
        look(now + dt.timedelta(hours=hours))
    assert len(server.taken) == 1
    kept.refresh_from_db()
    assert kept.state == UNKNOWN


def test_desk_killed_while_it_sent_sends_it_no_second_time(letter, server):
    kept = letter()
    Letter.objects.update(state=SENDING)  # as the process that was killed left it
    WORKER.work()
    kept.refresh_from_db()
    assert (kept.state, server.taken) == (UNKNOWN, [])
    WORKER.gave_up(f"letter {letter().pk}", "killed")
    WORKER.work()
    assert server.taken == []


def test_server_that_is_down_is_given_up_on_in_the_end(letter, settings):
    settings.EMAIL_PORT = 9  # nobody there
    kept, now = letter(lasts=dt.timedelta(hours=6)), timezone.now() + dt.timedelta(seconds=1)
    tries = 0
    while letters.due(now) and tries < 50:
        look(now)
        kept.refresh_from_db()
        now, tries = kept.next_at, tries + 1
    assert (kept.state, kept.text_sealed, kept.seen) == (LEFT, "", "ConnectionRefusedError")
    assert 8 <= tries <= 12


def test_without_a_mail_server_nothing_is_written(letter, settings):
    settings.MAIL = False
    assert letter() is None
    assert not Letter.objects.exists()
