"""A digest says what its reader may see and no more, comes once, and is ended by its link and on one's page."""

import datetime as dt

import pytest
from django.contrib.auth.models import User
from django.core import mail
from django.test import Client
from django.utils import timezone

from pitchline.desk.keeping.erasing import erase_person
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business, Depot, Member
from pitchline.desk.people.rights import FITTER
from pitchline.desk.telling import digests
from pitchline.desk.telling.models import Digest, Letter
from pitchline.desk.telling.worker import WORKER

DAY = dt.timedelta(days=1)


def here(*moment):
    return dt.datetime(*moment, tzinfo=timezone.get_default_timezone())


@pytest.fixture(autouse=True)
def mailing(settings):
    settings.MAIL = True


@pytest.fixture
def fitter(owner):
    user = User.objects.create_user("fitz", password="long enough 1", email="fitz@yard.example")
    return Member.objects.create(user=user, business=owner.business, role=FITTER)


def machine_of(business, name, call, said="bush turn", **more):
    return Machine.objects.create(
        business=business, short_name=name, name=name, kind="excavator", call=call, due_said=said,
        judged_for=more.pop("judged_for", dt.date(2026, 11, 25)), **more,
    )  # fmt: skip


def letters_of(digest):
    """What goes out on its next morning."""
    digest.refresh_from_db()
    mail.outbox.clear()
    digests.make(
        Digest.objects.select_related("member__user", "member__business").get(pk=digest.pk), digest.next_at
    )
    Letter.objects.update(next_at=timezone.now())
    WORKER.work()
    return [one.body for one in mail.outbox]


def ordered(member, every=Digest.DAY):
    digests.order(member, every, "https://desk.example/", timezone.now() - DAY)
    return Digest.objects.get()


def test_letter_tells_what_turned_to_stop_and_what_is_due(fitter, settings):
    business = fitter.business
    stop = machine_of(business, "Alder", "stop")
    machine_of(business, "Birch", "book", "sprocket", judged_for=dt.date(2026, 11, 20))
    machine_of(business, "Cedar", "run", "chain", due_on=settings.TODAY + 27 * DAY)
    machine_of(business, "Dogwood", "run", "chain", due_on=settings.TODAY + 29 * DAY)
    machine_of(business, "Elder", "", "no walk-round")
    machine_of(business, "Fir", "stop", archived_at=timezone.now())
    digest = ordered(fitter)
    (first,) = letters_of(digest)
    turned, booked, soon = (first.index(head) for head in ("Turned to stop", "To be booked", "Falls due"))
    assert (
        turned
        < first.index("Alder: bush turn")
        < booked
        < first.index("Birch: sprocket")
        < soon
        < first.index("Cedar")
    )
    assert "Birch: sprocket (judged for 20 Nov 2026)" in first
    assert f"https://desk.example/machines/{stop.pk}/" in first
    assert "1 machine has no call, and may stop all the same." in first
    assert not {"Dogwood", "Fir", "Elder"} & set(first.replace(":", " ").split())
    machine_of(business, "Gorse", "stop")
    (second,) = letters_of(digest)
    assert (
        second.index("Turned to stop") < second.index("Gorse") < second.index("Still stop") < second.index("Alder")
    )
    Machine.objects.filter(call="stop").update(call="run", due_on=None)
    Machine.objects.exclude(call="run").delete()
    Machine.objects.update(due_on=None)
    assert letters_of(digest) == []  # nothing to say


def test_other_depots_and_other_businesses_are_left_out(fitter):
    north, south = (Depot.objects.create(business=fitter.business, name=name) for name in ("North", "South"))
    fitter.depots.add(north)
    machine_of(fitter.business, "Hers", "stop", depot=north)
    machine_of(fitter.business, "Theirs", "stop", depot=south)
    machine_of(Business.objects.create(name="Another"), "Stranger", "stop")
    (told,) = letters_of(ordered(fitter))
    assert "Hers" in told
    assert "Theirs" not in told
    assert "Stranger" not in told


def test_no_amount_is_told(fitter):
    machine_of(fitter.business, "Alder", "stop", money_usual=4321.0, worth_usual=9876.0, currency="EUR")
    (told,) = letters_of(ordered(fitter))
    assert not any(each in told for each in ("EUR", "4,321", "4321", "9,876", "9876"))


