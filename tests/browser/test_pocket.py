"""The yard in a pocket, over the real desk: loaded once, no network, a killed browser, a whole round, everything there once."""

import json
import random
import re
from io import BytesIO
from uuid import UUID

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import expect

from pocket_phone import Desk, Phone

PHOTOS, MACHINES = 12, 17
PUT = """(box, text) => {
  box.value = text;
  box.dispatchEvent(new Event("input", { bubbles: true }));
  box.dispatchEvent(new Event("change", { bubbles: true }));
}"""
BROUGHT = "SELECT record_id, answer FROM pocket_brought"
COUNTED = {
    "Joints on one side": "45", "New pitch of one joint": "190 mm", "Shoe or track width": "600 mm", "Sprocket teeth": "23",
    "Bottom rollers on one side": "7", "Upper rollers on one side": "2",
}  # fmt: skip
FILL = """() => {
  const fire = (at, kind) => at.dispatchEvent(new Event(kind, { bubbles: true }));
  const written = [];
  for (const line of document.querySelectorAll(".stage .reading")) {
    const box = line.querySelector("[data-box]");
    box.value = line.querySelector(".previous b")?.textContent ?? "20.5";
    fire(box, "input");
    fire(box, "change");
    written.push([line.dataset.line, box.value]);
  }
  const looked = document.querySelector(".stage [data-looked]");
  if (looked) {
    looked.checked = true;
    fire(looked, "change");
    written.push([looked.closest("[data-line]").dataset.line, "looked"]);
  }
  return written;
}"""


def photo(number):
    """A picture like no other, as large as a phone's camera makes them in one direction."""
    picture = Image.new("RGB", (3000, 600), (number * 20, 90, 60))
    ImageDraw.Draw(picture).rectangle((number * 200, 0, number * 200 + 150, 599), fill=(250, number * 15, 10))
    sent = BytesIO()
    picture.save(sent, "JPEG")
    return {"name": "camera.jpg", "mimeType": "image/jpeg", "buffer": sent.getvalue()}


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """The demo yard at a real desk."""
    opened = Desk(tmp_path_factory.mktemp("yard"), "--demo").start()
    opened.judged()  # what a phone carries of a machine nobody judged yet is another page
    yield opened
    opened.stop()


@pytest.fixture
def phone(browser, desk, tmp_path):
    """A phone that carries the yard."""
    carrying = Phone(browser.browser_type, tmp_path / "profile", desk.address)
    carrying.open()
    carrying.carried(MACHINES)
    carrying.kept()
    yield carrying
    carrying.close()
    assert carrying.complaints == []


@pytest.fixture
def dark(phone, desk):
    """The same phone after its browser was killed, no network, no desk."""
    desk.stop()
    phone.kill()
    phone.open(offline=True)
    yield phone
    desk.start()


def heading(page, text):
    """Waits for a view by its heading."""
    expect(page.get_by_role("heading", level=1)).to_have_text(text)


def begin(page, hours):
    """A walk-round from the machine's page."""
    page.get_by_role("link", name="Begin a walk-round").click()
    page.get_by_label("Hours on the meter").fill(hours)
    page.get_by_role("button", name="Begin", exact=True).click()
    page.locator("[data-number]").wait_for()


def go_round(page, photos):
    """Every part: all that is asked of it filled in, photos of the first parts; gives what was written."""
    written, number = {}, page.locator("[data-number]")
    page.get_by_role("button", name="Phone's own keys").click()
    last = int(number.inner_text().split()[-1])
    for n in range(1, last + 1):
        expect(number).to_have_text(f"Part {n} of {last}")
        written |= dict(page.evaluate(FILL))
        if n <= photos:
            page.locator("[name=camera]").set_input_files(photo(n))
            page.get_by_text("Photo kept in this phone").wait_for()
        for _ in range(page.locator(".stage [data-questioned]").count() + 1):  # what is asked about is asked once
            page.locator(".ways-on button").last.click()
    heading(page, "Still to do")
    return written


