"""Small pictures of what is measured where one reads or enters it: each quantity has its own, told in words."""

import html
import re

import pytest

from pitchline.desk.bridge.machines import known_dossier
from pitchline.desk.drawing import measured_picture
from pitchline.exchange.sheet import sheet_rows
from pitchline.picture.measured import measured
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

FIGURE = re.compile(
    r'<figure class="measured">(?:<a [^>]*>)?<img src="/static/desk/measured/([^"]+)\.svg"[^>]* alt="([^"]+)">'
)


def shown(page):
    return {name: html.unescape(told) for name, told in FIGURE.findall(page.content.decode())}


@pytest.mark.parametrize(
    ("key", "quantities"),
    [
        ("bush/left", [Measurand.BUSH_OD_FORWARD, Measurand.BUSH_OD_REVERSE]),
        ("chain/right", [Measurand.PITCH, Measurand.SAG]),
        ("final_drive/left", []),
    ],
)
def test_a_parts_page_shows_how_each_of_its_quantities_is_read(client, machine, key, quantities):
    page = client.get(f"/machines/{machine.pk}/parts/{key}/")
    assert shown(page) == {one.value: measured(one).told for one in quantities}
    assert ("How it is read" in page.content.decode()) is bool(quantities)


@pytest.mark.parametrize("way", ["", "at/bush/left/"])
def test_a_walk_round_holds_each_picture_once(client, machine, begin, way):
    asked = {row.measurand for row in sheet_rows(known_dossier(machine)) if row.measurand}
    page = client.get(f"/walk-rounds/{begin(machine)}/{way}")
    assert shown(page) == {one.value: measured(one).told for one in asked}
    assert len(FIGURE.findall(page.content.decode())) == len(asked)


def test_where_a_size_of_one_joint_is_entered_the_picture_is_of_one():
    told = measured_picture("chain:pitch", of_one=True, captioned=False)
    assert "pitch-of-one.svg" in told
    assert measured(Measurand.PITCH, of_one=True).told in told
    assert "figcaption" not in told
    assert "pitch of one joint" in measured_picture("pitch", of_one=True)
    assert "rail_height.svg" in measured_picture("rail_height", of_one=True)


def test_a_turned_bush_is_told_to_be_read_otherwise_beside_its_picture(client, machine, words):
    """The how of the sheet for this machine, not of any."""
    place = Place(PartKind.BUSH, Side.LEFT)
    hows = [row.how for row in sheet_rows(known_dossier(machine)) if row.place == place]
    text = words(client.get(f"/machines/{machine.pk}/parts/{place.key}/"))
    assert all(" ".join(how.split()) in text for how in hows)


def test_each_size_of_the_limits_page_has_its_picture_of_one_joint(client, machine):
    page = client.get(f"/machines/{machine.pk}/limits/")
    lines = [line.key.rpartition(":")[2] for line in page.context["lines"]]
    pictures = FIGURE.findall(page.content.decode())
    assert [name.removesuffix("-of-one") for name, _ in pictures] == lines
    assert ("pitch-of-one", measured(Measurand.PITCH, of_one=True).told) in pictures
