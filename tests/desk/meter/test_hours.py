"""Hours between walk-rounds, from typing to a made-up feed: taken once, asked about where odd, judged by, fetched again."""

import datetime as dt
import json
import threading
import uuid
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import ClassVar
from urllib.parse import parse_qs, urlsplit

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.meter.actions import take_hours
from pitchline.desk.meter.feeds import counts_said, keep_feed, shown
from pitchline.desk.meter.fetching import FetchError, checked_address, is_public
from pitchline.desk.meter.following import FALLS, JUMPS, Shown, odd_about
from pitchline.desk.meter.models import Feed, MeterHours, SenderName
from pitchline.desk.meter.pulling import due, pull
from pitchline.desk.meter.worker import WORKER
from pitchline.exchange.hours_rows import HoursRow
from pitchline.exchange.machine_file import machine_from_json

NOON = dt.datetime(2026, 9, 8, 12, tzinfo=dt.UTC)
"""The day after the last walk-round of the invented excavator, read at 3,000 h; tests are on 25 Nov 2026 or so."""


def row(hours, days=0, name="T1", **more):
    return HoursRow((name,), NOON + dt.timedelta(days=days), float(hours), **more)


def states(machine):
    return list(machine.meterhours.order_by("at").values_list("meter_h", "state", "why"))


def test_hours_that_follow_are_taken_and_the_same_again_change_nothing(actor, machine):
    rows = [row(3000 + 5 * n, n) for n in range(60)]
    first = take_hours(actor, rows, "feed")
    again = take_hours(actor, rows[::-1], "feed")
    assert (first.told, again.told) == (
        {"taken": 60, "known": 0, "asked": 0, "waiting": 0},
        {"taken": 0, "known": 60, "asked": 0, "waiting": 0},
    )
    machine.refresh_from_db()
    assert machine.to_judge
    assert machine.hours_seen[-1] == ["2026-11-06", 3295.0]
    assert len(machine.hours_seen) == 9  # 60 days: the last of each week
    judge_machine(actor, machine.pk)
    machine.refresh_from_db()
    # 59 days to 6 Nov, then on to the desk's own day at the 35 h a week it worked.
    days = (machine.judged_for - dt.date(2026, 11, 6)).days
    assert machine.carried_h == pytest.approx(295.0 + 5 * days, rel=0.02)


@pytest.mark.parametrize(
    ("hours", "days", "why"),
    [(2990, 1, FALLS), (3200, 2, JUMPS), (3100, 40, ""), (2000, 0, FALLS)],
)
def test_what_does_not_follow_the_walk_round_is_asked(actor, machine, hours, days, why):
    take_hours(actor, [row(hours, days)], "feed")
    ((_, state, told),) = states(machine)
    assert (state, told) == ("asked" if why else "taken", why)
    machine.refresh_from_db()
    assert bool(machine.hours_seen) == (not why)


def test_order_of_arrival_does_not_matter(actor, machine):
    late = [row(3100, 20), row(3050, 10), row(3075, 15), row(3095, 12)]
    take_hours(actor, late[:1], "feed")
    for one in late[1:]:
        take_hours(actor, [one], "feed")
    assert states(machine) == [
        (3050.0, "taken", ""),
        (3095.0, "asked", FALLS),
        (3075.0, "taken", ""),
        (3100.0, "taken", ""),
    ]


def test_same_moment_with_other_hours_is_asked(actor, machine):
    take_hours(actor, [row(3010, 5)], "feed")
    take_hours(actor, [row(3011, 5)], "table")
    assert states(machine) == [(3010.0, "taken", ""), (3011.0, "asked", "differs")]


def test_rule_by_hand():
    """A day has 24 hours, and an hour of room."""
    before, after = Shown(NOON, 100.0), Shown(NOON + dt.timedelta(days=2), 140.0)
    middle = NOON + dt.timedelta(days=1)
    told = {
        hours: odd_about(Shown(middle, hours), before, after)
        for hours in (99.0, 100.0, 114.9, 125.0, 125.1, 140.1)
    }
    assert told == {99.0: FALLS, 100.0: JUMPS, 114.9: JUMPS, 125.0: "", 125.1: JUMPS, 140.1: JUMPS}
    assert odd_about(Shown(middle, 1e6), None, None) == ""


