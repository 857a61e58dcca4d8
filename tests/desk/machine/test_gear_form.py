"""The form of a running gear: sizes in one breath, what is asked of which track, and the drawing beside it."""

import html
import json
import re

import pytest

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.machine.models import Machine
from pitchline.trade.machine import SprocketGaps

STEEL = {
    "seen_version": 1, "track": "steel", "joints_per_side": "45", "pitch": "190 mm", "shoe_width": "600 mm",
    "sprocket_teeth": "23",
    "sprocket_gaps": "every_second", "bottom_rollers_per_side": "7", "upper_rollers_per_side": "2", "layout": "level",
    "shoe_class": "standard",
}  # fmt: skip
EMPTY = {"joints_per_side": "", "pitch": "", "shoe_width": ""}
RUBBER = STEEL | EMPTY | {"track": "rubber", "size": "400x86x52", "sprocket_gaps": ""}


@pytest.fixture
def bare(actor):
    """A machine without running gear."""
    return Machine.objects.create(business=actor.business, short_name="m", name="M", kind="excavator")


def gear_of(machine):
    return json.loads(Machine.objects.get(pk=machine.pk).file_text)["running_gear"]


def test_a_rubber_tracks_moulded_size_fills_width_pitch_and_links(client, bare):
    assert client.post(f"/machines/{bare.pk}/gear/", RUBBER | {"sprocket_gaps": "each"}).status_code == 302
    gear = known_dossier(Machine.objects.get()).gear
    assert (gear.shoe_width_m, gear.pitch_m, gear.joints_per_side) == pytest.approx((0.4, 0.086, 52))
    assert gear_of(bare)["shoe_width"] == "400 mm"


def test_a_chains_joints_and_pitch_in_one_breath(client, bare):
    typed = STEEL | {"size": "47 x 187", "joints_per_side": "", "pitch": ""}
    assert client.post(f"/machines/{bare.pk}/gear/", typed).status_code == 302
    assert (gear_of(bare)["joints_per_side"], gear_of(bare)["pitch"]) == (47, "187 mm")


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        (RUBBER | {"size": "400x86"}, "size", "width x pitch x links in mm, such as 400x86x52"),
        (RUBBER | {"joints_per_side": "51"}, "joints_per_side", "The size in one breath says 52"),
        (RUBBER | {"shoe_width": "450 mm"}, "shoe_width", "The size in one breath says 400 mm"),
        (STEEL | {"size": "400x86x52"}, "size", "joints x pitch in mm, such as 47 x 187"),
        (STEEL | {"shoe_width": ""}, "shoe_width", "Type it: what is bolted to a chain"),
        (STEEL | {"two_flange_rollers": "9"}, "two_flange_rollers", "1 to 7"),
        (STEEL | {"adjuster_stroke": "far"}, "adjuster_stroke", "far"),
        (STEEL | {"track": "ski"}, "track", "ski"),
    ],
)
def test_what_cannot_be_is_told_at_its_field_and_nothing_is_kept(client, bare, typed, field, said):
    answer = client.post(f"/machines/{bare.pk}/gear/", typed)
    assert answer.status_code == 400
    assert list(answer.context["form"].errors) == [field]
    assert said in html.unescape(answer.content.decode())
    assert not answer.context["problems"]
    assert Machine.objects.get(pk=bare.pk).file_text == ""


def asked(page):
    """The fields a page shows."""
    found = re.split(r'<div class="asked[^"]*"', page.content.decode())[1:]
    return {name for one in found if not one.startswith(" hidden") for name in re.findall(r'name="(\w+)"', one)}


def test_a_rubber_track_is_not_asked_for_joints_shoes_or_pads(client, bare):
    """Without scripts the button asks; nothing is kept by it, and what is typed stays typed."""
    page = client.post(f"/machines/{bare.pk}/gear/", RUBBER | {"draw": "1"})
    assert page.status_code == 200
    steel = {"chain_type", "sprocket_gaps", "pitch_over", "grousers_per_shoe", "bolts_per_shoe"}
    chains_own = steel | {"pads_per_shoe", "bolts_per_pad"}
    assert asked(page).isdisjoint(chains_own)
    assert steel <= asked(client.get(f"/machines/{bare.pk}/gear/"))
    text = page.content.decode()
    assert "Links on one side" in text
    assert 'value="400x86x52"' in text
    assert Machine.objects.get(pk=bare.pk).file_text == ""


@pytest.mark.parametrize(
    ("track", "has", "has_not"),
    [
        ("steel", {"grousers_per_shoe", "bolts_per_shoe"}, {"pads_per_shoe", "bolts_per_pad"}),
        ("steel_bolted_pads", {"grousers_per_shoe", "bolts_per_shoe", "pads_per_shoe", "bolts_per_pad"}, set()),
        ("steel_pad_shoes", {"pads_per_shoe", "bolts_per_pad"}, {"grousers_per_shoe", "bolts_per_shoe"}),
    ],
)
def test_a_track_is_asked_for_what_it_has(client, bare, track, has, has_not):
    shown = asked(client.post(f"/machines/{bare.pk}/gear/", STEEL | {"track": track, "draw": "1"}))
    assert has <= shown
    assert shown.isdisjoint(has_not)


