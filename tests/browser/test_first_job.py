"""The whole job on a phone-sized screen, by visible labels only."""

import io
import re

import pytest
from pypdf import PdfReader

from pitchline.desk.walkround.models import ReadingRow
from pitchline.exchange.machine_file import machine_json

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def in_the_yard(live_server, dossier, phone, tmp_path):
    """The invented excavator, brought in by hand."""
    (tmp_path / "machine.json").write_text(machine_json(dossier), encoding="utf-8")
    phone.goto("/")
    phone.get_by_role("link", name="Bring in files").click()
    phone.get_by_label("Files").set_input_files(tmp_path / "machine.json")
    phone.get_by_role("button", name="Bring them in").click()
    phone.get_by_text("Test machine added.").wait_for()


def no_sideways_scroll(page):
    return page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_find_walk_round_finish_and_paper(phone, in_the_yard):
    phone.get_by_label("Search").fill("test mach")
    phone.get_by_role("link", name="Test machine").click()
    assert no_sideways_scroll(phone)
    phone.get_by_role("button", name="Begin a walk-round").click()
    phone.get_by_label("Hours on the meter").fill("3500")
    phone.get_by_label("Who goes round").fill("A fitter")
    phone.get_by_label("Who goes round").blur()
    phone.get_by_text("Everything is saved").wait_for()
    phone.get_by_role("link", name="Go round part by part").click()
    pitch = phone.get_by_role("group", name="Pitch per joint")
    pitch.get_by_label("1", exact=False).first.fill("810")
    pitch.get_by_label("over joints").fill("4")
    pitch.get_by_label("with").select_option(label="steel tape")
    phone.get_by_text("Everything is saved").wait_for()
    assert no_sideways_scroll(phone)
    phone.get_by_role("button", name="Skip part").click()
    forward = phone.get_by_role("group", name="Bush outside diameter, forward face")
    forward.get_by_role("textbox").first.fill("57.6")
    phone.get_by_role("group", name="Cracked").get_by_role("radio", name="severe").check()
    phone.get_by_text("Everything is saved").wait_for()
    phone.get_by_role("link", name="Walk-round", exact=True).click()
    phone.get_by_role("button", name="Finish and judge").click()
    phone.get_by_text("Walk-round finished, machine judged.").wait_for()
    assert phone.get_by_text("Do not work it before this is done").first.is_visible()
    link = phone.get_by_role("link", name=re.compile("^Verdict verdict"))
    paper = phone.request.get(str(link.get_attribute("href")))
    assert paper.ok
    assert "Test machine" in PdfReader(io.BytesIO(paper.body())).pages[0].extract_text()


def test_quick_changes_arrive_all_and_in_order(phone, in_the_yard):
    """One line changed again and again, faster than the desk answers: the last writing stands, nothing is set aside."""
    phone.get_by_role("link", name="Test machine").click()
    phone.get_by_role("button", name="Begin a walk-round").click()
    box = phone.get_by_role("group", name="Link rail height").first.get_by_role("textbox").first
    for text in ("105", "105.1", "105.2", "105.3"):
        box.fill(text)
        box.dispatch_event("change")
    phone.get_by_text("Everything is saved").wait_for()
    phone.wait_for_function(
        "() => document.querySelector('[data-connection]').textContent === 'Everything is saved'"
    )
    row = ReadingRow.objects.get(sheet__state="draft", measurand="rail_height", side="left")
    assert row.typed == ["105.3"]
    assert row.sheet.asides.count() == 0


def test_desk_that_does_not_answer_loses_nothing(phone, in_the_yard):
    """Each request dies on its way until the desk is back; what was typed waits, says so, and arrives."""
    phone.get_by_role("link", name="Test machine").click()
    phone.get_by_role("button", name="Begin a walk-round").click()
    phone.route("**/save/", lambda route: route.abort())
    box = phone.get_by_role("group", name="Link rail height").first.get_by_role("textbox").first
    box.fill("105")
    box.blur()
    phone.get_by_text("1 line not saved yet").wait_for()
    assert not ReadingRow.objects.filter(sheet__state="draft").exists()
    phone.unroute("**/save/")
    phone.evaluate("window.dispatchEvent(new Event('online'))")
    phone.get_by_text("Everything is saved").wait_for()
    assert ReadingRow.objects.get(sheet__state="draft").typed == ["105"]
    phone.complaints.clear()


def test_finding_a_part_by_keyboard_alone(phone, in_the_yard):
    phone.get_by_role("link", name="Test machine").focus()
    phone.keyboard.press("Enter")
    phone.get_by_text("parts run on").click()
    phone.get_by_role("link", name="Bushes, left").last.focus()
    phone.keyboard.press("Enter")
    phone.get_by_role("heading", name="Bushes, left").first.wait_for()
    assert no_sideways_scroll(phone)
    phone.go_back()
    phone.get_by_role("heading", name="Test machine").first.wait_for()
