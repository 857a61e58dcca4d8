"""The yard's page: first run, looking for machines, sorting, and a fixed number of queries."""

import uuid
from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.yard.queries import Wanted, left_said, tally_of
from pitchline.desk.yard.rows import YardLine
from pitchline.trade.calls import Call
from pitchline.words.names import named


def rows(many, **columns):
    """Plain machines, written straight into the table."""
    business = local_actor().business
    Machine.objects.bulk_create(
        Machine(
            business=business,
            short_name=f"x{number}-{uuid.uuid4().hex[:6]}",
            name=f"Machine {number:05}",
            kind="dozer",
            **columns,
        )
        for number in range(many)
    )


def test_empty_yard_greets_with_three_ways_in(client, db, words):
    text = words(client.get("/"))
    for way in ("Open the demo yard", "Add a machine", "A list of machines from a spreadsheet"):
        assert way in text


def test_machine_is_in_the_list_with_call_hours_and_money_said_as_on_paper(client, machine, words):
    text = words(client.get("/"))
    assert "Test machine" in text
    assert machine.call in text
    assert "invented" in text


def test_machine_that_is_stopped_says_what_stops_it(client, bring, worn, words):
    machine = bring(worn(1.2))
    assert machine.call == "stop"
    stopped = [job for job in verdict_of(machine.judgement).jobs if job.call is Call.STOP]
    said = words(client.get("/")).lower()
    assert len(stopped) > 0
    assert all(named(job.kind) in said for job in stopped)
    assert "do not work it before" not in said
    assert machine.due_said.partition("; then book: ")[0].count("; ") == len(stopped) - 1


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"text": "gra"}, {"Grader"}),
        ({"text": "invented"}, {"Grader", "Heap"}),
        ({"kind": "paver"}, {"Heap"}),
        ({"call": "book"}, {"Heap"}),
        ({"call": "none"}, {"Other"}),
        ({"customer": "Invented & Sons"}, {"Grader"}),
        ({"site": "invented yard"}, {"Heap"}),
        ({"place": "invented yard"}, {"Heap"}),  # as addresses of before ask
        ({"text": "nothing of the kind"}, set()),
        ({"page": "-7"}, {"Grader", "Heap", "Other"}),
        ({"call": "no such call"}, set()),
    ],
)
def test_looking_for_machines(client, db, asked, found):
    business = local_actor().business
    for short, name, kind, call, customer, place in (
        ("a", "Grader", "dozer", "run", "Invented & Sons", ""),
        ("b", "Heap", "paver", "book", "", "Invented yard"),
        ("c", "Other", "dozer", "", "", ""),
    ):
        Machine.objects.create(
            business=business, short_name=short, name=name, kind=kind, call=call, customer=customer, place=place
        )
    lines = client.get("/", asked).context["lines"]
    assert {line.machine.name for line in lines} == found


def test_tiles_count_what_the_list_is_narrowed_to_whatever_its_call(client, db):
    business = local_actor().business
    for name, customer, call in (("A", "Hill", "stop"), ("B", "Hill", "run"), ("C", "Vale", "stop")):
        Machine.objects.create(
            business=business, short_name=name, name=name, customer=customer, call=call, kind="dozer"
        )
    narrowed = tally_of(business, Wanted(customer="Hill", call="run"))
    assert (narrowed.stop, narrowed.run, narrowed.all) == (1, 1, 2)
    assert client.get("/", {"customer": "Hill"}).context["tally"].all == 2
    assert tally_of(business).all == 3


def test_orders(client, db):
    business = local_actor().business
    for name, rank, due, money, walked in (
        ("A", 0, 900.0, 10.0, "2026-01-03"),
        ("B", 2, 2000.0, 30.0, "2026-01-01"),
        ("C", 1, 100.0, 20.0, "2026-01-02"),
        ("D", -1, None, None, None),
    ):
        Machine.objects.create(
            business=business, short_name=name, name=name, kind="dozer", call_rank=rank, due_middle_h=due,
            money_usual=money, last_walk_on=walked,
        )  # fmt: skip

    def order(sort):
        return "".join(line.machine.name for line in client.get("/", {"sort": sort}).context["lines"])

    assert order("due") == "BCAD"
    assert order("money") == "BCAD"
    assert order("walked") == "DBCA"
    assert order("name") == "ABCD"
    for name, hours in (("A", 900.0), ("B", 12_400.0), ("C", 3_000.0)):
        Machine.objects.filter(name=name).update(hours_h=hours)
    assert order("hours") == "BCAD"


def test_yard_that_is_being_judged_says_how_far_it_is(client, machine, words):
    """No tile says that nothing falls due, or that a machine was not read, before anybody judged it."""
    rows(16, to_judge=True)
    text = words(client.get("/"))
    assert "1 of 17 judged" in text
    assert "more" not in text.partition("1 of 17 judged")[2][:40]  # one judgement tells no pace
    assert text.count("so far") >= 3
    assert "EUR 0" not in text
    assert client.get("/").context["tally"].none == 0
    for number in range(3):
        judged = Judgement.objects.first()
        judged.pk, judged.digest = uuid.uuid4(), str(number)
        judged.save(force_insert=True)
    now = timezone.now()
    ages = zip(Judgement.objects.all(), (40, 30, 20, 10), strict=True)
    for judgement, age_s in ages:
        Judgement.objects.filter(pk=judgement.pk).update(made_at=now - timedelta(seconds=age_s))
    assert left_said(machine.business, 8) in (
        "about 80 s more",
        "about 85 s more",
    )  # 4 in 40 s; a second may go by
    assert left_said(machine.business, 600) in ("about 100 min more", "about 101 min more", "about 102 min more")


