"""One code of marks: a call has one hatch in drawing, paper, page and screen; nothing else slants; red is for stop and the limit.

Run is plain, book has lines one way, stop lines both ways (docs/glossary.md, hatch). What is expected is written by hand.
"""

import colorsys
import io
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import typst
from defusedxml import ElementTree
from rich.console import Console

import pitchline.papers
from half_looked import half_looked
from marks_seen import inside, leans, reds
from pitchline.papers.screen import MARKS, verdict_screen
from pitchline.picture.ink import Board, Tone
from pitchline.picture.png import png_bytes
from pitchline.picture.record import record_svg
from pitchline.picture.side import side_svg
from pitchline.picture.yard import yard_svg
from pitchline.trade.calls import HATCHES, Call
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side

SOURCE = Path(pitchline.papers.__file__).parents[1]
SVG = "{http://www.w3.org/2000/svg}"
RUN, BOOK, STOP, UNREAD = Call.RUN, Call.BOOK, Call.STOP, Call.UNJUDGED
CODE = {UNREAD: (), RUN: (), BOOK: (45,), STOP: (45, 135)}
TONES = (Tone.LIGHT, Tone.DARK, Tone.PAPER)
RED = {".a", ".limit", ".stop", ".hs"}
"""Rules of drawings that may be red: words and hatch of a stop, and the limit's line."""


def sources(*endings):
    found = [one for one in SOURCE.rglob("*") if one.suffix in endings and ".min." not in one.name]
    assert len(found) > 5 or endings != (".css",)
    return found


def css_rules():
    """Every rule of every style sheet: file, selectors, and what is between the braces."""
    for sheet in sources(".css"):
        text = re.sub(r"/\*.*?\*/", "", sheet.read_text(encoding="utf-8"), flags=re.DOTALL)
        for selectors, body in re.findall(r"([^{}]+){([^{}]*)}", text):
            yield sheet.name, [one.strip() for one in selectors.split(",")], body


def typeset(body):
    """Markup with the paper's own pens as a picture, its page as large as what is on it."""
    head = '#import "ink.typ": *\n#set page(width: auto, height: auto, margin: 0.3mm)\n#set text(font: family)\n'
    return typst.compile(
        (head + body).encode(),
        root=SOURCE / "papers",
        font_paths=[SOURCE / "papers" / "fonts"],
        format="png",
        ppi=2400,
    )


def swatch_drawn(call, tone=Tone.LIGHT):
    board = Board(15, "mark")
    board.swatch(2, 12, call)
    return png_bytes(board.svg(15, "", "", tone), 20.0)


def test_the_code_is_one_table():
    assert HATCHES == CODE


@pytest.mark.parametrize("tone", TONES)
@pytest.mark.parametrize("call", Call)
def test_a_drawing_is_hatched_by_the_code(call, tone):
    """As rendered, in every tone: so the eye sees it; never a solid block, and more than the two lines of a cross."""
    seen = inside(swatch_drawn(call, tone))
    assert leans(seen) == CODE[call]
    assert seen.max() > 0.5 if call.asks else seen.max() < 0.02
    if call.asks:
        assert 0.15 < (seen > 0.2).mean() < 0.75
    for rise, across in ((45, seen), (135, np.fliplr(seen))):
        lines = np.diff((across.diagonal() > 0.2).astype(int), prepend=0)
        assert (lines == 1).sum() >= 2 or rise not in CODE[call]


@pytest.mark.parametrize("call", Call)
def test_a_paper_is_hatched_by_the_code(call):
    """The square that stands before a call's word, as the typesetter sets it."""
    seen = inside(typeset(f'#box(width: 2.5mm, height: 2.5mm, inset: (top: 0.4mm), swatch("{call}"))'), 0.24)
    assert leans(seen) == CODE[call]
    if call.asks:
        assert 0.2 < (seen > 0.2).mean() < 0.75


