"""A machine entered at the fence, on a phone: nothing but what can be read off it, by visible labels, nothing for axe to find."""

import pytest

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.machine.models import Machine
from pitchline.trade.ground import GroundClass

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def seen(axe):
    """A check of a page: nothing beyond its right edge, nothing for axe to find."""

    def make(page):
        page.wait_for_load_state()
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"), (
            page.url
        )
        axe(page)

    return make


def test_a_machine_nobody_knows_the_pitch_of(phone, seen):
    phone.goto("/machines/new/")
    phone.get_by_label("Name").fill("At the fence")
    phone.get_by_label("Hours on the meter").fill("6,200")
    phone.get_by_role("button", name="Add").click()
    phone.get_by_role("link", name="Enter the running gear").click()
    seen(phone)
    counted = {
        "Joints on one side": "45",
        "Or measured: length over several joints": "812",
        "Shoe or track width": "600",
        "Sprocket teeth": "23",
        "Bottom rollers": "7",
        "Upper rollers": "1",
    }
    for label, text in counted.items():
        phone.get_by_label(label).fill(text)
    assert phone.get_by_label("slew ring").is_checked()
    phone.get_by_role("button", name="Save the running gear").click()
    phone.get_by_role("link", name="Machine", exact=True).click()
    seen(phone)
    phone.get_by_role("link", name="Enter the usual ground").click()
    seen(phone)
    for label, hours in (("quiet", "15"), ("usual", "25,5"), ("busy", "40")):
        phone.get_by_label(f"Hours in a {label} week").fill(hours)
    phone.get_by_label("Usual ground so far").select_option("heavy")
    phone.get_by_role("button", name="Keep these hours and grounds").click()
    phone.get_by_text("Kept.", exact=False).first.wait_for()
    assert not phone.get_by_text("Hours a week would give").count()
    dossier = known_dossier(Machine.objects.get())
    assert (dossier.gear.pitch_m, dossier.gear.pitch_measured) == (0.203, True)
    assert dossier.utilisation.usual == 25.5
    assert dossier.usual_ground is GroundClass.HEAVY
    phone.get_by_role("button", name="Undo").click()
    phone.get_by_text("Undone:").wait_for()
    assert known_dossier(Machine.objects.get()).utilisation is None
