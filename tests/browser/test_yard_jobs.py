"""Jobs of the yard on a phone and at a desk, by visible labels; accessibility, weight, print, and odd data."""

import io
import re
import uuid

import pytest
from PIL import Image
from playwright.sync_api import expect

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.middleware import local_actor
from pitchline.desk.photos.models import Attachment
from pitchline.desk.primer.pieces import Piece, PieceKind
from pitchline.exchange.machine_file import machine_json

pytestmark = pytest.mark.django_db(transaction=True)

ODD = (
    "N" * 200,
    "حفّارة كبيرة في الفناء الشمالي",
    "🚜😀 yard 7",
    "Ground‑engaging\u00a0“old” <b>one</b>",
    "a " * 99 + "z",
)
LARGEST_PAGE = 300_000
"""Issue 7: page weight of a machine page without photos, in bytes."""


@pytest.fixture
def desk(opened):
    """A page the size of a desk's screen."""
    return opened(1280, 900)


@pytest.fixture
def photo(tmp_path):
    """A photo as a file."""
    Image.new("RGB", (900, 600), "grey").save(tmp_path / "photo.jpg")
    return tmp_path / "photo.jpg"


def odd_machines():
    business = local_actor().business
    for number, name in enumerate(ODD):
        Machine.objects.create(
            business=business, short_name=f"odd-{number}", name=name, kind="dozer", customer=name, place=name, hours_h=1.0
        )  # fmt: skip


def test_empty_yard_to_a_machine_that_says_what_it_still_needs(phone, live_server, looked_at):
    phone.goto("/")
    phone.get_by_role("heading", name="An empty yard").wait_for()
    looked_at(phone)
    phone.get_by_role("link", name="Add a machine").click()
    phone.get_by_role("button", name="Add it").wait_for()
    looked_at(phone)
    phone.get_by_label("Kind").select_option(label="dozer")
    phone.get_by_label("Name").fill("Old faithful")
    phone.get_by_label("Hours on the meter today").fill("8150")
    phone.get_by_role("button", name="Add it").click()
    phone.get_by_role("heading", name="Old faithful").wait_for()
    phone.get_by_text("would give the drawing").wait_for()
    phone.get_by_role("link", name="Enter the running gear").wait_for()
    looked_at(phone)


def test_list_is_looked_at_brought_in_and_undone(phone, live_server, tmp_path, looked_at):
    path = tmp_path / "machines.csv"
    path.write_text("Name;Kind;Hours\nCedar;paver;250\nElm;cart;10\n", encoding="utf-8")
    phone.goto("/")
    phone.get_by_role("link", name="Load files").click()
    phone.get_by_role("button", name="Load them").wait_for()
    looked_at(phone)
    phone.get_by_label("Files").set_input_files(path)
    phone.get_by_role("button", name="Load them").click()
    phone.get_by_role("heading", name="What machines.csv would change").wait_for()
    phone.get_by_text("“cart”").wait_for()
    looked_at(phone)
    phone.get_by_role("link", name="1 new").click()
    phone.get_by_role("button", name="Add 1 machine").wait_for()
    looked_at(phone)
    phone.get_by_role("button", name="Add 1 machine").click()
    phone.get_by_role("heading", name="machines.csv was brought in").wait_for()
    assert Machine.objects.get().name == "Cedar"
    phone.get_by_role("button", name="Undo").click()
    phone.get_by_text("1 machine taken out again").wait_for()
    assert not Machine.objects.exists()
    phone.go_back()
    phone.get_by_role("heading", name="machines.csv").wait_for()


def test_machine_file_is_brought_in_by_hand(phone, live_server, dossier, tmp_path):
    (tmp_path / "machine.json").write_text(machine_json(dossier), encoding="utf-8")
    phone.goto("/")
    phone.get_by_role("link", name="Load files").click()
    phone.get_by_label("Files").set_input_files(tmp_path / "machine.json")
    phone.get_by_role("button", name="Load them").click()
    phone.get_by_text("Test machine added.").wait_for()
    phone.get_by_role("link", name="Test machine").click()
    phone.get_by_role("button", name="Begin a walk-round").wait_for()


def test_photo_from_the_camera_and_back_after_removing(phone, brought, photo, looked_at):
    camera = phone.get_by_label("Take a photo")
    assert camera.get_attribute("capture") == "environment"
    phone.get_by_text("Add a photo or document").click()
    camera.set_input_files(photo)
    phone.get_by_label("What it shows").fill("Left side")
    phone.get_by_role("button", name="Keep").click()
    phone.get_by_text("Photo kept").wait_for()
    phone.get_by_role("link", name="Left side").last.click()
    phone.get_by_role("heading", name="Left side").wait_for()
    assert phone.locator("img").evaluate("image => image.decode().then(() => image.naturalWidth)") == 900
    looked_at(phone)
    phone.get_by_role("button", name="Remove it").click()
    phone.get_by_text("Photo removed").wait_for()
    looked_at(phone)
    phone.get_by_role("button", name="Undo").click()
    phone.get_by_text("Undone: Left side is back").wait_for()
    assert Attachment.objects.get(removed_at=None).caption == "Left side"
    looked_at(phone)