def test_changed_meter_is_told_once_and_what_waited_follows(client, actor, machine):
    take_hours(actor, [row(3000 + 5 * n, n) for n in range(10)], "feed")
    take_hours(actor, [row(2 + 5 * n, 10 + n) for n in range(10)], "feed")
    assert [state for _, state, _ in states(machine)] == ["taken"] * 10 + ["asked"] * 10
    page = client.get(reverse("machine-hours", args=[machine.pk]))
    assert page.context["changed"].initial["old_h"] == "3045"
    sent = {
        "seen_version": machine.version,
        "day": "2026-09-18",
        "old_h": "3048",
        "new_h": "0",
        "why": "new meter",
    }
    answer = client.post(reverse("meter-changed", args=[machine.pk]), sent)
    assert answer.status_code == 302
    assert {state for _, state, _ in states(machine)} == {"taken"}
    machine.refresh_from_db()
    assert machine_from_json(machine.file_text, "x").meter_changes[0].old_h == 3048.0
    judge_machine(actor, machine.pk)
    machine.refresh_from_db()
    assert machine.hours_h == pytest.approx(3048 + 2 + 45)


def test_machine_and_yard_say_that_hours_are_to_be_asked_about(client, actor, machine, words):
    machine_page, yard = reverse("machine", args=[machine.pk]), reverse("yard")
    assert "do not follow the others" not in words(client.get(machine_page))
    assert "whose hours need a look" not in words(client.get(yard))
    take_hours(actor, [row(3100, 20), row(3000, 21), row(3001, 22), row(7, 20, "strange 9")], "feed")
    assert "do not follow the others: 2." in words(client.get(machine_page))
    assert "whose hours need a look: 2." in words(client.get(yard))  # a machine and a name


@pytest.mark.parametrize(("hours", "asked"), [("3090", True), ("3100", False), ("3080", True)])
def test_walk_round_with_fewer_hours_than_were_fed_is_asked_about(
    client, actor, machine, begin, save, hours, asked
):
    """3,100 h were fed for 28 September; a round two months later cannot have fewer."""
    take_hours(actor, [row(3100, 20)], "feed")
    fields = {"head~date": "2026-11-26", "head~hours": hours, "head~by": "B", "head~unit": "mm", "head~v": "1"}
    sheet_id = begin(machine)
    said = save(sheet_id, fields=fields | {"link/left:rail_height~1": "104.5"}).json()
    assert ("meter showed 3,100 h" in said["hours_asked"].replace("\xa0", " ")) is asked
    answer = client.post(f"/walk-rounds/{sheet_id}/finish/")
    assert (answer["Location"] == f"/walk-rounds/{sheet_id}/at/end/") is asked


def test_wrong_hours_are_left_out_and_those_after_them_looked_at_again(client, actor, machine):
    """3,400 slipped in where the day could hold it; all that come after are less."""
    take_hours(actor, [row(3400, 20), row(3110, 21), row(3115, 22)], "feed")
    assert [state for _, state, _ in states(machine)] == ["taken", "asked", "asked"]
    wrong = machine.meterhours.get(meter_h=3400)
    client.post(reverse("hours-leave-out", args=[machine.pk]), {"row": wrong.pk, "left": "1", "why": "slip"})
    assert [state for _, state, _ in states(machine)] == ["left", "taken", "taken"]
    client.post(reverse("hours-leave-out", args=[machine.pk]), {"row": wrong.pk, "left": "0"})
    assert [state for _, state, _ in states(machine)] == ["asked", "taken", "taken"]
    client.post(reverse("hours-leave-out", args=[machine.pk]), {"left": "1"})
    assert [state for _, state, _ in states(machine)] == ["left", "taken", "taken"]


