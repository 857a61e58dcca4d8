"""Once round a whole machine beside it: a phone, the desk's own keys, by visible labels only; then without a signal."""

import json
import re
import time
import uuid
from io import BytesIO

import pytest
from django.test import Client
from PIL import Image
from playwright.sync_api import expect

from pitchline.desk.photos.models import Attachment
from pitchline.desk.walkround.models import ReadingRow, SeenRow, Sheet
from pressed import key, onward, press, stands_at

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def begun(brought, fits, all_saved):
    """A walk-round begun by hand on the invented excavator, at its first part."""
    brought.get_by_role("button", name="Begin a walk-round").click()
    stands_at(brought, "Walk-round")
    fits(brought)
    brought.get_by_label("Hours on the meter").fill("3600")
    brought.get_by_role("link", name="Go round part by part").click()
    brought.get_by_role("group", name="Number keys").wait_for()
    all_saved(brought)
    return brought


@pytest.fixture
def walking(phone, in_yard):
    """The same, begun for the phone: by hand each test would wait for the machine's page and the whole walk-round's too."""
    desk, sheet_id = Client(), uuid.uuid4()
    assert desk.post(f"/machines/{in_yard.pk}/begin/", {"sheet_id": sheet_id, "another": "1"}).status_code == 302
    assert Sheet.objects.filter(pk=sheet_id).update(hours_text="3600") == 1
    phone.goto(f"/walk-rounds/{sheet_id}/at/chain/left/")
    phone.locator("[data-keys]").wait_for()
    return phone


def heading(page):
    return page.locator("h1:visible").inner_text().replace("\u00a0", " ")


def sizes(walk_round):
    """What a fitter would read at each place, in millimetres, worn by 45 %."""
    return {
        f"{one.place.key}:{one.measurand.value}": (f"{one.repeats_m[0] * 1000:.1f}", one.joints)
        for one in walk_round("2026-11-25", 3600.0, 0.45).readings
    }


def written_here():
    """What is written as seen on the walk-round under way."""
    return list(SeenRow.objects.filter(sheet__state="draft"))


def line_shown(page):
    """The line the keys type into."""
    return page.evaluate("document.activeElement.closest('[data-line]')?.dataset.line ?? ''")


def test_whole_machine_with_the_desks_own_keys(begun, walk_round, dossier, all_saved):
    """Every part once, in walking order: read where the fitter can, told where not, a leak seen; then finished."""
    read, page, visited = sizes(walk_round), begun, []
    number = len(dossier.gear.places())
    leak_told = False
    for _ in range(number):
        visited.append(heading(page))
        while line := line_shown(page):
            text, joints = read.get(line, ("", 1))
            if not text:
                key(page, "Cannot be reached")
                page.locator("[data-keys]:not([aria-busy])").wait_for(state="attached")
                continue
            press(page, text)
            onward(page)
            if joints > 1:
                press(page, str(joints))
                onward(page)
        if heading(page) == "Bottom roller 3, left" and not leak_told:
            page.get_by_role("group", name="Leak").get_by_role("radio", name="slight").check()
            leak_told = True
            onward(page)
        else:
            key(page, "Nothing seen, next")
    assert len(set(visited)) == number
    stands_at(page, "Still to do")
    all_saved(page)
    page.get_by_text("0 not read · 0 could not be saved · 0 questioned. Parts: 0 not looked over").wait_for()
    page.get_by_role("button", name="Finish and judge").click()
    page.get_by_text("Walk-round finished, machine judged.").wait_for()
    sheet = Sheet.objects.get(service_h=3600)
    rows = {
        f"{row.part}/{row.side}{f'/{row.position}' if row.position else ''}:{row.measurand}": row
        for row in sheet.readingrows.all()
    }
    assert {name: row.typed for name, row in rows.items() if row.typed} == {
        name: [text] for name, (text, _) in read.items()
    }
    assert {row.not_read_because for name, row in rows.items() if name not in read} == {"cannot be reached"}
    assert SeenRow.objects.exclude(kind="nothing").get(sheet=sheet).kind == "leak"
    assert SeenRow.objects.filter(sheet=sheet, kind="nothing").count() == number - 1
    page.get_by_role("link", name="Take it up again").click()
    page.get_by_label("Why is it taken up again").fill("one roller forgotten")
    page.get_by_role("button", name="Take it up again").click()
    page.get_by_text("Taken up again as a draft").wait_for()
    assert Sheet.objects.get(pk=sheet.pk).state == "draft"


