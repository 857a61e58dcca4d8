"""A free quote at the desk: how many of what, what it comes to, keeping it, its paper. Every price is invented."""

import datetime as dt
import io
import uuid
from dataclasses import replace

import pypdf
import pytest

from pitchline.desk.clock import today
from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.prices import content_of, enter_prices, newest_prices, prices_of
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.money.machine_class import MachineClass
from pitchline.money.prices import PriceLine
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.jobs import JobKind
from pitchline.trade.parts import PartKind

ROLLERS, SPROCKET = "count-replace-bottom_roller", "count-replace-sprocket"


@pytest.fixture
def machine(bring, dossier, priced_yard):
    """The invented excavator of 21 t, not judged: a quote needs no walk-round."""
    return bring(dossier, judged=False)


@pytest.fixture
def post(client, machine):
    """A factory of answers to what is typed."""

    def make(save="1", **typed):
        sent = {
            "quote_id": str(uuid.uuid4()),
            "valid_until": "2099-01-01",
            "labour": "1",
            "sides": "0",
            "save": save,
        }
        return client.post(f"/machines/{machine.pk}/quote/", sent | typed)

    return make


def text_of(pdf):
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)
    return text.replace("\u00a0", " ")


def test_two_rollers_are_reckoned_and_nothing_is_kept_by_looking(post, words):
    """2 x 180 + 3 h x 50."""
    text = words(post(save="0", **{ROLLERS: "2"}))
    assert "Replace 2 bottom rollers 510.00" in text
    assert "Keep this quote" in text
    assert not FreeQuoteRow.objects.exists()


def test_kept_quote_prints_the_same_again_whatever_the_prices_do(client, actor, machine, post, prices):
    answer = post(**{ROLLERS: "2", "customer": "Invented Hire", "notes": "Old parts go back."})
    assert answer.status_code == 302
    row = FreeQuoteRow.objects.get()
    assert (row.net, row.currency, row.customer) == (510.0, "EUR", "Invented Hire")
    assert row.number == f"T1-{today():%Y%m%d}-F1"
    address = f"/machines/{machine.pk}/quotes/{row.pk}/quote.pdf"
    first = client.get(address).content
    text = text_of(first)
    for said in ("510.00", "Invented Hire", "Old parts go back.", "Made by price list 1 of"):
        assert said in text, said
    dear = [
        PriceLine(line.job, line.part, 1e3, 1e3, 1e3, 1.0, line.per)
        if line.part is PartKind.BOTTOM_ROLLER
        else line
        for line in prices.lines
    ]
    enter_prices(actor, name="prices.csv", content=content_of(replace(prices, lines=tuple(dear))))
    machine.name = "Another name"
    machine.save()
    assert client.get(address).content == first


def test_machines_own_price_is_taken_and_says_whose_it_is(client, actor, machine, post, prices, words):
    own = PriceLine(
        JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 275.0, 275.0, 275.0, 2.0, which=MachineClass(mass_from_kg=12e3)
    )
    enter_prices(actor, name="p.csv", content=content_of(replace(prices, lines=(*prices.lines, own))))
    assert "Replace bottom roller price of 12 t and over 275" in words(
        client.get(f"/machines/{machine.pk}/quote/")
    )
    assert "Replace 2 bottom rollers 750.00" in words(post(save="0", **{ROLLERS: "2"}))  # 2 x 275 + 4 h x 50


def test_price_by_hand_needs_its_reason_and_stands_in_the_trail(post, machine):
    name = "price-replace-bottom_roller"
    answer = post(**{ROLLERS: "2", name: "450"})
    assert answer.status_code == 400
    assert list(answer.context["form"].errors) == ["why-replace-bottom_roller"]
    post(**{ROLLERS: "2", name: "450", "why-replace-bottom_roller": "agreed"})
    assert FreeQuoteRow.objects.get().net == 450.0
    told = Change.objects.get(machine_id=machine.pk, what__contains="by hand")
    assert (told.before, told.after, told.why) == ("510.00", "450.00", "agreed")


def test_charges_are_ticked_and_the_track_that_opens_is_pointed_to(client, actor, machine, post, prices, words):
    stop = StopCosts(lorry=400.0, opening_per_side=160.0)
    chain = "count-replace-chain"
    enter_prices(actor, name="p.csv", content=content_of(replace(prices, stop=stop, tax_rate=0.19)))
    text = words(post(save="0", **{chain: "1"}))
    assert "One of these jobs opens the track, and no opening is charged" in text
    text = words(post(save="0", **{chain: "1", "sides": "1", "lorry": "on"}))
    assert "One of these jobs opens" not in text
    assert "Sum without tax, EUR 4,660.00" in text  # 3500 + 12 h x 50, 160, 400
    assert "Tax, 19 % 885.40" in text


def test_parts_alone_and_a_line_in_own_words(post):
    post(**{ROLLERS: "2", "labour": "0", "words-1": "carriage", "own-1": "1,035.50"})
    assert FreeQuoteRow.objects.get().net == 360 + 1035.5


