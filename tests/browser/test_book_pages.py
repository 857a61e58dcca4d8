"""Limits, the gear list and a part's page on a phone: by visible labels, no sideways scrolling, nothing for axe to find."""

import re

import pytest

from pitchline.desk.gearbook.models import Fitting

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def limits_page(brought):
    """The invented excavator's limits."""
    brought.get_by_role("link", name="Limits", exact=True).click()
    brought.get_by_role("button", name="Save sizes and limits").wait_for()
    return brought


def test_from_a_machine_into_the_book_and_back_by_labels_only(limits_page, looked_at, tmp_path):
    page = limits_page
    looked_at(page)
    table = "machine;T1\nunit;mm\n\npart;quantity;new;limit;source\nlink rail;link rail height;112;99;manual\n"
    (tmp_path / "limits.csv").write_text(table, encoding="utf-8")
    page.get_by_label("A filled table").set_input_files(tmp_path / "limits.csv")
    page.get_by_role("button", name="Show what would change").click()
    page.get_by_text("1 line would change").wait_for()
    looked_at(page)
    page.get_by_role("button", name="Save sizes and limits").click()
    page.get_by_text("Sizes and limits saved.").wait_for()
    page.get_by_role("link", name="Limits", exact=True).click()
    page.get_by_label("Name in the gear list").fill("Invented steel")
    page.get_by_role("button", name="Save for other machines").click()
    page.get_by_text("In the gear list now").wait_for()
    looked_at(page)
    page.get_by_role("link", name="Change limits").click()
    page.get_by_text("Link rail", exact=True).click()  # folded on a phone, as nothing is lacking in it
    page.get_by_label("Limit, link rail height of link rail").wait_for()
    looked_at(page)
    page.get_by_label("Limit, link rail height of link rail").fill("98 mm")
    page.get_by_role("button", name="Save sizes and limits").click()
    page.get_by_text("1 machine has an older version").wait_for()
    page.get_by_role("button", name="Show what would change on them").click()
    page.get_by_text("limit 98 mm").wait_for()
    looked_at(page)
    page.get_by_role("button", name="Give it to 1 machine").click()
    page.get_by_text("Given to 1 machine.").wait_for()
    page.get_by_role("link", name="Undo", exact=True).click()
    page.get_by_role("button", name="Undo it").wait_for()
    looked_at(page)
    page.get_by_role("button", name="Undo it").click()
    page.get_by_text("1 machine as before.").wait_for()
    assert Fitting.objects.filter(undone_at=None).count() == 1
    page.get_by_role("link", name="Gear list", exact=True).click()
    page.get_by_role("link", name="Enter a running gear").wait_for()
    looked_at(page)
    page.get_by_role("link", name="Enter a running gear").click()
    page.get_by_role("link", name="Enter a running gear").wait_for(state="detached")
    looked_at(page)


def test_empty_book(phone, looked_at):
    phone.goto("/gear-list/")
    looked_at(phone)


def test_reading_corrected_on_its_part(limits_page, looked_at):
    page = limits_page
    page.get_by_role("link", name="Machine", exact=True).click()
    page.get_by_text(re.compile("parts run on")).click()
    page.get_by_role("rowheader").get_by_role("link", name="Link rail, left").click()
    page.get_by_text(re.compile(r"^\s*Correct it")).first.click()
    page.get_by_label("Reading 1").first.fill("105")
    page.get_by_label("Why is it changed").first.fill("read the other rail")
    page.get_by_role("button", name="Correct", exact=True).first.click()
    page.get_by_text("corrected it: read the other rail").wait_for()
    looked_at(page)