def test_keys_are_large_and_the_phones_keyboard_stays_away(walking):
    """56 px, the size asked for a gloved thumb; `inputmode=none` is what keeps the phone's own keyboard shut (HTML, 6.8.7)."""
    keys = walking.get_by_role("group", name="Number keys").get_by_role("button")
    boxes = [one.bounding_box() for one in keys.all() if one.is_visible()]
    assert len(boxes) >= 16
    assert all(box["width"] >= 56 and box["height"] >= 56 for box in boxes)
    assert walking.evaluate("document.activeElement.inputMode") == "none"
    assert walking.evaluate("document.documentElement.scrollWidth <= 360")
    key(walking, "Phone's own keys")
    walking.wait_for_function("document.activeElement.inputMode === 'decimal'")


def test_repeats_show_their_spread_and_a_slip_is_asked_about(walking):
    """Three readings of one place; 0.4 apart is 57.8 less 57.4. Thicker than new is said, never refused."""
    walking.get_by_text("All parts").click()
    walking.get_by_role("link", name="Bushes, left").last.click()
    walking.get_by_label("Bush outside diameter, forward face, Bushes, left, reading 1").focus()
    for text in ("57.6", "57.8", "57.4"):
        press(walking, text)
        key(walking, "Another reading")
    walking.get_by_text("3 readings, 0.4 mm apart").wait_for()
    walking.get_by_role("link", name="Link rail, left").last.click()
    walking.get_by_label("link rail height, Link rail, left, reading 1").focus()
    press(walking, "118")
    onward(walking)
    walking.get_by_text("118 mm is too large").wait_for()
    assert ReadingRow.objects.get(measurand="rail_height", sheet__state="draft").typed == ["118"]


def test_without_a_signal_nothing_is_lost_even_over_a_reload(walking, all_saved):
    """The desk is gone for three parts, then the page is closed; the phone kept it all and sends it later, once."""
    walking.context.route("**/save/", lambda route: route.abort())
    walking.get_by_label("Pitch, length over several joints, Chain, left, reading 1").focus()
    press(walking, "810")
    walking.get_by_text("waiting to be saved").wait_for()
    onward(walking)
    press(walking, "4")
    walking.get_by_text("not saved yet, kept in this phone").wait_for()
    key(walking, "Skip part")
    press(walking, "57.6")
    key(walking, "Skip part")
    stands_at(walking, "Link rail, left")
    press(walking, "105.5")
    assert not ReadingRow.objects.filter(sheet__state="draft").exists()
    kept = walking.evaluate("JSON.stringify(Object.entries(localStorage))")
    assert any("105.5" in text for _, text in json.loads(kept))
    address = walking.url
    walking.goto("about:blank")
    walking.context.unroute("**/save/")
    walking.goto(address)
    all_saved(walking)
    found = {row.measurand: row.typed for row in ReadingRow.objects.filter(sheet__state="draft")}
    assert found == {"pitch": ["810"], "bush_od_forward": ["57.6"], "rail_height": ["105.5"]}
    assert {row.version for row in ReadingRow.objects.filter(sheet__state="draft")} == {1}
    walking.complaints.clear()