@pytest.mark.parametrize("call", Call)
def test_a_page_is_hatched_by_the_code(call):
    """The desk's style sheet. A gradient runs towards its angle, clockwise from upwards, and its stripes lie across it
    (CSS Images 3, linear gradients); tests/browser looks at it as it is shown."""
    bodies = [body for _, selectors, body in css_rules() if f".call.{call} i" in selectors]
    angles = [int(deg) for body in bodies for deg in re.findall(r"repeating-linear-gradient\((-?\d+)deg", body)]
    assert tuple(sorted(-deg % 180 for deg in angles)) == CODE[call]


def test_a_screen_has_the_code_in_letters():
    assert MARKS == {UNREAD: "[?]", RUN: "[ ]", BOOK: "[/]", STOP: "[#]"}


def test_red_on_a_screen_is_stop_alone(plain):
    """Escapes as a terminal gets them (ECMA-48, SGR: 31 is a red foreground, 7 reversed)."""
    half, out = half_looked(plain), io.StringIO()
    Console(file=out, width=100, force_terminal=True, color_system="standard").print(
        verdict_screen(half, width=100)
    )
    red = re.findall(r"\x1b\[[\d;]*\b31m([^\x1b]*)", out.getvalue())
    assert red
    assert all("[#] stop" in one or not one.strip() for one in red)
    assert not re.search(r"\x1b\[(?:\d+;)*7m", out.getvalue())


def test_nothing_else_slants():
    """No stripes on a page but those of book and stop; no pattern in a paper; in a drawing two with lines, metal gone of dots."""
    striped = [one for _, selectors, body in css_rules() if "gradient(" in body for one in selectors]
    assert sorted(striped) == [".call.book i", ".call.stop i"]
    for template in sources(".typ"):
        assert not re.search(r"\b(tiling|pattern|gradient)\b", template.read_text(encoding="utf-8")), template.name
    tiles = ElementTree.fromstring(Board(9, "t").svg(9, "", "")).iter(f"{SVG}pattern")
    assert {one.get("id"): one.find(f"{SVG}path") is not None for one in tiles} == {
        "t-book": True,
        "t-stop": True,
        "t-lost": False,
    }
    drawn = [one.name for one in sources(".py") if re.search(r"<pattern\b", one.read_text(encoding="utf-8"))]
    assert drawn == ["ink.py"]


def test_ranges_metal_gone_and_answers_are_no_calls():
    """A range is one grey, metal gone is dots, neither of them lines; an answer on a ground is a line."""
    seen = {}
    for kind in ("fan", "lost", "book"):
        board = Board(60, "mark")
        board.box(10, 10, 40, 40, kind)
        seen[kind] = inside(png_bytes(board.svg(60, "", "", Tone.LIGHT), 6.0))
    assert leans(seen["fan"]) == ()
    ways = {kind: [np.fliplr(one).diagonal(at) for at in range(-30, 31)] for kind, one in seen.items()}
    assert any(way.min() > 0.2 for way in ways["book"])  # somewhere a line goes through from end to end
    assert not any(way.min() > 0.2 for way in ways["lost"])
    glyphs = {
        tuple(one): body for _, one, body in css_rules() if one[0].startswith(".going") and one[0].endswith(" i")
    }
    assert len(glyphs) == 4
    assert all("border-top" in body and "background" not in body for body in glyphs.values())


def test_red_on_a_page_is_stop_alone():
    """The accent of the style sheets; the limit's line of a chart is the one in a script."""
    red = {one for _, selectors, body in css_rules() if "var(--accent)" in body for one in selectors}
    assert red == {".call.stop", ".num.stop", ".call.stop i", ".verdict.stop"}
    scripts = [
        line
        for one in sources(".js")
        for line in one.read_text(encoding="utf-8").splitlines()
        if "--accent" in line
    ]
    assert [line.strip().split(":")[0] for line in scripts] == ["limit"]
    drawn = {
        one
        for name, selectors, body in css_rules()
        if name == "drawing.css"
        for one in selectors
        if "#85200b" in body
    }
    assert drawn == {f".drawn {one}" for one in RED}


