"""The calendar feed: the secret is enough, and nothing but the secret is."""

import re

import pytest
from icalendar import Calendar

import made_up
from pitchline.desk.house.actions import renew_feed, switch_feed_off
from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.people.models import Business
from pitchline.desk.workplan.feed import machine_address, yard_address
from pitchline.desk.workplan.models import FeedPart, Plan
from pitchline.desk.workplan.stored import packed_footing, packed_verdict
from pitchline.words import catalogue


@pytest.fixture
def fed(bring, worn, actor):
    """A machine with work due, and the feed switched on."""
    machine = bring(worn(1.2))
    renew_feed(actor)
    machine.business.refresh_from_db()
    return machine


def body(answer):
    return b"".join(answer.streaming_content).decode()


def uids(text):
    return re.findall(r"UID:(\S+)", text)


def test_yard_feed_is_a_calendar_with_every_machines_work(client, fed):
    text = body(client.get(yard_address(fed.business)))
    events = [part for part in Calendar.from_ical(text).walk() if part.name == "VEVENT"]
    assert events
    assert all("Test machine" in str(event["summary"]) for event in events)
    assert len({str(event["uid"]) for event in events}) == len(events)


def test_needs_no_sign_in_but_the_secret(fed, with_login, client):
    assert client.get(yard_address(fed.business)).status_code == 200
    assert client.get(machine_address(fed.business, fed)).status_code == 200
    assert client.get("/settings/").status_code == 302


@pytest.mark.parametrize(
    "address",
    ["/calendar/.ics", "/calendar/guess.ics", f"/calendar/{'x' * 43}.ics", f"/calendar/{'%00' * 40}.ics"],
)
def test_guesses_lead_nowhere(client, fed, address):
    assert client.get(address).status_code == 404


def test_address_of_one_machine_opens_no_other(client, fed, bring, dossier):
    from dataclasses import replace

    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2")))
    swapped = machine_address(fed.business, fed).replace(str(fed.pk), str(other.pk))
    assert client.get(swapped).status_code == 404


@pytest.mark.parametrize("mark", ["", "x", "é" * 40, "%00"])
def test_wrong_mark_of_a_machine_leads_nowhere(client, fed, mark):
    assert client.get(f"/calendar/machines/{fed.pk}/{mark}.ics").status_code == 404


def test_renewing_ends_every_address_given_out(client, fed, actor):
    before = [yard_address(fed.business), machine_address(fed.business, fed)]
    renew_feed(actor)
    assert [client.get(address).status_code for address in before] == [404, 404]
    assert client.get(yard_address(Business.objects.get(pk=actor.business.pk))).status_code == 200


def test_switched_off_leads_nowhere(client, fed, actor):
    before = [yard_address(fed.business), machine_address(fed.business, fed)]
    switch_feed_off(actor)
    assert [client.get(address).status_code for address in before] == [404, 404]


def test_feed_of_one_yard_holds_nothing_of_another(client, fed, owner, bring, worn):
    from dataclasses import replace

    theirs = worn(1.2)
    bring(replace(theirs, machine=replace(theirs.machine, name="Their machine")), who=owner)
    assert "Their machine" not in body(client.get(yard_address(fed.business)))


def test_marks_stay_the_same_from_verdict_to_verdict(client, fed, priced_yard):
    before = uids(body(client.get(yard_address(fed.business))))
    judge_waiting()
    fed.refresh_from_db()
    assert FeedPart.objects.get().source != str(fed.judgement_id)
    assert set(uids(body(client.get(yard_address(fed.business))))) == set(before)


def test_with_a_plan_the_jobs_stand_on_the_days_of_its_stops(client, actor, machine, planned_once):
    renew_feed(actor)
    verdict, footing = planned_once
    machine.business.refresh_from_db()
    before = uids(body(client.get(yard_address(machine.business))))
    Plan.objects.create(
        business=machine.business, machine=machine, judgement=machine.judgement, digest="x", asked={}, who="me",
        state=Plan.DONE, verdict_packed=packed_verdict(verdict), footing_packed=packed_footing(footing),
    )  # fmt: skip
    text = body(client.get(yard_address(machine.business)))
    assert set(before) & set(uids(text))
    events = [part for part in Calendar.from_ical(text).walk() if part.name == "VEVENT"]
    assert {stop.day for stop in verdict.plan.stops} <= {event["dtstart"].dt for event in events}


def test_what_was_made_before_is_not_made_again(client, fed, monkeypatch):
    from pitchline.desk.workplan import feed

    first = body(client.get(yard_address(fed.business)))
    assert FeedPart.objects.count() == 1
    monkeypatch.setattr(feed, "calendar_ics", lambda *args: pytest.fail("made again"))
    assert body(client.get(yard_address(fed.business))) == first


def test_archived_machine_is_not_in_it(client, fed):
    client.post(f"/machines/{fed.pk}/archive/", {"archived": "1"})
    assert uids(body(client.get(yard_address(fed.business)))) == []
    assert client.get(machine_address(fed.business, fed)).status_code == 404


def test_the_feed_speaks_the_language_of_the_pages(client, fed, tmp_path, monkeypatch):
    """Nobody asks from a page: words are those the business has now, though its work was judged in another language."""
    made_up.write(tmp_path)
    before = body(client.get(yard_address(fed.business)))
    monkeypatch.setattr(catalogue, "FOLDERS", [*catalogue.FOLDERS, tmp_path])
    made_up.read_once()
    Business.objects.filter(pk=fed.business.pk).update(language=made_up.CODE)
    for address in (yard_address(fed.business), machine_address(fed.business, fed)):
        text = body(client.get(address))
        entries = [part for part in Calendar.from_ical(text).walk() if part.name == "VEVENT"]
        assert f"NAME:{made_up.cyrillic('Undercarriage work')}" in text
        assert entries
        for entry in entries:
            summary = str(entry["summary"]).replace("Test machine", "")
            assert made_up.plain_words(summary) == []
    Business.objects.filter(pk=fed.business.pk).update(language="en")
    assert body(client.get(yard_address(fed.business))) == before