def test_round_by_keyboard_alone_on_a_desk_and_by_the_back_button(walking):
    walking.set_viewport_size({"width": 1280, "height": 900})
    walking.reload()
    expect(walking.get_by_role("group", name="Number keys")).to_have_count(0)
    walking.get_by_label("Pitch, length over several joints, Chain, left, reading 1").focus()
    walking.keyboard.type("810")
    walking.keyboard.press("Enter")
    walking.keyboard.type("4")
    walking.get_by_text("saved", exact=True).wait_for()
    walking.get_by_text("Everything is saved").wait_for()
    walking.get_by_role("button", name="Save and on to Bushes, left").focus()
    walking.keyboard.press("Enter")
    stands_at(walking, "Bushes, left")
    walking.go_back()
    walking.get_by_role("heading", name="Chain, left").wait_for()
    walking.get_by_role("button", name="Save and on to Bushes, left").wait_for()


def test_axe_finds_nothing_where_figures_are_refused_or_questioned(walking, axe):
    key(walking, "Phone's own keys")
    walking.get_by_role("link", name="Walk-round", exact=True).click()
    walking.get_by_text("What is seen on it").first.click()
    walking.get_by_label("Hours on the meter").fill("2000")
    walking.get_by_label("Who", exact=True).focus()
    walking.get_by_text("1 figure could not be saved").wait_for()
    axe(walking)
    walking.get_by_role("link", name="Go round part by part").click()
    walking.get_by_role("button", name="Number keys").wait_for()
    walking.get_by_label("Pitch, length over several joints, Chain, left, reading 1").fill("81")
    walking.get_by_role("button", name="Save and on to Bushes, left").click()
    walking.get_by_role("button", name="Put 810.0 mm").wait_for()
    axe(walking)
    walking.get_by_role("link", name="Still missing").click()
    walking.get_by_role("button", name="Finish and judge").wait_for()
    axe(walking)


def test_what_the_desk_refuses_stays_typed_until_it_is_let_go(walking):
    """The walk-round was put away at the desk meanwhile: the phone says so beside the line and keeps what was typed."""
    Sheet.objects.filter(state="draft").update(state="put away")
    walking.get_by_label("Pitch, length over several joints, Chain, left, reading 1").focus()
    press(walking, "810")
    walking.get_by_text("Not saved:").first.wait_for()
    expect(walking.get_by_label("Pitch, length over several joints, Chain, left, reading 1")).to_have_value("810")
    assert walking.evaluate("Object.values(localStorage).some(text => text.includes('810'))")
    walking.get_by_role("button", name="Drop it").click()
    walking.get_by_text("This walk-round is put away").wait_for()
    assert not walking.evaluate("Object.values(localStorage).some(text => text.includes('810'))")
    walking.complaints.clear()


def part(page, name):
    """Straight to a part, from the list of all."""
    link = page.locator(".all-parts").get_by_role("link", name=name)
    if not link.is_visible():
        page.get_by_text("All parts").click()
    link.click()
    stands_at(page, name)


IN_VIEW = """one => {
  const box = one.getBoundingClientRect();
  const high = document.querySelector("[data-here-bar]").getBoundingClientRect().bottom;
  const low = document.querySelector("[data-keys]:not([hidden])")?.getBoundingClientRect().top ?? innerHeight;
  return box.top >= high - 1 && box.bottom <= low + 1;
}"""


def comes_into_view(page, locator):
    """All of it is, sooner or later, between the bar at the top and what is fixed at the bottom."""
    locator.wait_for()
    page.wait_for_function(IN_VIEW, arg=locator.element_handle())