WRONG = [
    ({}, "__all__"),
    ({ROLLERS: "0"}, "__all__"),
    ({ROLLERS: "two"}, ROLLERS),
    ({ROLLERS: "10000"}, ROLLERS),
    ({ROLLERS: "2", "valid_until": "2020-01-01"}, "valid_until"),
    ({ROLLERS: "2", "valid_until": ""}, "valid_until"),
    ({ROLLERS: "2", "price-replace-bottom_roller": "cheap"}, "price-replace-bottom_roller"),
    ({"price-replace-bottom_roller": "5"}, ROLLERS),
    ({SPROCKET: "1"}, "__all__"),
    ({ROLLERS: "2", "words-1": "carriage"}, "own-1"),
    ({ROLLERS: "2", "own-1": "35"}, "words-1"),
    ({ROLLERS: "2", "sides": "1"}, "sides"),
    ({ROLLERS: "2", "labour": "x"}, "labour"),
    ({ROLLERS: "2", "notes": "x" * 2001}, "notes"),
]


@pytest.mark.parametrize(("typed", "at"), WRONG)
def test_each_wrong_entry_says_so_at_its_field_and_keeps_nothing(post, typed, at):
    answer = post(**typed)
    assert answer.status_code == 400
    assert list(answer.context["form"].errors) == [at]
    assert b'class="wrong-said" role="alert"' in answer.content
    assert not FreeQuoteRow.objects.exists()


def test_sprocket_that_is_not_on_the_list_takes_a_price_by_hand(post):
    post(**{SPROCKET: "1", "price-replace-sprocket": "800"})
    assert FreeQuoteRow.objects.get().net == 800.0


def test_sent_twice_it_is_kept_once_and_the_next_has_the_next_number(post):
    sent = {ROLLERS: "2", "quote_id": str(uuid.uuid4())}
    post(**sent)
    post(**sent)
    assert FreeQuoteRow.objects.count() == 1
    post(**{ROLLERS: "3"})
    assert sorted(FreeQuoteRow.objects.values_list("number", flat=True))[1].endswith("-F2")


def test_undone_it_is_put_away_and_can_be_brought_back(client, machine, post, words):
    post(**{ROLLERS: "2"})
    row = FreeQuoteRow.objects.get()
    client.post(f"/undo/{Undoable.objects.latest('at').pk}/")
    row.refresh_from_db()
    assert row.put_away_at is not None
    assert "Put away: 1" in words(client.get(f"/machines/{machine.pk}/quote/"))
    client.post(f"/machines/{machine.pk}/quotes/{row.pk}/away/", {"away": "0"})
    row.refresh_from_db()
    assert row.put_away_at is None


def test_another_begins_with_what_one_asked_for(client, machine, post):
    post(**{ROLLERS: "2", "notes": "As before."})
    row = FreeQuoteRow.objects.get()
    text = client.get(f"/machines/{machine.pk}/quote/", {"begin": row.pk}).content.decode()
    assert f'name="{ROLLERS}" value="2"' in text
    assert "As before." in text


def test_without_prices_it_leads_to_them(client, bring, dossier, words):
    machine = bring(dossier, judged=False)
    assert "There is no price list" in words(client.get(f"/machines/{machine.pk}/quote/"))


def test_machine_of_which_only_kind_and_name_are_known_is_quoted_too(client, actor, prices, words):
    heavy = PriceLine(JobKind.REPLACE, PartKind.IDLER, 9.0, 9.0, 9.0, 1.0, which=MachineClass(mass_from_kg=12e3))
    enter_prices(actor, name="p.csv", content=content_of(replace(prices, lines=(*prices.lines, heavy))))
    client.post("/machines/new/", {"machine_id": str(uuid.uuid4()), "kind": "dozer", "name": "New", "hours": "10"})
    machine = Machine.objects.get()
    text = words(client.get(f"/machines/{machine.pk}/quote/"))
    assert "Its operating mass is not entered" in text
    assert "Replace rubber track" in text
    sent = {"valid_until": "2099-01-01", ROLLERS: "1", "save": "1"}
    client.post(f"/machines/{machine.pk}/quote/", sent)
    row = FreeQuoteRow.objects.get()
    assert "10 h" in text_of(client.get(f"/machines/{machine.pk}/quotes/{row.pk}/quote.pdf").content)


def test_quote_of_another_machine_or_business_is_not_found(client, actor, bring, dossier, machine, post):
    post(**{ROLLERS: "2"})
    row = FreeQuoteRow.objects.get()
    other = bring(replace(dossier, machine=replace(dossier.machine, machine_id="T2")), judged=False)
    assert client.get(f"/machines/{other.pk}/quotes/{row.pk}/quote.pdf").status_code == 404
    FreeQuoteRow.objects.update(business=Business.objects.create(name="Another"))
    assert client.get(f"/machines/{machine.pk}/quotes/{row.pk}/quote.pdf").status_code == 404


def test_it_holds_for_thirty_days_where_nobody_says(client, machine):
    until = today() + dt.timedelta(days=30)
    assert f'value="{until.isoformat()}"' in client.get(f"/machines/{machine.pk}/quote/").content.decode()


def test_price_list_a_quote_was_made_by_cannot_go(machine, post):
    post(**{ROLLERS: "2"})
    row = FreeQuoteRow.objects.get()
    assert row.prices == newest_prices(machine.business)
    assert prices_of(row.prices).currency == "EUR"