def test_whole_round_and_a_new_machine_without_a_network_are_there_once(dark, desk, fits):
    page, there_before = dark.page, set(desk.rows(BROUGHT))  # by other phones: other tests
    heading(page, "Yard")
    page.get_by_label("Search").fill("rowan")
    page.get_by_role("link", name="Rowan").click()
    begin(page, "3760")
    fits(page)
    written = go_round(page, PHOTOS)
    page.get_by_role("button", name="Finish").click()
    page.get_by_text("Finished on this phone").wait_for()
    page.get_by_role("link", name="Yard", exact=True).click()
    page.get_by_role("link", name="Add a machine").click()
    page.get_by_label("Name").fill("Thistle, met in the field")
    page.get_by_label("Hours on the meter").fill("1200")
    for label, text in COUNTED.items():
        page.get_by_label(label).first.fill(text)
    page.get_by_role("button", name="Keep this machine").click()
    heading(page, "Thistle, met in the field")
    begin(page, "1200")
    other = dict(page.evaluate(FILL))
    expect(page.locator(".stage").get_by_text("kept in this phone")).to_have_count(len(other))
    kept = dark.waits()
    dark.kill()
    page = dark.open(offline=True)
    assert [{**one, "open": False} for one in dark.waits()] == [{**one, "open": False} for one in kept]
    desk.start()
    dark.context.set_offline(False)
    dark.all_gone()
    brought = [one for one in desk.rows(BROUGHT) if one not in there_before]
    assert sorted(str(UUID(one)) for one, _ in brought) == sorted(one["id"] for one in kept)
    assert {json.loads(answer)["became"] for _, answer in brought} <= {"done", "questioned"}
    (round_one,) = desk.rows("SELECT id, state FROM walkround_sheet WHERE hours_text = '3760'")
    assert round_one[1] == "finished"
    assert desk.rows("SELECT count(*) FROM photos_attachment WHERE sheet_id = ?", round_one[0]) == [(PHOTOS,)]
    assert readings(desk, round_one[0]) == {key: text for key, text in written.items() if text != "looked"}
    (thistle,) = desk.rows("SELECT id FROM machine_machine WHERE name = 'Thistle, met in the field'")
    (round_two,) = desk.rows("SELECT id FROM walkround_sheet WHERE machine_id = ?", thistle[0])
    assert readings(desk, round_two[0]) == {key: text for key, text in other.items() if text != "looked"}


def readings(desk, sheet):
    """What is written as read on a walk-round: the first text of each line."""
    rows = desk.rows(
        "SELECT part, side, position, measurand, typed FROM walkround_readingrow WHERE sheet_id = ?", sheet
    )
    return {
        f"{part}{f'/{side}' if side else ''}{f'/{n}' if n else ''}:{what}": json.loads(typed)[0]
        for part, side, n, what, typed in rows
    }


def test_every_view_is_for_everybody_without_a_network(dark, looked_at):
    """axe-core comes with the tests, not from a network."""
    page = dark.page
    heading(page, "Yard")
    looked_at(page)
    page.get_by_role("link", name="Gorse").click()
    page.get_by_text("Part by part").click()
    looked_at(page)
    page.get_by_role("link", name="Begin a walk-round").click()
    looked_at(page)
    page.get_by_label("Hours on the meter").fill("9100")
    page.get_by_role("button", name="Begin", exact=True).click()
    page.get_by_role("group", name="Number keys").wait_for()
    looked_at(page)
    round_of = page.url.partition("#")[2].split("/")[1]
    for way in (f"r/{round_of}/head", f"r/{round_of}/end", "waiting", "new"):
        page.goto(f"/pocket/#{way}")
        looked_at(page)


def test_who_is_signed_out_is_told_how_much_waits_and_loses_nothing(phone, desk, looked_at):
    """The desk's answer is 401, as at a desk where people sign in; then it knows the phone again, and all goes up."""
    page = phone.page
    page.route("**/pocket/hello", lambda route: route.fulfill(
        status=401, json={"why": "signed out", "href": "/sign-in/", "said": "Nobody is signed in."}
    ))  # fmt: skip
    page.get_by_role("link", name="Heather").click()
    begin(page, "9300")
    page.evaluate(FILL)
    page.get_by_text("kept in this phone").first.wait_for()
    page.goto("/pocket/#waiting")
    page.get_by_role("link", name="Sign in again, 4 things wait").wait_for()
    looked_at(page)
    page.unroute("**/pocket/hello")
    page.get_by_role("button", name="Try now").click()
    phone.all_gone()
    ((sheet,),) = desk.rows("SELECT id FROM walkround_sheet WHERE hours_text = '9300'")
    page.goto(f"/pocket/#r/{UUID(sheet)}/end")
    page.get_by_role("button", name="Finish").click()
    page.get_by_text("at most 24 h a day").wait_for()  # what cannot be is kept at the desk, and put right here
    page.get_by_role("button", name="Go on with it").click()
    heading(page, "Day, hours, who")
    page.get_by_label("Hours on the meter").fill("4100")
    page.get_by_role("button", name="On to the parts").click()
    page.locator("[data-number]").wait_for()
    page.goto(f"/pocket/#r/{UUID(sheet)}/end")
    page.get_by_role("button", name="Finish").click()
    page.get_by_text("Finished, and at the desk.").wait_for()
    assert desk.rows("SELECT state, hours_text FROM walkround_sheet WHERE id = ?", sheet) == [("finished", "4100")]