def test_questioned_reading_is_asked_about_where_it_was_typed(walking):
    """576 for 57.6: Next stays, the question and its answers are in view, and one press puts what was meant."""
    part(walking, "Bushes, left")
    press(walking, "576")
    onward(walking)
    stands_at(walking, "Bushes, left")
    line = walking.get_by_role("group", name="Bush outside diameter, forward face")
    comes_into_view(walking, line.get_by_text("did you mean 57.6 mm?"))
    comes_into_view(walking, line.get_by_label("It is right, keep it because"))
    put = line.get_by_role("button", name="Put 57.6 mm")
    comes_into_view(walking, put)
    put.click()
    put.wait_for(state="hidden")
    expect(line.get_by_label("reading 1")).to_have_value("57.6")
    onward(walking)
    press(walking, "570")
    onward(walking)
    stands_at(walking, "Bushes, left")
    onward(walking)
    walking.get_by_role("link", name="1 questioned").wait_for()
    expect(walking.get_by_role("listitem").filter(has_text="Bushes, left").last).to_contain_text("questioned")


def test_refused_figure_stops_once_and_stays_named_until_it_is_mended(walking):
    press(walking, "810")
    key(walking, "Next")
    key(walking, "Delete")
    onward(walking)
    stands_at(walking, "Chain, left")
    joints = walking.get_by_label("over joints").first
    expect(joints).to_have_attribute("aria-invalid", "true")
    told = walking.locator(f"[id='{joints.get_attribute('aria-describedby')}']")
    expect(told).to_contain_text("Say how many joints the length spans")
    expect(told).not_to_contain_text("saved")
    comes_into_view(walking, told)
    key(walking, "Skip part")
    top = walking.get_by_text("1 figure could not be saved: Pitch, length over several joints, Chain, left")
    top.wait_for()
    top.get_by_role("link").click()
    stands_at(walking, "Chain, left")
    press(walking, "4")
    onward(walking)
    walking.get_by_text("Everything is saved").wait_for()
    expect(joints).not_to_have_attribute("aria-invalid", "true")


def test_refused_hours_are_told_beside_the_field_and_again_at_finish(walking):
    walking.get_by_role("link", name="Walk-round", exact=True).click()
    hours = walking.get_by_label("Hours on the meter")
    hours.fill("2000")
    walking.get_by_label("Who", exact=True).focus()
    walking.get_by_text("1 figure could not be saved: Hours").wait_for()
    told = walking.locator("#wrong-hours")
    expect(told).to_contain_text("It has to be at least the 3,000 h of 7\u00a0Sep\u00a02026, last time")
    assert (
        told.bounding_box()["y"] + told.bounding_box()["height"] < walking.locator(".sticky").bounding_box()["y"]
    )
    expect(walking.get_by_text("✓")).to_have_count(0)
    expect(walking.get_by_text("Everything is saved")).to_have_count(0)
    walking.get_by_role("button", name="Finish and judge").click()
    walking.get_by_text("Not finished: 1 thing to put right").wait_for()
    expect(walking.get_by_role("alert")).to_contain_text("“2000”")
    walking.complaints.clear()


def test_own_keys_work_at_every_caret_place(walking):
    """A tap chooses the whole figure, a second one sets the caret behind it; Delete takes a figure at the front too."""
    joints = walking.get_by_label("over joints").first
    joints.click(position={"x": 4, "y": 20})
    press(walking, "4")
    expect(joints).to_have_value("4")
    joints.click(position={"x": 4, "y": 20})
    press(walking, "2")
    expect(joints).to_have_value("42")
    joints.evaluate("field => field.setSelectionRange(0, 0)")
    key(walking, "Delete")
    expect(joints).to_have_value("2")


def test_own_keys_come_up_after_a_jump_once_a_field_is_tapped(walking):
    key(walking, "Next")
    key(walking, "Next")
    onward(walking)
    expect(walking.get_by_role("button", name="7", exact=True)).not_to_be_visible()
    part(walking, "Slew ring")
    walking.get_by_label("slew ring rock, Slew ring, reading 1").click()
    expect(walking.get_by_role("button", name="7", exact=True)).to_be_visible()


