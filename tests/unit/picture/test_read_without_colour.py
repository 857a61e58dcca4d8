"""Drawings can be read: contrast of every ink on its paper, and calls told by word and hatch without any colour."""

import re

import pytest
from defusedxml import ElementTree

from pitchline.picture.ink import _PRINT, Tone, hatch_of, style_rules
from pitchline.picture.side import side_svg
from pitchline.trade.calls import Call
from pitchline.trade.parts import Side

SVG = "{http://www.w3.org/2000/svg}"
WORDS = ("text", ".g", ".a")
LINES = (
    ".solid",
    ".line",
    ".fine",
    ".new",
    ".other",
    ".limit",
    ".turn",
    ".fan",
    ".book",
    ".stop",
    ".full",
    ".hb",
    ".hs",
    ".hl",
)
"""Lines with a meaning. Left out is .hair, which only rules off rows and carries none."""


def contrast(one, two):
    """Contrast ratio and relative luminance as WCAG 2.1 defines them."""

    def light(colour):
        digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
        parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    high, low = sorted((light(one), light(two)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_as_defined():
    """Black on white is 21 to 1 (WCAG 2.1, definition of contrast ratio); #767676 just passes 4.5 (from memory)."""
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#777", "#fff") < 4.5 < contrast("#767676", "#fff")


def inks(rules):
    """Colours of each kind of text and line, and the paper, as the style sheet has them."""
    found = {}
    for kinds, body in re.findall(r"([^{}]+){([^{}]*)}", rules):
        colours = re.findall(r"(?:fill|stroke):(#[0-9a-f]+)", body)
        for kind in kinds.split(","):
            if colours:
                found.setdefault(kind.removeprefix(".t").strip(), colours)
    return found


@pytest.mark.parametrize("tone", [Tone.LIGHT, Tone.DARK, Tone.PAPER, "printed"])
def test_every_ink_stands_out_from_its_paper(tone):
    """WCAG 2.1: 4.5 to 1 for text (1.4.3, level AA), 3 to 1 for lines that carry a meaning (1.4.11)."""
    rules = style_rules("t", Tone.SYSTEM if tone == "printed" else tone)
    rules = rules.split("@media print{")[1] if tone == "printed" else rules
    found = inks(rules)
    paper = found[".paper"][0]
    assert (tone != "printed") or paper == _PRINT["paper"]
    for kinds, least in ((WORDS, 4.5), (LINES, 3.0)):
        for kind in kinds:
            assert contrast(found[kind][-1], paper) >= least, kind


def test_each_call_has_a_word_and_a_hatch_of_its_own():
    assert len({call.value for call in Call}) == len({hatch_of(call) for call in Call}) == len(Call)


@pytest.mark.parametrize("width", [360, 1200])
def test_calls_are_told_apart_with_every_colour_taken_out(plain, width):
    """With all colours the same, fills still differ: plain, lines one way, lines both ways; and each word is there."""
    colourless = re.sub(
        r"#[0-9a-f]{3}(?:[0-9a-f]{3})?\b(?!-)", "black", side_svg(plain, Side.LEFT, width, tone=Tone.LIGHT)
    )
    root = ElementTree.fromstring(colourless)
    hatches = {
        one.get("id"): [path.get("d") for path in one.iter(f"{SVG}path")] for one in root.iter(f"{SVG}pattern")
    }
    assert hatches["side-book"] != hatches["side-stop"]
    fills = dict(re.findall(r"\.side \.(solid|book|stop){fill:([^;]+)", root.find(f"{SVG}style").text))
    assert len(set(fills.values())) == 3
    drawn = {one.get("class") for one in root.iter()}
    words = " ".join(one.text for one in root.iter(f"{SVG}text"))
    for call in (Call.RUN, Call.BOOK, Call.STOP):
        assert hatch_of(call) in drawn
        assert re.search(rf"\b{call.value}\b", words)