def test_typed_hours_go_in_and_out_again(client, machine, words):
    address = reverse("machine-hours", args=[machine.pk])
    page = client.post(address, {"day": "2026-10-01", "hours": "3,100"}, follow=True)
    assert "3,100 h on its meter" in words(page)
    machine.refresh_from_db()
    assert machine.hours_seen == [["2026-10-01", 3100.0]]
    (undo,) = page.context["messages"]
    client.post(reverse("undo", args=[undo_id(undo)]))
    machine.refresh_from_db()
    assert (machine.hours_seen, machine.meterhours.count()) == ([], 0)


def test_hours_of_a_walk_round_are_the_newest_until_newer_ones_come(client, machine, words):
    """The walk-round of the invented excavator read 3,000 h."""
    address = reverse("machine-hours", args=[machine.pk])
    shown = words(client.get(address))
    assert "3,000 h 7 Sep 2026, on a walk-round; nothing newer typed or fed" in shown
    assert "nothing typed or fed yet" not in shown
    client.post(address, {"day": "2026-10-01", "hours": "3,100"})
    assert "on a walk-round" not in words(client.get(address))


def test_counts_of_hours_agree_in_number():
    assert counts_said({"taken": 1}) == "1 reading taken in"
    assert counts_said({"taken": 1200, "waiting": 1, "known": 0}) == (
        "1,200 readings taken in, 1 of a machine nobody knows yet"
    )


def undo_id(message):
    return next(word for word in message.extra_tags.replace(":", " ").split() if word.count("-") == 4)


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"day": "2026-10-01", "hours": "many"}, "a number of 0 or more"),
        ({"day": "2099-10-01", "hours": "1"}, "or earlier"),
        ({"day": "2026-10-01", "hours": "9000000"}, "0 to 1,000,000 h"),
        ({"day": "", "hours": "3100"}, "needed"),
    ],
)
def test_what_cannot_be_hours_is_told_at_its_field(client, machine, words, sent, said):
    page = client.post(reverse("machine-hours", args=[machine.pk]), sent)
    assert page.status_code == 400
    assert said in words(page)
    assert not machine.meterhours.exists()


def test_table_of_many_matches_what_it_can_and_asks_for_the_rest_once(client, actor, machine, words):
    table = b"machine,date,hours\nT1,2026-10-01,3100\nstrange 7,2026-10-01,50\nT1,2026-10-02,x\n"
    page = client.post(reverse("hours"), {"files": SimpleUploadedFile("hours.csv", table)})
    assert page.status_code == 400  # one row is told, the others are in
    assert "row 4" in words(page)
    assert "strange 7" in words(page)
    assert states(machine) == [(3100.0, "taken", "")]
    client.post(reverse("hours-whose"), {"name": "strange 7", "machine": str(machine.pk), "ignored": "0"})
    assert [state for _, state, _ in states(machine)] == ["taken", "asked"]  # 50 h at the same moment
    came = take_hours(actor, [row(3150, 60, "strange 7")], "feed")
    assert came.taken == 1  # known by now
    client.post(reverse("hours-whose"), {"name": "strange 7"})
    assert take_hours(actor, [row(3150, 60, "strange 7")], "feed").waiting == 1
    client.post(reverse("hours-whose"), {"name": "strange 7", "ignored": "1"})
    assert take_hours(actor, [row(3160, 61, "strange 7")], "feed").told == {
        "taken": 0,
        "known": 0,
        "asked": 0,
        "waiting": 0,
    }


def test_name_of_two_machines_is_nobodys(actor, bring, dossier, machine):
    from dataclasses import replace

    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2")), judged=False)
    type(other).objects.filter(pk__in=[other.pk, machine.pk]).update(owner_number="7")
    assert take_hours(actor, [row(3100, 30, "7")], "feed").waiting == 1
    assert not MeterHours.objects.exists()


