"""A machine entered at the fence, on a phone: nothing but what can be read off it, by visible labels, nothing for axe to find."""

import pytest
from playwright.sync_api import expect

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.machine.models import Machine
from pitchline.trade.ground import GroundClass

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_machine_nobody_knows_the_pitch_of(phone, looked_at):
    phone.goto("/machines/new/")
    phone.get_by_label("Name").fill("At the fence")
    phone.get_by_label("Hours on the meter").fill("6,200")
    phone.get_by_role("button", name="Add").click()
    phone.get_by_role("link", name="Enter the running gear").click()
    phone.get_by_role("button", name="Save the running gear").wait_for()
    looked_at(phone)
    counted = {
        "Joints on one side": "45",
        "Or measured: length over several joints": "812",
        "Shoe or track width": "600",
        "Sprocket teeth": "23",
        "Bottom rollers on one side": "7",
        "Upper rollers on one side": "1",
    }
    for label, text in counted.items():
        phone.get_by_label(label).fill(text)
    expect(phone.get_by_label("slew ring")).to_be_checked()
    phone.get_by_role("button", name="Save the running gear").click()
    phone.get_by_role("link", name="Machine", exact=True).click()
    phone.get_by_role("link", name="Enter the usual ground").wait_for()
    looked_at(phone)
    phone.get_by_role("link", name="Enter the usual ground").click()
    phone.get_by_role("button", name="Keep these hours and grounds").wait_for()
    looked_at(phone)
    for label, hours in (("quiet", "15"), ("usual", "25,5"), ("busy", "40")):
        phone.get_by_label(f"Hours in a {label} week").fill(hours)
    phone.get_by_label("Usual ground so far").select_option("sharp")
    phone.get_by_role("button", name="Keep these hours and grounds").click()
    phone.get_by_text("Kept.", exact=False).first.wait_for()
    expect(phone.get_by_text("Hours a week would give")).to_have_count(0)
    dossier = known_dossier(Machine.objects.get())
    assert (dossier.gear.pitch_m, dossier.gear.pitch_measured) == (0.203, True)
    assert dossier.utilisation.usual == 25.5
    assert dossier.usual_ground is GroundClass.SHARP
    phone.get_by_role("button", name="Undo").click()
    phone.get_by_text("Undone:").wait_for()
    assert known_dossier(Machine.objects.get()).utilisation is None


def test_every_section_of_a_machine_stands_on_a_phone_and_axe_finds_nothing(phone, looked_at):
    """The track's moulded size fills what it is made of, and the desk asks a rubber track for no pins."""
    phone.goto("/machines/new/")
    phone.get_by_label("Name").fill("Small one")
    phone.get_by_label("Hours on the meter").fill("900")
    phone.get_by_role("button", name="Add").click()
    phone.get_by_role("link", name="Enter the running gear").click()
    phone.get_by_label("One-piece rubber track").check()
    phone.get_by_label("Its size as moulded on it").fill("300x52.5x80")
    expect(phone.get_by_label("Links on one side")).to_have_value("80")
    expect(phone.get_by_label("The chain's joints land in")).not_to_be_visible()
    looked_at(phone)
    for label, text in (
        ("Sprocket teeth", "21"),
        ("Bottom rollers on one side", "4"),
        ("Upper rollers on one side", "1"),
    ):
        phone.get_by_label(label).fill(text)
    expect(phone.get_by_text("until you type them")).to_have_count(0)
    phone.get_by_role("button", name="Save the running gear").click()
    phone.get_by_role("link", name="All about it").click()
    looked_at(phone)
    for section in ("Fitted, turned, rebuilt", "Ranges of settings", "Ground", "Kind and name"):
        phone.get_by_role("link", name=f": {section}", exact=False).first.click()
        looked_at(phone)
        phone.go_back()
    phone.get_by_role("link", name=": Ranges of settings").click()
    phone.get_by_label("Least, Sag").fill("10 mm")
    phone.get_by_label("Most, Sag").fill("25 mm")
    phone.get_by_role("button", name="Save", exact=True).click()
    phone.get_by_text("Saved.").wait_for()
    assert known_dossier(Machine.objects.get()).ranges[0].most_m == 0.025
