"""Ground fit on a phone: asked by visible labels, by keyboard, without scripts, and by an address somebody sent."""

import pytest
from playwright.sync_api import expect

from pitchline.desk.people.middleware import local_actor
from pitchline.desk.yard.importing import write_machine
from pitchline.exchange.machine_file import machine_json

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def machine(dossier):
    """The invented excavator, in the yard."""
    return write_machine(local_actor(), machine_json(dossier), dossier)


def test_a_ground_is_asked_about_and_the_way_back_leads_back(phone, machine, fits):
    phone.goto(f"/machines/{machine.pk}/ground/")
    fits(phone)
    phone.get_by_text("Describe the ground, the load, the shoes").focus()
    phone.keyboard.press("Enter")
    phone.get_by_label("Ground", exact=True).select_option("wet heavy clay")
    phone.get_by_text("What was tried on it").click()
    phone.get_by_label("Hand vane, kPa").fill("18,5")
    phone.get_by_text("What it does there").click()
    phone.get_by_label("Slope, degrees").fill("4")
    phone.get_by_label("Slope, degrees").press("Enter")
    phone.get_by_text("What was measured, listed, assumed").click()
    phone.get_by_text("(hand vane 18.5 kPa)").wait_for()
    expect(phone.get_by_role("main")).to_contain_text("on 4 degrees")
    fits(phone)
    sent = phone.url
    phone.go_back()
    phone.get_by_text("Describe the ground, the load, the shoes").wait_for()
    phone.goto(sent)
    phone.get_by_text("Ask about another ground").click()
    expect(phone.get_by_label("Hand vane, kPa")).to_have_value("18,5")


@pytest.mark.parametrize("asked", ["", "?soil=peat&soil2=hard+rock&shoes=500,900", "?soil=mud"])
def test_rules_of_accessibility_hold(opened, machine, looked_at, asked):
    page = opened(1280, 900)
    page.goto(f"/machines/{machine.pk}/ground/{asked}")
    if "mud" not in asked:  # with a problem the form is open already
        page.get_by_text("Ask about another" if asked else "Describe the ground").click()
    looked_at(page)
    page.complaints[:] = [one for one in page.complaints if "400" not in one]  # of mud


def test_it_works_without_scripts(browser, live_server, machine):
    context = browser.new_context(
        viewport={"width": 360, "height": 740}, base_url=live_server.url, java_script_enabled=False
    )
    page = context.new_page()
    page.goto(f"/machines/{machine.pk}/ground/")
    page.get_by_text("Describe the ground, the load, the shoes").click()
    page.get_by_label("Ground", exact=True).select_option("hard rock")
    page.get_by_role("button", name="Show whether it suits").click()
    page.get_by_text("Suits on hard rock.").wait_for()
    context.close()