class Sender(BaseHTTPRequestHandler):
    """A made-up telematics server: a token for a client, pages of a snapshot, and whatever trouble a test asks for."""

    trouble: ClassVar = []
    day = 0
    asked: ClassVar = []

    def do_POST(self):
        body = parse_qs(self.rfile.read(int(self.headers["Content-Length"])).decode())
        known = body.get("client_secret") == ["between us"]
        self._answer(200 if known else 401, json.dumps({"access_token": "of the day"} if known else {}).encode())

    def do_GET(self):
        self.asked.append((self.path, self.headers.get("Authorization")))
        if self.trouble:
            status, headers = self.trouble.pop(0)
            return self._answer(status, b"", headers)
        if self.headers.get("Authorization") != "Bearer of the day":
            return self._answer(401, b"")
        page = int(parse_qs(urlsplit(self.path).query).get("page", ["1"])[0])
        names = [["T1", "strange 1"], ["strange 2"]][page - 1]
        at = (NOON + dt.timedelta(days=self.day)).isoformat()
        told = {
            "Links": [{"rel": "next", "href": "/fleet?page=2"}] if page == 1 else [],
            "Equipment": [
                {
                    "EquipmentHeader": {"EquipmentID": name},
                    "CumulativeOperatingHours": {"Hour": 3000 + 6 * self.day, "Datetime": at},
                    "CumulativeIdleHours": {"Hour": 900 + 2 * self.day, "Datetime": at},
                    "Location": {"Latitude": 51.5, "Longitude": -1.25},
                }
                for name in names
            ],
        }
        return self._answer(200, json.dumps(told).encode())

    def _answer(self, status, body, headers=()):
        self.send_response(status)
        for name, value in headers:
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_):
        pass


@pytest.fixture(scope="module")
def server():
    served = ThreadingHTTPServer(("127.0.0.1", 0), Sender)
    threading.Thread(target=served.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{served.server_port}"
    served.shutdown()
    served.server_close()


@pytest.fixture
def sender(server, monkeypatch):
    monkeypatch.setenv("PITCHLINE_DESK_FETCH_PRIVATE", "1")
    Sender.trouble, Sender.day, Sender.asked = [], 0, []
    return server


@pytest.fixture
def feed(actor, sender):
    typed = {
        "name": "Made-up service", "address": f"{sender}/fleet", "sign_in": "client", "user": "yard", "secret": "between us",
        "token_address": f"{sender}/token", "every_h": 24, "seen_version": 0,
    }  # fmt: skip
    assert keep_feed(actor, feed_id=uuid.uuid4(), typed=typed)
    return Feed.objects.get()


def test_feed_is_fetched_by_the_clock_page_by_page(feed, machine):
    now = timezone.now()
    for day in range(5):
        Sender.day = day
        assert [one.pk for one in due(now)] == [feed.pk]
        pull(due(now)[0], now)
        assert due(now) == []
        now += dt.timedelta(hours=24, seconds=1)
    feed.refresh_from_db()
    assert feed.said == {"pages": 2, "left_out": 0, "taken": 1, "known": 0, "asked": 0, "waiting": 2}
    assert [one.idle_h for one in machine.meterhours.order_by("at")] == [900, 902, 904, 906, 908]
    assert sorted(SenderName.objects.values_list("name", flat=True)) == ["strange 1", "strange 2"]
    assert "between us" not in feed.secret_sealed
    machine.refresh_from_db()
    assert not machine.to_judge  # the night judges by them


def test_what_fails_is_tried_again_later_and_later_and_told(feed, machine):
    now = timezone.now()
    waits = []
    Sender.trouble = [(503, ()), (429, (("Retry-After", "1800"),)), (500, ()), (404, ())]
    for _ in range(4):
        pull(due(now)[0], now)
        feed.refresh_from_db()
        assert shown(feed).is_failing
        waits.append((feed.next_at - now).total_seconds() / 60)
        now = feed.next_at
    assert waits == [5, 30, 20, 24 * 60]  # what will not pass is tried again at its usual time
    assert feed.failed == 4
    pull(due(now)[0], now)
    feed.refresh_from_db()
    assert (feed.failed, shown(feed).is_failing, machine.meterhours.count()) == (0, False, 1)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"sign_in": "token"}, "sign-in"),
        ({"secret_sealed": "of another desk"}, "sign-in"),
        ({"address": "{}/fleet", "trouble": (302, (("Location", "http://127.0.0.1:9/"),))}, "answer"),
        ({"address": "http://127.0.0.1:9/fleet", "sign_in": "none"}, "unreached"),
        ({"address": "ftp://127.0.0.1/fleet"}, "address"),
    ],
)
def test_why_it_failed_is_told(feed, sender, change, why):
    trouble = change.pop("trouble", None) if (change := dict(change)) else None
    Sender.trouble = [trouble] if trouble else []
    Feed.objects.update(**{name: text.format(sender) for name, text in change.items()})
    feed.refresh_from_db()
    pull(feed, timezone.now())
    feed.refresh_from_db()
    assert feed.said["failed"] == why
    assert shown(feed).said