def test_nothing_is_chosen_before_anybody_looked(walking, all_saved):
    assert walking.get_by_role("radio").locator("visible=true").count() > 0
    assert walking.locator("input[type=radio]:checked, [data-looked]:checked").count() == 0
    key(walking, "Next")
    key(walking, "Next")
    onward(walking)
    key(walking, "Nothing seen, next")
    stands_at(walking, "Bushes, left")
    all_saved(walking)
    assert [one.kind for one in written_here()] == ["nothing"]


def test_bolts_are_counted_and_how_bad_follows(walking, all_saved):
    part(walking, "Bottom roller 2, left")
    bolts = walking.get_by_role("group", name="Loose bolts")
    expect(bolts.get_by_role("radio", name="clear")).not_to_be_visible()
    bolts.get_by_label("how many").click()
    press(walking, "3")
    expect(bolts.get_by_role("radio", name="clear")).to_be_checked()
    bolts.get_by_role("radio", name="severe").check()
    all_saved(walking)
    row = SeenRow.objects.get(sheet__state="draft")
    assert (row.kind, row.how_bad, row.count) == ("loose_bolts", "severe", 3)
    bolts.get_by_role("radio", name="no", exact=True).check()
    bolts.get_by_text("taken back").wait_for()
    row.refresh_from_db()
    assert (row.how_bad, row.count) == ("", 0)


def test_sizes_follow_the_number_of_joints(walking):
    """The invented chain is new at 200.0 mm a joint."""
    walking.get_by_text("Over 4 joints: last time").first.wait_for()
    walking.get_by_label("over joints").first.fill("3")
    walking.get_by_text("new 600.0 mm").first.wait_for()


def take_photo(page):
    """By the key beside the number keys, as a phone's camera would hand one back."""
    with page.expect_file_chooser() as opened:
        key(page, "Photo")
    opened.value.set_files({"name": "roller.jpg", "mimeType": "image/jpeg", "buffer": a_picture()})


MADE_SMALLER = """async () => {
  const { smaller } = await import("/static/desk/smaller.js");
  const taken = Object.assign(document.createElement("canvas"), { width: 3200, height: 2400 });
  const less = await smaller(await new Promise((done) => taken.toBlob(done, "image/png")));
  const { width, height } = await createImageBitmap(less);
  return [less.type, width, height];
}"""


def test_photo_is_kept_the_moment_it_is_taken(walking):
    """3,200 by 2,400 become 1,600 by 1,200 on the phone; no button is pressed, and what it shows is said after."""
    part(walking, "Bottom roller 2, left")
    take_photo(walking)
    told = walking.get_by_role("button", name="Photo kept.")
    expect(told).to_be_visible()
    assert walking.evaluate(MADE_SMALLER) == ["image/jpeg", 1600, 1200]
    expect(walking.get_by_role("button", name="Keep it")).not_to_be_visible()
    told.click()
    shows = walking.get_by_label("What it shows").locator("visible=true")
    comes_into_view(walking, shows)
    with walking.expect_response("**/caption/"):
        shows.fill("leak at the seal")
        walking.get_by_role("heading", level=1).click()
    row = Attachment.objects.get()
    assert (row.part, row.caption, row.sheet.state) == ("bottom_roller/left/2", "leak at the seal", "draft")
    part(walking, "Bottom roller 3, left")
    expect(told).not_to_be_visible()


def test_photo_taken_without_a_signal_outlives_a_reload_and_is_sent_once(walking):
    walking.context.route("**/photos/send/", lambda route: route.abort())
    part(walking, "Bottom roller 2, left")
    take_photo(walking)
    walking.get_by_role("button", name="1 photo waits in this phone").wait_for()
    walking.reload()
    walking.get_by_role("button", name="1 photo waits in this phone").click()
    expect(walking.get_by_role("button", name="Let it go")).to_be_visible()
    assert not Attachment.objects.exists()
    walking.complaints.clear()
    walking.context.unroute("**/photos/send/")
    walking.evaluate("window.dispatchEvent(new Event('online'))")
    walking.get_by_role("button", name="Photo kept.").wait_for()
    walking.reload()
    expect(walking.get_by_role("img", name="Photo of bottom roller 2, left")).to_be_visible()
    assert Attachment.objects.count() == 1


