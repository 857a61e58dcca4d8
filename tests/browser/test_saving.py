"""A walk-round's lines on their way to the desk: changed quickly, and while the desk does not answer."""

import pytest

from pitchline.desk.walkround.models import ReadingRow

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def box(brought, fits):
    """The first box of a walk-round just begun on the invented excavator."""
    brought.get_by_role("button", name="Begin a walk-round").click()
    brought.get_by_role("heading", name="Walk-round", exact=True).wait_for()
    fits(brought)
    return brought.get_by_role("group", name="Link rail height").first.get_by_role("textbox").first


def test_quick_changes_arrive_all_and_in_order(phone, box, all_saved):
    """One line changed again and again, faster than the desk answers: the last writing stands, nothing is set aside."""
    for text in ("105", "105.1", "105.2", "105.3"):
        box.fill(text)
        box.dispatch_event("change")
    all_saved(phone)
    phone.get_by_text("Everything is saved").wait_for()
    row = ReadingRow.objects.get(sheet__state="draft", measurand="rail_height", side="left")
    assert row.typed == ["105.3"]
    assert row.sheet.asides.count() == 0


def test_desk_that_does_not_answer_loses_nothing(phone, box, all_saved):
    """Each request dies on its way until the desk is back; what was typed waits, says so, and arrives."""
    phone.route("**/save/", lambda route: route.abort())
    box.fill("105")
    box.blur()
    phone.get_by_text("1 line not saved yet").wait_for()
    assert not ReadingRow.objects.filter(sheet__state="draft").exists()
    phone.unroute("**/save/")
    phone.evaluate("window.dispatchEvent(new Event('online'))")
    all_saved(phone)
    assert ReadingRow.objects.get(sheet__state="draft").typed == ["105"]
    phone.complaints.clear()


def test_what_is_typed_and_not_sent_yet_is_not_told_to_be_saved(phone, box, all_saved):
    """From the first key on the head of the page counts the line, until the desk has it."""
    box.fill("104")
    box.blur()
    all_saved(phone)
    phone.get_by_text("Everything is saved").wait_for()
    phone.route("**/save/", lambda route: None)  # the desk has not answered yet
    box.press_sequentially("5")
    phone.get_by_text("waiting to be saved").wait_for()
    assert phone.get_by_text("Everything is saved").count() == 0
    phone.unroute("**/save/")
    phone.reload()
    all_saved(phone)
    phone.get_by_text("Everything is saved").wait_for()
