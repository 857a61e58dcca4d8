"""Text boxes measured with the letter widths of the fonts we ship, not with our own table: whole demo yard, both units."""

import itertools
import re
from pathlib import Path

import pytest
from defusedxml import ElementTree
from fontTools.ttLib import TTFont

import pitchline
from pitchline.demo.yard import build_yard
from pitchline.picture.letters import width_px
from pitchline.picture.part import part_svg
from pitchline.picture.plan import plan_svg
from pitchline.picture.record import record_svg
from pitchline.picture.side import side_svg
from pitchline.picture.yard import yard_svg
from pitchline.trade.calls import Call
from pitchline.trade.parts import Side
from pitchline.trade.units import UnitSystem

FONTS = Path(pitchline.__file__).parent / "papers" / "fonts"
SVG = "{http://www.w3.org/2000/svg}"
SIZES = {"s": 12, "h": 17}
"""Letter sizes of the classes, as the style of each drawing says; the first test holds them to it."""


@pytest.fixture(scope="module")
def fonts():
    """Letter widths in em, and height above and below the line, of both weights."""
    found = {}
    for bold, name in ((False, "Regular"), (True, "SemiBold")):
        font = TTFont(FONTS / f"PitchlineSans-{name}.otf")
        em, glyphs, widths = font["head"].unitsPerEm, font.getBestCmap(), font["hmtx"]
        found[bold] = {code: widths[glyph][0] / em for code, glyph in glyphs.items()}
    return found


@pytest.fixture(scope="module")
def whole_yard(judged_demo):
    return [judged_demo(machine.number) for machine in build_yard().machines]


def boxes(svg, fonts):
    """Where each line of text stands: capitals reach 0.73 em up, tails 0.24 em down (hhea of the fonts is taller: line room)."""
    root = ElementTree.fromstring(svg)
    for text in root.iter(f"{SVG}text"):
        kinds = (text.get("class") or "").split()
        size = next((SIZES[kind] for kind in kinds if kind in SIZES), 14)
        letters = fonts["b" in kinds]
        wide = size * sum(letters[ord(letter)] for letter in text.text)
        x, y = float(text.get("x")), float(text.get("y"))
        left = x - wide if "e" in kinds else x - wide / 2 if "m" in kinds else x
        yield left, y - 0.73 * size, left + wide, y + 0.24 * size, text.text


def faults(svg, fonts):
    """Text on text, and text off the paper."""
    found = list(boxes(svg, fonts))
    width = float(re.search(r'width="(\d+)"', svg)[1])
    met = [
        (one[4], two[4])
        for one, two in itertools.combinations(found, 2)
        if one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]
    ]
    return met + [one[4] for one in found if one[0] < 0 or one[2] > width]


def test_letter_sizes_are_those_of_the_style(whole_yard):
    style = ElementTree.fromstring(side_svg(whole_yard[0], Side.LEFT)).find(f"{SVG}style").text
    assert "font-size:14px" in style
    assert all(f".side .{kind}{{font-size:{size}px}}" in style for kind, size in SIZES.items())


def test_our_table_of_widths_is_never_narrower_than_the_fonts(fonts):
    for code in range(32, 127):
        for size, bold in ((14, False), (14, True), (17, True)):
            assert width_px(chr(code), size) >= size * fonts[bold][code] - 0.01, chr(code)


@pytest.mark.parametrize("units", UnitSystem)
@pytest.mark.parametrize("width", [360, 1200])
def test_no_text_lies_on_text_by_the_fonts_own_widths(whole_yard, fonts, width, units):
    for verdict in whole_yard:
        drawings = [side_svg(verdict, side, width, units) for side in (Side.LEFT, Side.RIGHT)]
        drawings.append(plan_svg(verdict, width, units))
        drawings += [
            part_svg(verdict, kind, 0, width, units) for kind in dict.fromkeys(p.place.part for p in verdict.parts)
        ]
        drawings += [
            record_svg(verdict, part.place, judged.measurand, (), width, units)
            for part in verdict.parts
            if part.place.position in (0, 1)
            for judged in part.judged
        ]
        for svg in drawings:
            assert faults(svg, fonts) == [], verdict.machine.name
    assert faults(yard_svg(whole_yard, width, units), fonts) == []


def test_every_call_has_its_word_and_its_hatch(whole_yard):
    """Wherever a part is hatched, its group says the call in words too, and the other way round; run is plain."""
    hatch = {Call.UNJUDGED: "unjudged", Call.RUN: "solid", Call.BOOK: "book", Call.STOP: "stop"}
    told = {
        Call.UNJUDGED: ("not read", "no limit"),
        Call.RUN: ("run",),
        Call.BOOK: ("book",),
        Call.STOP: ("stop",),
    }
    seen = set()
    for verdict in whole_yard:
        for side in (Side.LEFT, Side.RIGHT):
            root = ElementTree.fromstring(side_svg(verdict, side))
            groups = {one.get("id"): one for one in root.iter(f"{SVG}g")}
            shown = " ".join(one.text for one in root.iter(f"{SVG}text"))
            for part in verdict.parts:
                group = groups.get(f"side-{part.place.key.replace('/', '-').replace('_', '-')}")
                if part.place.side is not side or group is None:
                    continue
                words = group.get("aria-label").split(": ", 1)[1]
                assert words.startswith(told[part.call])
                assert any(word in shown for word in told[part.call])
                kinds = {one.get("class") for one in group.iter()} | _used(group, groups)
                assert hatch[part.call] in kinds, part.place.key
                others = {hatch[call] for call in (Call.BOOK, Call.STOP) if call is not part.call}
                assert not kinds & others
                seen.add(part.call)
    assert seen == set(Call)


def _used(group, groups):
    """Classes of the shapes a group sets."""
    names = {one.get("href")[1:] for one in group.iter(f"{SVG}use")}
    return {inner.get("class") for name in names for inner in groups[name].iter()}


def test_text_on_text_and_text_off_the_paper_are_found(fonts):
    """The check itself can fail: two lines 5 px apart, and one that runs off."""
    lines = '<text x="0" y="20">chain</text><text x="9" y="25">bush</text>'
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" width="60">{lines}{{}}</svg>'
    assert faults(drawing.format(""), fonts) == [("chain", "bush")]
    assert "sprocket" in faults(drawing.format('<text x="30" y="90">sprocket</text>'), fonts)