def test_it_comes_once_a_morning_however_often_the_desk_looks(fitter):
    machine_of(fitter.business, "Alder", "stop")
    digest, now = ordered(fitter), timezone.now()
    Digest.objects.update(next_at=now - DAY / 24)
    due = digests.due(now)
    for each in [*due, *due]:  # two processes that read it at once
        digests.make(each, now)
    WORKER.work()
    WORKER.work()
    assert Letter.objects.count() == len(mail.outbox) == 1
    digest.refresh_from_db()
    assert now < digest.next_at <= now + DAY
    assert timezone.localtime(digest.next_at).hour == digests.HOUR


@pytest.mark.parametrize(
    ("every", "at", "expected"),
    [  # 2026-11-30 is a Monday by any calendar
        ("day", here(2026, 11, 30, 5, 59), here(2026, 11, 30, 6)),
        ("day", here(2026, 11, 30, 6, 0), here(2026, 12, 1, 6)),
        ("week", here(2026, 11, 30, 5, 0), here(2026, 11, 30, 6)),
        ("week", here(2026, 11, 30, 6, 0), here(2026, 12, 7, 6)),
        ("week", here(2026, 12, 3, 12, 0), here(2026, 12, 7, 6)),
    ],
)
def test_next_morning_by_the_calendar(every, at, expected):
    assert digests.next_time(every, at) == expected


def test_letter_is_in_the_language_and_way_of_the_yard(fitter):
    Business.objects.filter(pk=fitter.business_id).update(days="iso")
    machine_of(fitter.business, "Birch", "book", judged_for=dt.date(2026, 11, 20))
    (told,) = letters_of(ordered(fitter))
    assert "2026-11-20" in told


def test_whoever_is_put_out_or_has_no_address_gets_none(fitter):
    machine_of(fitter.business, "Alder", "stop")
    digest = ordered(fitter)
    User.objects.filter(pk=fitter.user_id).update(email="")
    assert letters_of(digest) == []
    User.objects.filter(pk=fitter.user_id).update(email="fitz@yard.example", is_active=False)
    Digest.objects.update(next_at=timezone.now() - DAY)
    WORKER.work()
    assert mail.outbox == []


def test_link_in_it_ends_it_looking_alone_does_not(fitter, with_login):
    machine_of(fitter.business, "Alder", "stop")
    digest = ordered(fitter)
    letters_of(digest)
    (letter,) = mail.outbox
    link = letter.extra_headers["List-Unsubscribe"].strip("<>")
    assert link in letter.body
    program = Client(enforce_csrf_checks=True)
    assert b"End them" in program.get(link.removeprefix("https://desk.example")).content
    assert Digest.objects.exists()
    sent = {"List-Unsubscribe": "One-Click"}  # RFC 8058, 3.2: this body, without any page seen
    assert letter.extra_headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert program.post(link.removeprefix("https://desk.example"), sent).status_code == 200
    assert not Digest.objects.exists()
    gone, never = program.get(link.removeprefix("https://desk.example")), program.get("/letters/end/guessed/")
    assert gone.content.split(b"<main")[1] == never.content.split(b"<main")[1]  # a guess learns nothing


def test_on_ones_page_it_begins_and_ends(fitter, with_login):
    browser = Client()
    browser.force_login(fitter.user)
    assert browser.post("/own/letters/", {"letters": "week"}).status_code == 302
    assert (Digest.objects.get().every, Digest.objects.get().root) == ("week", "http://testserver/")
    assert "fitz@yard.example" in browser.get("/own/letters/").content.decode()
    assert browser.post("/own/letters/", {"letters": "hour"}).status_code == 400
    assert browser.post("/own/letters/", {"letters": "none"}).status_code == 302
    assert not Digest.objects.exists()


def test_one_that_fails_holds_up_no_other(fitter, owner, monkeypatch):
    machine_of(fitter.business, "Alder", "stop")
    digests.order(fitter, Digest.DAY, "https://desk.example/", timezone.now() - DAY)
    User.objects.filter(username="owner").update(email="owner@yard.example")
    digests.order(Member.objects.get(user__username="owner"), Digest.DAY, "https://desk.example/", timezone.now())
    Digest.objects.update(next_at=timezone.now() - DAY)
    whole = digests.make

    def fails(digest, now):
        if digest.member_id == fitter.pk:
            raise ArithmeticError
        whole(digest, now)

    monkeypatch.setattr(digests, "make", fails)
    WORKER.work()
    assert [one.to for one in mail.outbox] == [["owner@yard.example"]]
    assert Digest.objects.get(member=fitter).next_at > timezone.now()


def test_whoever_is_forgotten_gets_no_letters(fitter):
    ordered(fitter)
    machine_of(fitter.business, "Alder", "stop")
    digests.make(Digest.objects.get(), timezone.now())
    erase_person("fitz")
    assert not Digest.objects.exists()
    assert not Letter.objects.exists()