def test_queries_do_not_grow_with_the_yard(client, db):
    with CaptureQueriesContext(connection()) as few:
        rows(3)
        client.get("/")
    few_reads = [query for query in few if query["sql"].startswith("SELECT")]
    rows(300, customer="Somebody")
    with CaptureQueriesContext(connection()) as many:
        client.get("/")
    many_reads = [query for query in many if query["sql"].startswith("SELECT")]
    assert len(many_reads) <= len(few_reads)
    assert len(many_reads) <= 12  # three of them ask whether a hook, a phone or hours need a look


def connection():
    from django.db import connection as current

    return current


def test_list_comes_in_pages(client, db):
    rows(120)
    first, last = client.get("/"), client.get("/", {"page": "3"})
    assert len(first.context["lines"]) == 50
    assert len(last.context["lines"]) == 20


def test_archived_machine_is_out_of_the_list_and_can_come_back(client, machine):
    client.post(f"/machines/{machine.pk}/archive/", {"archived": "1"})
    client.post(f"/machines/{machine.pk}/archive/", {"archived": "1"})
    assert client.get("/").context["lines"] == []
    assert len(client.get("/", {"archived": "1"}).context["lines"]) == 1
    client.post(f"/machines/{machine.pk}/archive/", {"archived": "0"})
    assert len(client.get("/").context["lines"]) == 1


def test_adding_needs_kind_name_and_hours_only_and_twice_adds_one(client, db):
    form = {"machine_id": str(uuid.uuid4()), "kind": "excavator", "name": "Old faithful", "hours": "8150"}
    for _ in range(2):
        answer = client.post("/machines/new/", form)
        assert answer.status_code == 302
    machine = Machine.objects.get()
    assert (machine.name, machine.hours_h, machine.hours_text) == ("Old faithful", 8150.0, "8150")
    page = client.get(answer["Location"]).content.decode()
    for unlocks in ("running gear", "sizes and limits", "walk-round", "hours a week", "price list"):
        assert unlocks in page


def test_an_id_that_another_yard_has_is_told_in_the_form(owner_client, stranger_client, words):
    form = {"machine_id": str(uuid.uuid4()), "kind": "excavator", "name": "Old faithful", "hours": "8150"}
    assert owner_client.post("/machines/new/", form).status_code == 302
    answer = stranger_client.post("/machines/new/", form)
    assert answer.status_code == 400
    assert "Open the page again and send it from there." in words(answer)


def test_what_is_missing_is_said_by_the_form_and_not_by_the_browser(client, db, words):
    assert "novalidate" in client.get("/machines/new/").content.decode()
    refused = words(client.post("/machines/new/", {"kind": "dozer", "machine_id": str(uuid.uuid4())}))
    assert refused.count("Nothing is entered here, and it is needed.") == 2


@pytest.mark.parametrize("hours", ["", "many", "8.150", "-3"])
def test_hours_that_cannot_be_are_refused_beside_their_field_and_stay_typed(client, db, hours):
    form = {"machine_id": str(uuid.uuid4()), "kind": "excavator", "name": "X", "hours": hours}
    answer = client.post("/machines/new/", form)
    assert answer.status_code == 400
    assert answer.context["form"].errors["hours"]
    assert f'value="{hours}"' in answer.content.decode() or not hours
    assert not Machine.objects.exists()


def test_names_are_shown_never_run(client, db, bring, dossier):
    odd = replace(dossier, machine=replace(dossier.machine, name='<script>alert("x")</script>' + "ü" * 60))
    machine = bring(odd)
    for address in ("/", f"/machines/{machine.pk}/", f"/machines/{machine.pk}/parts/bush/left/"):
        assert "<script>alert" not in client.get(address).content.decode()


def test_prices_in_two_currencies_are_not_called_unpriced(client, db, words):
    business = local_actor().business
    for code, call in (("EUR", "run"), ("USD", "book")):
        Machine.objects.create(
            business=business,
            short_name=code,
            name=code,
            kind="dozer",
            call=call,
            currency=code,
            money_usual=500.0,
        )
    page = words(client.get("/"))
    assert "Priced in EUR and USD, which do not add up. Enter all prices in one currency" in page
    assert "not priced" not in page


@pytest.mark.parametrize(
    ("days", "hours_h", "said"),
    [
        (100, (300.0, 400.0, 500.0), "early Apr 2027"),
        (500, (1000.0, 1450.0, 1900.0), "about 2028"),
        (300, (100.0, 1200.0, 2000.0), "about 2027"),  # its range spans 475 days
        (None, (1.0, 2.0, 3.0), "over 20 years off"),
    ],
)
def test_a_far_day_is_said_no_closer_than_the_machine_s_page_says_it(days, hours_h, said):
    """From 28 Dec 2026, by the calendar: 100 days on is 7 Apr 2027, 300 days 24 Oct 2027, 500 days 11 May 2028."""
    on = date(2026, 12, 28)
    due_on = None if days is None else on + timedelta(days=days)
    cautious_h, middle_h, hopeful_h = hours_h
    machine = Machine(
        judged_for=on, due_on=due_on, due_cautious_h=cautious_h, due_middle_h=middle_h, due_hopeful_h=hopeful_h
    )
    assert YardLine(machine).when.replace("\u00a0", " ") == said