def test_several_are_chosen_archived_and_brought_back(desk, live_server, looked_at):
    odd_machines()
    desk.goto("/")
    desk.get_by_role("link", name="Archive several").click()
    desk.get_by_role("button", name="Archive the ticked").wait_for()
    looked_at(desk)
    desk.get_by_role("checkbox", name="N" * 20).check()
    desk.get_by_role("checkbox", name="yard 7").check()
    desk.get_by_role("button", name="Archive the ticked").click()
    desk.get_by_text("2 machines archived").wait_for()
    desk.get_by_role("button", name="Undo").click()
    desk.get_by_text("5 machines", exact=True).wait_for()


@pytest.mark.parametrize("width", [360, 1280])
def test_axe_finds_nothing_on_any_page_of_a_machine_and_the_yard(phone, brought, looked_at, width):
    odd_machines()
    phone.set_viewport_size({"width": width, "height": 800})
    base = brought.url
    for address in (
        "/", "/?as=chart", "/?choose=all", "/?archived=1", "/prices/", "/undo/", base, f"{base}?side=right", f"{base}about/",
        f"{base}changes/", f"{base}photos/", f"{base}parts/bush/left/", f"{base}parts/bottom_roller/left/1/", "/nowhere/",
        "/primer/parts/chain/", f"/primer/practice/{Piece(PieceKind.SCALE, 'calliper').mark}/",
    ):  # fmt: skip
        phone.goto(address)
        looked_at(phone)
    phone.complaints[:] = [one for one in phone.complaints if "404" not in one]  # of /nowhere/


def test_strip_leads_to_its_machines_by_keyboard(phone, brought):
    phone.goto("/?as=chart")
    link = phone.get_by_role("link", name=re.compile("^Test machine: "))
    link.focus()
    phone.keyboard.press("Enter")
    phone.get_by_role("heading", name="Test machine").first.wait_for()


def test_part_is_found_by_keyboard_alone(phone, brought, fits):
    phone.goto("/")
    phone.get_by_role("link", name="Test machine").focus()
    phone.keyboard.press("Enter")
    phone.get_by_text("parts run on").click()
    phone.get_by_role("link", name="Bushes, left").last.focus()
    phone.keyboard.press("Enter")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Bushes, left")
    fits(phone)
    phone.go_back()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Test machine")


def test_machine_page_is_light_without_photos(desk, brought):
    """Everything that comes over the wire for a first visit, headers included, as the browser counts it."""
    counting = desk.context.new_cdp_session(desk)
    counting.send("Network.enable")
    sizes = []
    counting.on("Network.loadingFinished", lambda told: sizes.append(told["encodedDataLength"]))
    desk.goto(brought.url, wait_until="networkidle")
    assert len(sizes) >= 4
    assert sum(sizes) < LARGEST_PAGE


def test_what_is_folded_on_the_screen_is_there_on_paper(desk, brought):
    desk.goto(brought.url)
    folded = desk.get_by_role("link", name="Guards, left").last
    expect(folded).not_to_be_visible()
    desk.emulate_media(media="print")
    expect(folded).to_be_visible()
    expect(desk.get_by_role("link", name="Every change")).not_to_be_visible()


def test_odd_names_break_no_page(phone, live_server, fits):
    odd_machines()
    phone.goto("/")
    for name in ODD:
        phone.get_by_role("link", name=name.strip()).first.wait_for()
    fits(phone)
    for machine in Machine.objects.all():
        for address in ("", "about/", "changes/", "photos/", "gear/", "all/", "all/history/", "all/ranges/"):
            phone.goto(f"/machines/{machine.pk}/{address}")
            fits(phone)


def test_five_thousand_machines_are_found_by_typing(phone, live_server):
    business = local_actor().business
    Machine.objects.bulk_create(
        Machine(business=business, short_name=f"s{n}", name=f"Machine {n:05}", kind="dozer", id=uuid.uuid4())
        for n in range(5000)
    )
    phone.goto("/")
    phone.get_by_text("5000 machines, 1 to 50").wait_for()
    phone.get_by_label("Search").press_sequentially("04321")
    phone.get_by_text("1 machine", exact=True).wait_for()
    phone.get_by_role("link", name="Machine 04321").wait_for()
    phone.go_back()
    phone.get_by_text("5000 machines, 1 to 50").wait_for()


def test_bytes_of_a_photo_that_was_sent_are_not_those_that_are_kept(phone, brought, photo):
    phone.get_by_text("Add a photo or document").click()
    phone.get_by_label("Or choose photos").set_input_files(photo)
    phone.get_by_role("button", name="Keep").click()
    phone.get_by_text("Photo kept").wait_for()
    row = Attachment.objects.get()
    served = phone.request.get(f"/photos/{row.pk}/page")
    assert served.headers["content-type"] == "image/jpeg"
    assert served.body() != photo.read_bytes()
    assert Image.open(io.BytesIO(served.body())).size == (900, 600)
