"""A job is written down as done on a phone, by visible labels: the verdict follows, the cost stands, and it is undone."""

from dataclasses import replace

import pytest
from django.db import transaction
from playwright.sync_api import expect

from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.prices import enter_prices
from pitchline.desk.yard.importing import write_machine
from pitchline.exchange.machine_file import machine_json
from pitchline.exchange.prices_file import write_prices
from pitchline.trade.findings import Finding, FindingKind, Severity
from pitchline.trade.parts import PartKind, Place, Side

pytestmark = pytest.mark.django_db(transaction=True)
ROLLER = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 3)
JOB = "Done: Replace bottom roller 3, left"


@pytest.fixture
def there(live_server, phone, dossier, prices, tmp_path):
    """The invented excavator with a leaking roller, judged and priced, on the phone."""
    actor = local_actor()
    write_prices(prices, tmp_path / "prices.csv")
    enter_prices(actor, name="prices.csv", content=(tmp_path / "prices.csv").read_bytes())
    last = dossier.walk_rounds[-1]
    looked = tuple(place for place in last.looked_over if place != ROLLER)
    last = replace(last, findings=(Finding(ROLLER, FindingKind.LEAK, Severity.SEVERE),), looked_over=looked)
    machine = replace(dossier, walk_rounds=(dossier.walk_rounds[0], last))
    with transaction.atomic():
        write_machine(actor, machine_json(machine), machine)
    judge_waiting()
    phone.goto("/")
    phone.get_by_role("link", name="Test machine").click()
    return phone


def test_a_leaking_roller_is_replaced_and_written_down(there, looked_at):
    there.get_by_role("link", name=JOB).click()
    there.get_by_role("heading", name="Write down work that was done").wait_for()
    looked_at(there)
    expect(there.get_by_label("Hours on the meter")).to_have_value("3343")
    there.get_by_label("Day").fill("2027-01-15")
    there.get_by_role("button", name="Write down").click()
    expect(there.get_by_text("Type the day it was done; write it down when it is.")).to_be_visible()
    looked_at(there)
    there.complaints.clear()  # the browser itself tells that the form was refused
    there.get_by_label("Day").fill("2026-11-26")
    there.get_by_label("Who").fill("A fitter")
    there.get_by_label("Labour, EUR").fill("120")
    there.get_by_label("Parts, EUR").fill("260")
    expect(there.get_by_label("Bottom roller 3, left: leak, severe")).to_be_checked()
    there.get_by_role("button", name="Write down").click()
    there.get_by_role("heading", name="Work done").wait_for()
    expect(
        there.get_by_text("Written down: bottom roller 3, left: fitted new at 3,343 h on 26 Nov 2026.")
    ).to_be_visible()
    expect(there.get_by_text("EUR 380").first).to_be_visible()
    expect(there.get_by_role("button", name="Begin a walk-round")).to_be_visible()
    looked_at(there)
    there.get_by_role("link", name="Machine", exact=True).click()
    there.get_by_role("heading", name="What to do").wait_for()
    expect(there.get_by_role("link", name=JOB)).to_have_count(0)
    there.go_back()
    there.get_by_role("heading", name="Left open").wait_for()


def test_undo_brings_the_job_back(there):
    there.get_by_role("link", name=JOB).click()
    there.get_by_role("button", name="Write down").click()
    there.get_by_role("button", name="Undo").click()
    there.get_by_text("Undone: the work done on Test machine is as it was.").wait_for()
    expect(there.get_by_text("Nothing is written down yet.")).to_be_visible()
    there.get_by_role("link", name="Machine", exact=True).click()
    expect(there.get_by_role("link", name=JOB)).to_have_count(1)