def test_nothing_is_fetched_from_this_computers_own_network(feed, monkeypatch):
    monkeypatch.delenv("PITCHLINE_DESK_FETCH_PRIVATE")
    pull(feed, timezone.now())
    feed.refresh_from_db()
    assert (feed.said["failed"], Sender.asked) == ("private", [])


def test_worker_fetches_what_is_due_and_leaves_what_is_off(feed, machine, client):
    client.post(reverse("hours-off", args=[feed.pk]), {"stopped": "1"})
    WORKER.work()
    assert Sender.asked == []
    client.post(reverse("hours-off", args=[feed.pk]), {"stopped": "0"})
    WORKER.work()
    assert [path for path, _ in Sender.asked] == ["/fleet", "/fleet?page=2"]
    WORKER.work()
    assert len(Sender.asked) == 2
    client.post(reverse("hours-fetch", args=[feed.pk]))
    WORKER.work()
    assert len(Sender.asked) == 4


def test_feed_is_entered_in_a_form_that_keeps_its_secret(client, actor, words):
    new = uuid.uuid4()
    address = reverse("hours-feed", args=[new])
    typed = {
        "name": "x",
        "address": "https://hours.example/",
        "sign_in": "basic",
        "every_h": "6",
        "seen_version": "0",
    }
    wrong = client.post(address, typed | {"address": "hours.example", "every_h": "0"})
    assert wrong.status_code == 400
    assert set(wrong.context["form"].errors) == {"address", "every_h", "user", "secret"}
    sent = typed | {"user": "u", "secret": " p "}
    assert client.post(address, sent).status_code == 302
    kept = Feed.objects.get()
    page = client.get(address)
    assert " p " not in page.content.decode().split("<form", 1)[1] or "secret" not in page.content.decode()
    again = client.post(address, sent | {"secret": "", "every_h": "12", "seen_version": str(kept.version)})
    assert again.status_code == 302
    now = Feed.objects.get()
    assert (now.every_h, now.secret_sealed) == (12, kept.secret_sealed)
    assert client.post(address, sent | {"seen_version": "1", "name": "late"}).status_code == 409
    assert Feed.objects.get().name == "x"


@pytest.mark.parametrize(
    ("there", "is_out"),
    [
        # IANA's registries of special-purpose addresses, RFC 6890 and its followers
        ("20.0.0.1", True), ("2a00::1", True), ("127.0.0.1", False), ("10.1.2.3", False), ("169.254.169.254", False),
        ("100.64.0.1", False), ("0.0.0.0", False), ("224.0.0.1", False), ("::1", False), ("fe80::1%eth0", False),
        ("fd00::1", False), ("ff02::1", False), ("fec0::1", False), ("::ffff:10.0.0.1", False), ("::127.0.0.1", False),
        ("64:ff9b::a00:1", False), ("64:ff9b:1::a00:1", False), ("2002:a00:1::1", False), ("2001:0:a00:1::", False),
    ],
)  # fmt: skip
def test_nothing_is_asked_of_an_address_that_leads_into_a_network_of_ones_own(there, is_out):
    assert is_public(there) is is_out


@pytest.mark.parametrize(
    "address", ["http://x.example:99999/", "http://x.example:0/", "http://x.example:y/", "ftp://x.example/"]
)
def test_address_nothing_can_be_asked_of_is_refused_where_it_is_typed(address):
    with pytest.raises(FetchError, match="address"):
        checked_address(address)