def test_calliper_that_types_goes_from_reading_to_reading(walking, all_saved):
    """Keys 30 ms apart, then Enter or Tab; the joints of a pitch are not asked about, and the number keys make room."""
    walking.get_by_label("Pitch, length over several joints, Chain, left, reading 1").focus()
    typed_by_a_device(walking, "811.25", "Enter")
    expect(walking.get_by_label("Sag, Chain, left, reading 1")).to_be_focused()
    typed_by_a_device(walking, "38,50mm", "Tab")
    all_saved(walking)
    rows = ReadingRow.objects.filter(sheet__state="draft", part="chain", side="left")
    assert {row.measurand: row.typed for row in rows} == {"pitch": ["811.25"], "sag": ["38,50"]}
    expect(walking.locator("[data-key='1']")).not_to_be_visible()


def typed_by_a_device(page, text, end):
    """Keys with their own times, as the browser gets them from a device, however slowly a test sends them."""
    session = page.context.new_cdp_session(page)
    codes = {"Enter": ("\r", 13), "Tab": ("", 9)}
    began = time.time()
    for n, one in enumerate([*text, end]):
        letter, code = codes.get(one, (one, 0))
        told = {"key": one, "text": letter, "windowsVirtualKeyCode": code, "timestamp": began + n * 0.03}
        session.send("Input.dispatchKeyEvent", {"type": "keyDown", **told})
        session.send("Input.dispatchKeyEvent", {"type": "keyUp", "key": one, "windowsVirtualKeyCode": code})


def a_picture():
    made = BytesIO()
    Image.effect_noise((400, 300), 60).resize((3200, 2400)).save(made, "jpeg", quality=95)
    return made.getvalue()


def test_every_line_is_there_once_the_page_is_whatever_was_written_before(walking, dossier, all_saved):
    """As if the page held every line in full: fields, tools and how it is read of its own; a tool chosen stays chosen."""
    walking.get_by_label("Pitch, length over several joints, Chain, left, reading 1").focus()
    press(walking, "810")
    line = walking.locator("[data-line='chain/left:pitch']")
    line.get_by_label("with").select_option("steel tape")
    all_saved(walking)
    walking.goto(walking.url.replace("chain/left", "bush/left"))
    line = walking.locator("[data-line='chain/left:pitch']")
    tools = [one.inner_text() for one in line.locator("option").all()]
    assert (line.locator("select").input_value(), len(tools)) == ("tape", len(set(tools)))
    assert len(tools) > 5
    lines = walking.locator("[data-line]").all()
    assert len({one.get_attribute("data-line") for one in lines}) == len(lines)
    readings = walking.locator(".line.reading").all()
    assert {one.locator("option").count() for one in readings} == {len(tools)}
    assert all(one.locator(".how p").text_content() for one in readings)
    ids = walking.evaluate("[...document.querySelectorAll('[id]')].map((one) => one.id)")
    assert len(ids) == len(set(ids))
    assert (
        walking.evaluate(
            "document.querySelector('main').outerHTML.replaceAll(/<template.*?<.template>/gs, '')"
        ).count("0key0")
        == 0
    )
    sent = walking.evaluate("[...document.querySelectorAll('main [name=send_id]')].map((one) => one.value)")
    assert len(sent) == len(set(sent)) == len(dossier.gear.places())


