"""From no prices to a quote, by visible labels alone, on a phone and a desk: a class of its own, what moves, undo."""

import io

import pypdf
import pytest
from django.db import transaction
from playwright.sync_api import expect

from pitchline.desk.freequote.models import FreeQuoteRow
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.prices import newest_prices, prices_of
from pitchline.desk.yard.importing import write_machine
from pitchline.exchange.machine_file import machine_json
from pitchline.money.machine_class import MachineClass
from pitchline.money.prices import PriceList

pytestmark = pytest.mark.django_db(transaction=True)


def test_two_rollers_and_a_sprocket_in_a_yard_without_prices(live_server, phone, dossier, looked_at):
    """By hand: 2 x 275 + 4 h x 65 = 810, a sprocket at 600, the lorry 380: 1,790; 20 % tax 358."""
    with transaction.atomic():
        write_machine(local_actor(), machine_json(dossier), dossier)
    phone.goto("/")
    phone.get_by_role("link", name="Test machine").click()
    phone.get_by_role("link", name="Quote", exact=True).click()
    phone.get_by_role("link", name="Enter prices").click()
    phone.get_by_label("Currency").fill("EUR")
    phone.get_by_label("Tax on quotes, %").fill("20")
    phone.get_by_label("Labour, an hour").fill("65")
    phone.get_by_label("Lorry, there and back").fill("380")
    phone.get_by_label("Replace bottom roller: usual price").fill("260")
    phone.get_by_label("Replace bottom roller: labour hours").fill("2")
    phone.get_by_role("button", name="Look at what moves").click()
    phone.get_by_role("heading", name="What moves when you save").wait_for()
    looked_at(phone)
    phone.get_by_role("button", name="Save these prices").click()
    phone.get_by_text("Price list 1 is used now").wait_for()
    phone.get_by_role("link", name="Another class").click()
    phone.get_by_label("Operating mass from").fill("12 t")
    phone.get_by_label("Begin with the prices of").select_option(label="none: type them")
    looked_at(phone)
    phone.get_by_role("button", name="Fill them in, then look").click()
    phone.get_by_text("For machines of this class: 12 t and over").wait_for()
    phone.get_by_label("Replace bottom roller: usual price").fill("275")
    phone.get_by_role("button", name="Save without looking").click()
    phone.get_by_text("Price list 2 is used now").wait_for()
    looked_at(phone)
    listed: PriceList = prices_of(newest_prices(local_actor().business))
    assert [line.price_usual for line in listed.lines if line.which == MachineClass(mass_from_kg=12e3)] == [275.0]

    phone.goto("/")
    phone.get_by_role("link", name="Test machine").click()
    phone.get_by_role("link", name="Quote", exact=True).click()
    phone.get_by_text("price of 12 t and over").wait_for()
    phone.get_by_label("How many: replace bottom roller").fill("2")
    phone.get_by_label("How many: replace sprocket").fill("1")
    phone.get_by_label("Lorry, there and back").check()
    phone.get_by_role("button", name="Reckon it").click()
    phone.get_by_text("no price: to be quoted apart").wait_for()
    phone.get_by_label("Price by hand for the whole line: replace sprocket").fill("600")
    phone.get_by_label("Customer").fill("Invented Hire")
    looked_at(phone)
    phone.get_by_role("button", name="Keep this quote").click()
    phone.get_by_text("is kept.").wait_for()
    looked_at(phone)
    row = FreeQuoteRow.objects.get()
    address = phone.get_by_role("link", name="Quote PDF").get_attribute("href")
    text = pypdf.PdfReader(io.BytesIO(phone.request.get(address).body())).pages[0].extract_text()
    for said in ("1,790.00", "358.00", "2,148.00", "Invented Hire", row.number):
        assert said in text, said


def test_wrong_figure_is_marked_and_the_first_list_comes_back_by_undo(live_server, opened, looked_at):
    page = opened(1440, 900)
    page.goto("/prices/")
    page.get_by_label("Currency").fill("EUR")
    page.get_by_label("Labour, an hour").fill("65")
    page.get_by_label("Replace idler: usual price").fill("dear")
    page.get_by_role("button", name="Look at what moves").click()
    page.get_by_text("“dear”. Allowed: a number of 0 or more").wait_for()
    looked_at(page)
    page.complaints.clear()  # the browser reports the answer 400
    expect(page.get_by_label("Replace idler: usual price")).to_have_value("dear")
    page.get_by_label("Replace idler: usual price").fill("750")
    page.get_by_role("button", name="Save without looking").click()
    page.get_by_text("Price list 1 is used now").wait_for()
    page.get_by_label("Replace idler: usual price").fill("800")
    page.get_by_role("button", name="Save without looking").click()
    page.get_by_text("Price list 2 is used now").wait_for()
    page.get_by_role("button", name="Undo").click()
    page.get_by_text("price list 1 is used again").wait_for()
    expect(page.get_by_label("Replace idler: usual price")).to_have_value("750")