def test_what_another_track_has_does_not_go_into_the_file(client, bare):
    client.post(
        f"/machines/{bare.pk}/gear/",
        RUBBER | {"grousers_per_shoe": "3", "pads_per_shoe": "2", "sprocket_gaps": "each"},
    )
    assert not {"grousers_per_shoe", "pads_per_shoe", "chain_type"} & gear_of(bare).keys()
    assert known_dossier(Machine.objects.get()).gear.sprocket_gaps is SprocketGaps.EACH


def test_the_drawing_grows_with_what_is_typed(client, bare):
    drawn = f"/machines/{bare.pk}/gear/drawn/"
    first = client.get(drawn).content.decode()
    assert "joints, pitch, sprocket teeth, bottom rollers, upper rollers" in first
    more = client.get(
        drawn, {"joints_per_side": "49", "pitch": "203 mm", "bottom_rollers_per_side": "9"}
    ).content.decode()
    assert "9.947" in more or "9,947" in more  # 49 x 203 mm
    assert "sprocket teeth, upper rollers" in more
    assert ">9</text>" in more
    moulded = client.get(drawn, {"track": "rubber", "size": "400x86x52"}).content.decode()
    assert 'data-fills="shoe_width" value="400 mm"' in moulded
    assert Machine.objects.get(pk=bare.pk).file_text == ""


@pytest.mark.parametrize("odd", ["\x00", "9" * 400, "-1", "²", "1e9", "<b>"])
def test_nothing_odd_stops_the_drawing(client, bare, odd):
    names = (
        "track",
        "size",
        "joints_per_side",
        "pitch",
        "pitch_joints",
        "sprocket_teeth",
        "two_flange_rollers",
        "layout",
    )
    for name in names:
        assert client.get(f"/machines/{bare.pk}/gear/drawn/", {name: odd}).status_code == 200


def test_counts_that_cannot_go_together_are_told_where_the_drawing_was(client, bare):
    typed = {"joints_per_side": "20", "sprocket_teeth": "60", "sprocket_gaps": "each"}
    assert (
        "does not close round its wheels" in client.get(f"/machines/{bare.pk}/gear/drawn/", typed).content.decode()
    )
    wrong = client.get(f"/machines/{bare.pk}/gear/drawn/", {"joints_per_side": "900"}).content.decode()
    assert "20 to 120" in wrong


def test_what_is_left_as_it_stood_stays_to_the_letter(client, bare):
    client.post(f"/machines/{bare.pk}/gear/", STEEL | {"pitch": "7 1/2 in"})
    again = STEEL | {"seen_version": 2, "pitch": "7 1/2 in", "bottom_rollers_per_side": "8"}
    page = client.post(f"/machines/{bare.pk}/gear/", again, follow=True)
    assert "Saved." in page.content.decode()
    assert (gear_of(bare)["pitch"], gear_of(bare)["bottom_rollers_per_side"]) == ("7 1/2 in", 8)
    client.post(re.search(r"/undo/[0-9a-f-]+/", page.content.decode())[0])
    assert gear_of(bare)["bottom_rollers_per_side"] == 7


def test_fewer_rollers_than_were_read_are_refused(client, machine):
    """Its walk-rounds read rollers 3 to 5: they would be left without a place."""
    start = json.loads(machine.file_text)["running_gear"]
    typed = {name: str(each) for name, each in start.items() if not isinstance(each, list | bool)}
    typed |= {
        "seen_version": machine.version,
        "layout": "level",
        "shoe_class": "standard",
        "bottom_rollers_per_side": "2",
    }
    answer = client.post(f"/machines/{machine.pk}/gear/", typed)
    assert answer.status_code == 400
    assert Machine.objects.get(pk=machine.pk).version == machine.version


def test_a_refused_form_says_on_top_what_is_wrong_and_leads_to_it(client, bare):
    page = client.post(
        f"/machines/{bare.pk}/gear/", STEEL | {"shoe_width": "", "track": "ski", "adjuster_stroke": "far"}
    ).content.decode()
    top = page[page.index('id="summary-head"') : page.index("</section>", page.index('id="summary-head"'))]
    assert "3 things to put right" in top
    for leads in ("id_shoe_width", "id_track", "id_adjuster_stroke"):
        assert f'href="#{leads}"' in top
        assert page.count(f'id="{leads}"') == 1


def test_a_rubber_track_is_not_asked_for_a_shoe_width_class(client, bare):
    page = client.post(f"/machines/{bare.pk}/gear/", RUBBER | {"draw": "1"})
    assert "shoe_width" in asked(page)
    assert "shoe_class" not in asked(page)