def test_finding_without_a_signal_on_a_part_not_opened_before(walking, all_saved):
    """The page brought everything with it: a part nobody has looked at is reached, and a leak told, with the desk gone."""
    walking.context.route("**/*", lambda route: route.abort())
    key(walking, "Skip part")
    stands_at(walking, "Bushes, left")
    key(walking, "Phone's own keys")
    walking.get_by_role("group", name="Cracked").get_by_role("radio", name="severe").check()
    walking.get_by_text("not saved yet, kept in this phone").wait_for()
    walking.context.unroute("**/*")
    walking.reload()
    all_saved(walking)
    assert [(one.part, one.kind, one.how_bad) for one in written_here()] == [("bush", "cracked", "severe")]
    walking.complaints.clear()


def test_without_scripts_a_walk_round_is_an_ordinary_form(walking, browser, live_server):
    """Part by part, and from the whole sheet to what is seen on a part; nothing typed on the way is lost."""
    address = walking.url
    walking.goto("about:blank")
    plain = browser.new_context(java_script_enabled=False, base_url=live_server.url)
    page = plain.new_page()
    page.goto(address)
    page.get_by_label("pitch, length over several joints, Chain, left, reading 1").fill("810")
    page.get_by_label("over joints").fill("4")
    page.get_by_role("button", name="Save and on to Bushes, left").click()
    page.get_by_role("heading", name="Bushes, left").wait_for()
    page.get_by_role("group", name="Cracked").get_by_role("radio", name="slight").check(force=True)
    page.get_by_role("button", name="Save and on to Link rail, left").click()
    page.get_by_role("link", name="Walk-round", exact=True).click()
    page.get_by_label("link rail height, Link rail, left, reading 1").fill("105.5")
    page.get_by_text("What is seen on it: Link rail, left").click()
    page.get_by_role("button", name=re.compile("own page.*Link rail, left")).click()
    expect(page.get_by_label("link rail height, Link rail, left, reading 1")).to_have_value("105.5")
    page.get_by_role("group", name="Cracked").get_by_role("radio", name="clear").check(force=True)
    page.get_by_role("button", name="Save and on to").click()
    stands_at(page, "Shoes, left")
    plain.close()
    found = {row.measurand: row.typed for row in ReadingRow.objects.filter(sheet__state="draft")}
    assert found == {"pitch": ["810"], "rail_height": ["105.5"]}
    seen = {(row.part, row.how_bad) for row in SeenRow.objects.filter(kind="cracked")}
    assert seen == {("bush", "slight"), ("link", "clear")}


def test_field_on_a_phone_shows_seven_characters_and_nothing_runs_off_in_inches(brought, fits):
    """A pitch over joints in hundredths, or inches with a fraction, is seen whole while it is typed."""
    brought.get_by_role("button", name="Begin a walk-round").click()
    brought.get_by_label("Sizes typed in").select_option("in")
    brought.get_by_role("link", name="Go round part by part").click()
    stands_at(brought, "Chain, left")
    for number in ("1", "2", "3"):
        box = brought.locator("[data-box]:visible").nth(int(number) - 1)
        for text in ("8108.25", "30 7/16"):
            box.fill(text)
            wide, shown = box.evaluate("one => [one.scrollWidth, one.clientWidth]")
            assert wide <= shown, (number, text)
    fits(brought)
    right = "all => Math.max(...all.map(one => one.getBoundingClientRect().right))"
    assert brought.locator("select:visible").evaluate_all(right) <= 360 - 8


def test_bolts_of_a_shoe_are_asked_whether_two_sit_on_one(walking, all_saved):
    part(walking, "Shoes, left")
    bolts = walking.get_by_role("group", name="Missing bolts")
    where = bolts.get_by_label("two or more on one shoe")
    expect(where).not_to_be_visible()
    bolts.get_by_label("how many").click()
    press(walking, "2")
    where.select_option("no")
    all_saved(walking)
    row = SeenRow.objects.get(sheet__state="draft")
    assert (row.kind, row.count, row.on_one) == ("missing_bolts", 2, False)
    walking.reload()
    expect(walking.get_by_label("two or more on one shoe").locator("visible=true").first).to_have_value("no")
