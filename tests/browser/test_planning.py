"""Outlook, work plan and settings on a phone-sized screen, by visible labels and keys; axe, light and dark."""

import re

import pytest
from django.db import transaction
from playwright.sync_api import expect

from pitchline.desk.machine.judging import judge_waiting
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.prices import enter_prices
from pitchline.desk.workplan.models import DecidedPlan
from pitchline.desk.yard.importing import write_machine
from pitchline.exchange.machine_file import machine_json
from pitchline.exchange.prices_file import write_prices

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def there(live_server, phone, dossier, prices, tmp_path):
    """The invented excavator, judged and priced, on the phone."""
    actor = local_actor()
    write_prices(prices, tmp_path / "prices.csv")
    enter_prices(actor, name="prices.csv", content=(tmp_path / "prices.csv").read_bytes())
    with transaction.atomic():
        write_machine(actor, machine_json(dossier), dossier)
    judge_waiting()
    phone.goto("/")
    phone.get_by_role("link", name="Test machine").click()
    phone.get_by_role("button", name="Begin a walk-round").wait_for()
    return phone


def test_outlook_moves_in_place_and_its_address_can_be_sent_on(there, looked_at):
    there.get_by_role("link", name="What if").click()
    there.get_by_text("Change a figure above to see what moves").wait_for()
    there.wait_for_load_state()
    there.get_by_label("Middling").fill("0")
    there.get_by_label("Harsh").fill("100")
    there.get_by_label("Harsh").blur()
    there.get_by_text("hours move on").wait_for()
    there.wait_for_url("**harsh=100**")
    looked_at(there)
    sent = there.url
    there.goto("/")
    there.goto(sent)
    there.get_by_text("hours move on").wait_for()
    there.get_by_label("Why these hours and grounds").fill("a quarry from May on")
    there.get_by_role("button", name="Keep these hours and grounds").click()
    there.get_by_text("Kept; the machine is judged anew.").wait_for()
    expect(there.get_by_label("Harsh")).to_have_value("100")


def test_share_that_makes_no_whole_is_told_in_place(there, looked_at):
    there.get_by_role("link", name="What if").click()
    there.get_by_text("Change a figure above").wait_for()
    there.wait_for_load_state()
    there.get_by_label("Harsh").fill("50")
    there.get_by_label("Harsh").blur()
    there.locator("#wrong-ground").get_by_text("150 % together").wait_for()
    looked_at(there)
    there.complaints.clear()  # the browser reports the answer 400


def test_first_plan_is_worked_out_unasked_moved_by_keys_and_kept(there, looked_at):
    there.get_by_role("link", name="Work plan").click()
    there.get_by_role("heading", name="Move a lay-up").wait_for(timeout=90_000)
    looked_at(there)
    stop = there.get_by_role("slider", name=re.compile("^Lay-up 1"))
    before = int(stop.get_attribute("aria-valuenow"))
    stop.focus()
    for _ in range(3):
        there.keyboard.press("ArrowRight")
    there.get_by_text(re.compile(r"Lay-up 1 in .* the plan costs .* than the cheapest")).wait_for()
    expect(stop).to_have_attribute("aria-valuenow", str(before + 3))
    there.get_by_role("button", name="Lay-up 1 earlier").click()
    expect(stop).to_have_attribute("aria-valuenow", str(before + 2))
    there.get_by_label("Why it is planned so").fill("the hall is free then")
    there.get_by_role("button", name="Keep this plan").click()
    there.get_by_role("heading", name="The plan kept").wait_for()
    assert DecidedPlan.objects.get().steps[0] == before + 2
    looked_at(there)


def test_stop_is_dragged_by_pointer(there, looked_at):
    there.goto(there.url + "plan/?horizon=5000")
    there.get_by_text("Not worked out yet").wait_for()
    looked_at(there)
    there.get_by_role("button", name="Work the plan out").click()
    stop = there.get_by_role("slider", name=re.compile("^Lay-up 1"))
    stop.wait_for(timeout=90_000)
    before = int(stop.get_attribute("aria-valuenow"))
    stop.scroll_into_view_if_needed()
    box = stop.bounding_box()
    there.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    there.mouse.down()
    there.mouse.move(box["x"] + 60, box["y"] + box["height"] / 2, steps=5)
    there.mouse.up()
    expect(stop).not_to_have_attribute("aria-valuenow", str(before))
    assert int(stop.get_attribute("aria-valuenow")) > before
    there.get_by_text(re.compile(r"Lay-up 1 (in .* the plan costs|cannot go)")).wait_for()


def test_settings_are_saved_and_pages_follow(there, looked_at):
    machine = there.url
    there.get_by_text("3,000").first.wait_for()
    there.get_by_role("link", name="Settings").click()
    there.get_by_role("button", name="Save the settings").wait_for()
    looked_at(there)
    there.get_by_label("Numbers look like").select_option(label="1.234,5")
    there.get_by_label("Short name, tool 1").fill("calliper_2")
    there.get_by_label("Smallest step, tool 1").fill("0.1")
    there.get_by_label("Permitted error, tool 1").fill("0.3 mm")
    there.get_by_label("Spread of one reading, tool 1").fill("0.2")
    there.get_by_role("button", name="Save the settings").click()
    there.get_by_text("Saved. Every machine is judged anew").wait_for()
    there.get_by_role("button", name="Switch the feed on").click()
    there.get_by_label("Address of the whole yard").wait_for()
    looked_at(there)
    address = there.get_by_label("Address of the whole yard").input_value()
    assert there.request.get(address).text().startswith("BEGIN:VCALENDAR")
    there.goto(machine)
    there.get_by_text("3.000").first.wait_for()