def test_red_on_a_paper_is_stop_alone():
    """In the templates by name; and as it is set, of all calls a stop alone."""
    for template in sources(".typ"):
        for line in template.read_text(encoding="utf-8").splitlines():
            if re.search(r"\baccent\b", line.partition("//")[0]):
                assert "stop" in line or line.startswith("#let accent ="), (template.name, line)
    for call in Call:
        assert (reds(typeset(f'#call-word("{call}", "{call}")')) > 0) == (call is STOP)


def test_no_other_colour_is_red():
    """Every colour written anywhere: saturated and between pink and orange is the accent of light or dark, and nothing else."""
    found = set()
    for source in sources(".css", ".typ", ".py", ".js", ".html", ".svg"):
        text = source.read_text(encoding="utf-8")
        found |= {
            one.lower()
            for one in re.findall(r"(?<![&\w])#[0-9a-fA-F]{6}\b|(?<![&\w])#[0-9a-fA-F]{3}\b(?=[;\"'})])", text)
        }
        assert not re.search(
            r"(?:fill|stroke|color|background)\s*[:=]\s*[\"']?(?:red|crimson|orange|tomato)\b", text
        ), source
    assert "#16191c" in found

    def reddish(colour):
        digits = colour[1:] if len(colour) == 7 else "".join(2 * one for one in colour[1:])
        hue, saturation, _ = colorsys.rgb_to_hsv(*(int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)))
        return saturation > 0.25 and (hue < 0.14 or hue > 0.86)

    assert {one for one in found if reddish(one)} == {"#85200b", "#f0a36b"}


@pytest.fixture(scope="module")
def no_stop(plain):
    """The plain machine with each stop made a booking, by hand."""
    parts = tuple(replace(part, call=BOOK) if part.call is STOP else part for part in plain.parts)
    return replace(plain, call=BOOK, parts=parts)


def test_a_machine_without_a_stop_is_drawn_without_red(no_stop):
    """But for the key, which shows what a stop would look like, and the limit's line."""
    for svg in (side_svg(no_stop, Side.LEFT), side_svg(no_stop, Side.RIGHT, 340), yard_svg([no_stop])):
        kinds = [(one.get("class") or "").split() for one in ElementTree.fromstring(svg).iter()]
        assert sum("stop" in kind for kind in kinds) == ("Side elevation" in svg)
        assert not any("a" in kind for kind in kinds)
    assert reds(png_bytes(yard_svg([no_stop], tone=Tone.LIGHT))) == 0
    assert reds(png_bytes(yard_svg([no_stop], tone=Tone.DARK))) == 0


def test_red_words_of_a_drawing_are_those_of_a_stop(plain):
    half = half_looked(plain)
    for svg in (side_svg(half, Side.LEFT), yard_svg([half])):
        groups = [
            one
            for one in ElementTree.fromstring(svg).iter(f"{SVG}text")
            if "a" in (one.get("class") or "").split()
        ]
        assert groups
        assert any(one.text.startswith("stop") for one in groups)


@pytest.mark.parametrize("tone", [Tone.LIGHT, Tone.DARK])
def test_the_limit_is_the_one_red_line_of_a_record(no_stop, tone):
    svg = record_svg(no_stop, Place(PartKind.BUSH, Side.LEFT), Measurand.BUSH_OD_FORWARD, tone=tone)
    assert reds(png_bytes(svg)) > 0
    assert reds(png_bytes(svg.replace('class="limit"', 'class="new"'))) == 0


def test_the_key_says_each_call_once(plain):
    half = half_looked(plain)
    said = [one.text for one in ElementTree.fromstring(side_svg(half, Side.LEFT)).iter(f"{SVG}text")]
    for words in (
        "run: nothing due in the booking window",
        "book: worn out, or due in it",
        "stop: unsafe, or ruins what is dearer",
    ):
        assert said.count(words) == 1
