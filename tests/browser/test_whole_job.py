"""The whole job on a phone, by visible labels and the desk's own keys: find, walk round, judge, plan, quote."""

import io
import re

import pytest
from django.db import transaction
from playwright.sync_api import expect
from pypdf import PdfReader

from pitchline.demo.yard import build_yard
from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.prices import enter_prices
from pitchline.desk.walkround.models import SeenRow
from pitchline.desk.yard.importing import write_machine
from pitchline.exchange.machine_file import machine_json
from pitchline.exchange.prices_file import write_prices
from pressed import key, onward, press, stands_at

pytestmark = pytest.mark.django_db(transaction=True)

NUMBERS = (1, 7, 13)
"""A mini excavator on rubber tracks, the excavator that is walked round, a paver."""
HOURS = re.compile(r"\d\sh")
MONEY = re.compile(r"EUR\s[1-9]")


@pytest.fixture
def yard(live_server, tmp_path):
    """Three machines of the demo yard with their walk-rounds, judged, and its prices."""
    actor, built = local_actor(), build_yard()
    write_prices(built.prices, tmp_path / "prices.csv")
    enter_prices(actor, name="prices.csv", content=(tmp_path / "prices.csv").read_bytes())
    for number in NUMBERS:
        known = built.machine(number).with_sheet
        with transaction.atomic():
            write_machine(actor, machine_json(known), known)
    judge_waiting()


def entered(page, text):
    """A number on the desk's own keys, and on to what comes next."""
    press(page, text)
    onward(page)


def test_machine_is_found_walked_round_judged_planned_and_quoted(phone, yard, fits, looked_at, all_saved):
    """A little more worn than last time, sag taken up into its 30 to 50 mm, and a roller that leaks badly.

    What must come out follows from docs/reference/findings.md: the roller is replaced before the machine works again, and no
    sag is left to adjust on that side. Roller 5 leaked badly on the demo yard's last walk-round and is passed by on this one:
    it stands (docs/explanation/calls.md).
    """
    phone.goto("/")
    looked_at(phone)
    phone.get_by_label("Search").fill("gorse")
    phone.get_by_text("1 machine", exact=True).wait_for()
    phone.get_by_role("link", name="Gorse, 20 t excavator").click()
    chain = phone.get_by_role("row", name="Chain, left").filter(has_text="book")
    expect(chain).to_contain_text("too slack: take it up")
    phone.get_by_role("button", name="Begin a walk-round").click()
    stands_at(phone, "Walk-round")
    fits(phone)
    phone.get_by_label("Hours on the meter").fill("2600")
    phone.get_by_label("Who", exact=True).fill("A fitter")
    phone.get_by_role("link", name="Go round part by part").click()

    stands_at(phone, "Chain, left")
    for text in ("721", "4", "35"):
        entered(phone, text)
    key(phone, "Next")
    stands_at(phone, "Bushes, left")
    key(phone, "Skip part")
    stands_at(phone, "Link rail, left")
    entered(phone, "94.5")
    key(phone, "Next")
    stands_at(phone, "Shoes, left")
    entered(phone, "18.2")
    key(phone, "Next")
    stands_at(phone, "Bottom roller 1, left")
    phone.get_by_role("group", name="Leak").get_by_role("radio", name="severe").check()
    looked_at(phone)
    phone.get_by_text("Still missing:").click()
    phone.get_by_role("link", name="Bushes, left").first.click()
    stands_at(phone, "Bushes, left")
    phone.get_by_label("Bush outside diameter, forward face, Bushes, left, reading 1").focus()
    key(phone, "Phone's own keys")
    looked_at(phone)
    key(phone, "Number keys")
    for text in ("53.4", "55.1"):
        entered(phone, text)
    all_saved(phone)
    expect(phone.get_by_text("5 of 39 parts looked at")).to_be_visible()
    phone.get_by_role("link", name="Walk-round", exact=True).click()
    phone.get_by_role("button", name="Finish and judge").wait_for()
    phone.get_by_text("What is seen on it: Chain, left").click()
    looked_at(phone)
    phone.get_by_role("button", name="Finish and judge").click()

    phone.get_by_text("Walk-round finished, machine judged.").wait_for()
    looked_at(phone)
    phone.get_by_text("Do not work it before this is done: replace bottom rollers 1 and 5 left.").first.wait_for()
    expect(phone.get_by_role("heading", name="Adjust chain")).to_have_count(0)
    calls = phone.get_by_role("table", name="Parts that are called stop or book")
    expect(calls.get_by_role("row", name="Bottom roller 1, left")).to_contain_text("stop")
    expect(calls.get_by_role("row", name="Bushes, left")).to_contain_text("book")
    expect(phone.get_by_label("Headline figures")).to_contain_text(MONEY)
    phone.get_by_text("parts run on").click()
    running = phone.get_by_role("table", name="Parts that run, soonest due first")
    expect(running.get_by_role("row", name="Chain, left")).to_contain_text(HOURS)
    looked_at(phone)

    phone.get_by_role("link", name="Work plan").click()
    phone.get_by_role("heading", name="Lay-up 1: before it works again").wait_for(timeout=90_000)
    expect(phone.get_by_role("heading", name="Replace bottom rollers 1 and 5, left").first).to_be_visible()
    looked_at(phone)
    answer = phone.request.get(phone.get_by_role("link", name="Quote quote.pdf").get_attribute("href"))
    assert answer.headers["content-type"] == "application/pdf"
    quote = PdfReader(io.BytesIO(answer.body())).pages[0].extract_text()
    assert "Gorse, 20 t excavator" in quote
    assert re.search(r"Replace bottom rollers 1 and 5, left\n(?:.*\n){0,2}?.*?\d+\.\d\d\b", quote), quote


def test_what_was_seen_last_time_stands_at_the_end_until_somebody_says_no(phone, yard, all_saved):
    """The demo yard's invented excavator Gorse was stopped for a severe leak of bottom roller 5, left."""
    phone.goto("/")
    phone.get_by_role("link", name="Gorse, 20 t excavator").click()
    phone.get_by_role("button", name="Begin a walk-round").click()
    phone.get_by_role("link", name="Go round part by part").click()
    stands_at(phone, "Chain, left")
    phone.get_by_text("Still missing:").click()
    stands_at(phone, "Still to do")
    stands = phone.get_by_role("listitem").filter(has_text="it counts until somebody says it is gone")
    expect(stands).to_have_count(2)
    stands = stands.filter(has_text="Bottom roller 5, left: leak, severe on")
    stands.get_by_role("link").click()
    stands_at(phone, "Bottom roller 5, left")
    expect(phone.locator(".seen .previous").filter(visible=True)).to_contain_text("leak, severe")
    phone.get_by_role("group", name="Leak").get_by_role("radio", name="no", exact=True).check()
    all_saved(phone)
    assert SeenRow.objects.get(sheet__state="draft").how_bad == ""
    phone.get_by_text("Still missing:").click()
    stands_at(phone, "Still to do")
    expect(stands).to_have_count(0)