ROOM = 400_000
"""Bytes a phone is given beside what lies on it: enough for lines, not for a photo that cannot be squeezed."""


def noise():
    """A photo that cannot be squeezed."""
    sent = BytesIO()
    Image.frombytes("L", (1600, 1200), random.Random(15).randbytes(1600 * 1200)).save(sent, "JPEG", quality=95)
    return {"name": "camera.jpg", "mimeType": "image/jpeg", "buffer": sent.getvalue()}


def test_full_phone_keeps_what_it_has_two_tabs_are_one_and_a_file_brings_it_in(
    phone, desk, browser, tmp_path, looked_at
):
    phone.close()
    page = phone.open(offline=True)
    heading(page, "Yard")
    tools, about = phone.context.new_cdp_session(page), {"origin": desk.address}
    used = int(tools.send("Storage.getUsageAndQuota", about)["usage"])
    # before the browser looks how much is left
    tools.send("Storage.overrideQuotaForOrigin", about | {"quotaSize": used + ROOM})
    page.get_by_role("link", name="Elder").click()
    begin(page, "3335")
    written = dict(page.evaluate(FILL))
    expect(page.locator(".stage").get_by_text("kept in this phone")).to_have_count(len(written))
    kept = phone.waits()
    expect(page).to_have_title(re.compile(rf"^\({len(kept)}\) "))
    other = phone.context.new_page()  # on the same part: it shows what the first tab wrote, and writes on
    key = [key for key, text in written.items() if text != "looked"][
        -1
    ]  # no field with the focus: that is let alone
    other.goto(f"{page.url}/{key.partition(':')[0]}")
    box = f'[name="{key}~1"]'
    expect(other.locator(box)).to_have_value(written[key])
    other.locator(box).evaluate(PUT, "61.5")
    expect(page.locator(box)).to_have_value("61.5")
    other.close()
    page.locator("[name=camera]").set_input_files(noise())
    page.get_by_text("Not kept: this phone is full. What was kept before is safe.").wait_for()
    looked_at(page)
    assert [one["id"] for one in phone.waits()] == [one["id"] for one in kept]
    tools.send("Storage.overrideQuotaForOrigin", about)
    page.locator("[name=camera]").set_input_files(photo(4))
    page.get_by_text("Photo kept in this phone").wait_for()
    kept = phone.waits()
    page.goto("/pocket/#waiting")
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as a file").click()
    saved.value.save_as(tmp_path / "waits.jsonl")
    at_desk = browser.new_page(base_url=desk.address)
    at_desk.goto("/pocket/brought/")
    at_desk.get_by_label("The file").set_input_files(tmp_path / "waits.jsonl")
    at_desk.get_by_role("button", name="Take it in").last.click()
    at_desk.get_by_text(f"From the file: {len(kept)} entries in").wait_for()
    at_desk.close()
    phone.context.set_offline(False)  # and the phone meets the desk after all
    phone.all_gone()
    ours = {one["id"] for one in kept}
    brought = [str(UUID(one)) for one, _ in desk.rows(BROUGHT) if str(UUID(one)) in ours]
    assert sorted(brought) == sorted(ours)
    ((sheet,),) = desk.rows("SELECT id FROM walkround_sheet WHERE hours_text = '3335'")
    assert readings(desk, sheet) == {one: text for one, text in written.items() if text != "looked"} | {
        key: "61.5"
    }
    assert desk.rows("SELECT count(*) FROM photos_attachment WHERE sheet_id = ?", sheet) == [(1,)]


def test_worker_that_never_comes_holds_up_nothing(browser, desk):
    """Without a worker the app keeps nothing for a place without a signal, and still fetches and sends."""
    alone = browser.new_context(service_workers="block")
    page = alone.new_page()
    page.goto(f"{desk.address}/pocket/#waiting")
    expect(page.get_by_text("Everything has reached the desk.")).to_be_visible(timeout=60_000)
    alone.close()
